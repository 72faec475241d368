//! Media and papers: figures that have to agree with each other and with the facts a rule asks for.

use std::collections::BTreeSet;

use crate::catalog::{Catalog, Medium, Paper, Trait};

/// Most that a paper's pore capacity may differ from thickness times void, as a share (fillers, coatings).
const CAPACITY_TOLERANCE: f64 = 0.2;

pub(super) fn check(catalog: &Catalog, wrong: &mut Vec<String>) {
    for (id, medium) in &catalog.media {
        techniques(id, medium, wrong);
        traits(id, medium, wrong);
    }
    for (id, paper) in &catalog.papers {
        self::paper(id, paper, wrong);
    }
}

fn techniques(id: &str, medium: &Medium, wrong: &mut Vec<String>) {
    let mut seen = BTreeSet::new();
    for technique in &medium.techniques {
        let named = medium.techniques.len() > 1;
        if !seen.insert(&technique.id) || (named && technique.id.is_empty()) {
            wrong.push(format!("medium {id}: techniques need ids that differ"));
        }
        if let (Some(touch), Some(wait)) = (technique.touch_min, technique.seal_wait_h)
            && wait.mode() * 60.0 < touch.mode()
        {
            wrong.push(format!("medium {id}: it may be sealed before it is dry to the touch"));
        }
        if let (Some(thin), Some(thick)) = (technique.seal_wait_h, technique.seal_wait_thick_h)
            && thick.mode() < thin.mode()
        {
            wrong.push(format!("medium {id}: raised work waits less than thin work"));
        }
    }
    let loads: Vec<f64> = medium.techniques.iter().map(|technique| technique.water_load_g_m2.mode()).collect();
    if loads.windows(2).any(|pair| pair[0] < pair[1]) {
        wrong.push(format!("medium {id}: the wettest technique comes first, since it is taken when none is stated"));
    }
}

fn traits(id: &str, medium: &Medium, wrong: &mut Vec<String>) {
    let mut expect = |holds: bool, what: &str| {
        if !holds {
            wrong.push(format!("medium {id}: {what}"));
        }
    };
    let wet = medium.techniques.iter().any(|technique| technique.water_load_g_m2.low() > 0.0);
    expect(wet == medium.is(Trait::WaterMedium), "`water-medium` and a water load go together");
    expect(
        !medium.is(Trait::WaterSoluble) || medium.sensitivity.water.mode() >= 0.6,
        "`water-soluble` needs a sensitivity to water of 0.6 or more",
    );
    expect(!medium.is(Trait::Metallic) || medium.dulling.mode() > 0.0, "`metallic` needs a dulling figure");
    expect(
        !medium.is(Trait::Friable) || medium.friability.mode() >= 0.5,
        "`friable` needs a friability of 0.5 or more",
    );
    expect(!medium.is(Trait::Wax) || medium.bloom.mode() > 0.0, "`wax` needs a bloom figure");
    let never = medium.techniques.iter().any(|technique| technique.seal_wait_h.is_none());
    expect(
        never == (medium.is(Trait::NeverSealed) || medium.is(Trait::RemoveFirst)),
        "a wait of `never` and `never-sealed` or `remove-first` go together",
    );
}

fn paper(id: &str, paper: &Paper, wrong: &mut Vec<String>) {
    let expected = paper.caliper_um.mode() * paper.void_fraction;
    let differs = (paper.capacity_um.mode() / expected - 1.0).abs() > CAPACITY_TOLERANCE;
    if paper.absorbing && differs {
        wrong.push(format!("paper {id}: the pore capacity is not near thickness times void, {expected:.0} µm"));
    }
    if !paper.absorbing && paper.capacity_um.high() > 0.0 {
        wrong.push(format!("paper {id}: a paper that takes up nothing has no pore capacity"));
    }
}
