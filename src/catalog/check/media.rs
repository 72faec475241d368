//! Media and papers: figures that have to agree with each other and with the facts a rule asks for.

use std::collections::BTreeSet;

use crate::catalog::{Catalog, DryingKind, Medium, Paper, Trait};

/// Most that a paper's pore capacity may differ from thickness times void, as a share (fillers, coatings).
const CAPACITY_TOLERANCE: f64 = 0.2;

pub(super) fn check(catalog: &Catalog, wrong: &mut Vec<String>) {
    for (id, medium) in &catalog.media {
        wrong.extend(self::medium(medium).into_iter().map(|what| format!("medium {id}: {what}")));
    }
    for (id, paper) in &catalog.papers {
        wrong.extend(self::paper(paper).into_iter().map(|what| format!("paper {id}: {what}")));
    }
}

/// What contradicts itself in a medium.
pub(in crate::catalog) fn medium(medium: &Medium) -> Vec<String> {
    let mut wrong = Vec::new();
    techniques(medium, &mut wrong);
    traits(medium, &mut wrong);
    wrong
}

fn techniques(medium: &Medium, wrong: &mut Vec<String>) {
    let mut seen = BTreeSet::new();
    for technique in &medium.techniques {
        let named = medium.techniques.len() > 1;
        if !seen.insert(&technique.id) || (named && technique.id.is_empty()) {
            wrong.push("techniques need ids that differ".to_owned());
        }
        if let (Some(touch), Some(wait)) = (technique.touch_min, technique.seal_wait_h)
            && wait.mode() * 60.0 < touch.mode()
        {
            wrong.push("it may be sealed before it is dry to the touch".to_owned());
        }
        if let (Some(thin), Some(thick)) = (technique.seal_wait_h, technique.seal_wait_thick_h)
            && thick.mode() < thin.mode()
        {
            wrong.push("raised work waits less than thin work".to_owned());
        }
    }
    let loads: Vec<f64> = medium.techniques.iter().map(|technique| technique.water_load_g_m2.mode()).collect();
    if loads.windows(2).any(|pair| pair[0] < pair[1]) {
        wrong.push("the wettest technique comes first, since it is taken when none is stated".to_owned());
    }
}

fn traits(medium: &Medium, wrong: &mut Vec<String>) {
    let mut expect = |holds: bool, what: &str| {
        if !holds {
            wrong.push(what.to_owned());
        }
    };
    let wet = medium.techniques.iter().any(|technique| technique.water_load_g_m2.low() > 0.0);
    expect(wet == medium.is(Trait::WaterMedium), "`water-medium` and a water load go together");
    expect(
        !medium.is(Trait::WaterSoluble) || medium.sensitivity.water.mode() >= 0.6,
        "`water-soluble` needs a sensitivity to water of 0.6 or more",
    );
    expect(
        !medium.is(Trait::WaterMedium) || medium.drying == DryingKind::Water,
        "a `water-medium` dries as the air takes its water: `drying = \"water\"`",
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

/// What contradicts itself in a paper.
pub(in crate::catalog) fn paper(paper: &Paper) -> Vec<String> {
    let mut wrong = Vec::new();
    let expected = paper.caliper_um.mode() * paper.void_fraction;
    let differs = (paper.capacity_um.mode() / expected - 1.0).abs() > CAPACITY_TOLERANCE;
    if paper.absorbing && differs {
        wrong.push(format!("the pore capacity is not near thickness times void, {expected:.0} µm"));
    }
    if !paper.absorbing && paper.capacity_um.high() > 0.0 {
        wrong.push("a paper that takes up nothing has no pore capacity".to_owned());
    }
    wrong
}
