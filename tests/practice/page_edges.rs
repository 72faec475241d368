//! A page's thresholds at their edge, and what its pairs are told with.

use coatbell::catalog::{Catalog, Medium, PairVerdict, Trait};
use coatbell::estimate::Triple;
use coatbell::finding::Level;
use coatbell::page::{Laid, layers_document, review};
use jiff::SignedDuration;

use super::bench::{coded, now, ordinary_air, reviewed, stack};

/// A cover is told in per cent as it was written.
#[test]
fn a_cover_comes_back_as_written() {
    let catalog = Catalog::builtin();
    let mut sheet = stack("cardstock", &["watercolour", "wax-pencil"], true, &catalog);
    sheet.layers[0].cover = Some(0.3);
    let document = layers_document(&sheet, &reviewed(&sheet, &catalog), &ordinary_air(), &now());
    let covers: Vec<Option<f64>> = document.inputs.layers.iter().map(|layer| layer.cover_pct).collect();
    assert_eq!(covers, [Some(30.0), None]);
}

/// In the air the waits are stated for, a layer that has dried its least time to the minute is no hold any more, and one
/// that has dried its ordinary time no care.
#[test]
fn a_layer_is_dry_when_its_time_has_passed() {
    let catalog = Catalog::builtin();
    let level = |seconds: i64| {
        let mut sheet = stack("cardstock", &["acrylic"], true, &catalog);
        sheet.layers[0].finished = Some(now().checked_sub(SignedDuration::from_secs(seconds)).expect("a moment"));
        let reviewed = review(&sheet, &catalog, &ordinary_air(), &now());
        coded(&reviewed, "layer-wet").first().map(|finding| finding.level)
    };
    let wait_h = catalog.media["acrylic"].default_technique().seal_wait_h.expect("acrylic dries");
    let (least_s, ordinary_s) = ((wait_h.low() * 3600.0) as i64, (wait_h.mode() * 3600.0) as i64);
    assert_eq!((level(least_s - 1), level(least_s)), (Some(Level::Hold), Some(Level::Care)));
    assert_eq!((level(ordinary_s - 1), level(ordinary_s)), (Some(Level::Care), None));
}

/// A paper that takes so much water cockles from just there on: a note up to its limit, a care beyond.
#[test]
fn a_paper_cockles_from_its_own_figure_on() {
    let mut catalog = Catalog::builtin();
    let load = stack("cardstock", &["watercolour"], false, &catalog).layers[0].clone();
    let Laid::Medium(_, technique) = load.what else { panic!("a medium") };
    let load = technique.water_load_g_m2.mode();
    let mut found = |mode: f64, high: f64| {
        let paper = catalog.papers.get_mut("cardstock").expect("built in");
        paper.buckle_g_m2 = Triple::new(mode / 2.0, mode, high).expect("ordered");
        let sheet = stack("cardstock", &["watercolour"], false, &catalog);
        let reviewed = reviewed(&sheet, &catalog);
        let surface = reviewed.findings().filter(|finding| finding.code.starts_with("surface-"));
        surface.map(|finding| (finding.code, finding.level)).next()
    };
    let hair = 1e-9;
    assert_eq!(found(load + hair, 2.0 * load), None);
    assert_eq!(found(load, 2.0 * load), Some(("surface-cockle", Level::Note)));
    assert_eq!(found(load / 2.0, load), Some(("surface-cockle", Level::Note)));
    assert_eq!(found(load / 2.0, load - hair).map(|(code, _)| code), Some("surface-care"));
}

fn unfit(medium: &Medium) -> bool {
    [Trait::RemoveFirst, Trait::NeverSealed, Trait::Glitter, Trait::Print, Trait::Friable]
        .iter()
        .any(|fact| medium.is(*fact))
}

/// What is offered in place of a medium that does not hold is another kind, dry or of the same carrier, holds over what
/// lies below, and is nothing that has to come off again, cannot be sealed, crumbles, glitters or is printed.
#[test]
fn what_is_offered_instead_holds_and_can_be_sealed() {
    let catalog = Catalog::builtin();
    let mut offers = 0;
    for lower in catalog.media.values() {
        for upper in catalog.media.values() {
            let sheet = stack("cardstock", &[&lower.id, &upper.id], false, &catalog);
            let reviewed = reviewed(&sheet, &catalog);
            let Some(remedy) = reviewed.pairs.first().and_then(|pair| pair.remedy.clone()) else { continue };
            let Some((_, offered)) = remedy.split_once("What goes there instead: ") else { continue };
            let offered = offered.split(". ").next().expect("a list");
            for name in offered.split(", ").flat_map(|part| part.split(" or ")) {
                let medium = &catalog.media[&name.trim().replace(' ', "-")];
                assert!(!unfit(medium) && medium.group != upper.group, "{} for {}", medium.id, upper.id);
                assert!(medium.carrier == upper.carrier || medium.is(Trait::DryPencil), "{}", medium.id);
                let stacked = stack("cardstock", &[&lower.id, &medium.id], false, &catalog);
                let pair = coatbell::page::pair_verdict(&stacked.layers[0], &stacked.layers[1], &catalog);
                assert_eq!(pair, PairVerdict::Good, "{} over {}", medium.id, lower.id);
                offers += 1;
            }
        }
    }
    assert!(offers > 100, "{offers}");
}

/// A medium is told to be more sensitive than the one it is judged by where both solvents say so, and nowhere else.
#[test]
fn more_sensitive_is_said_where_both_solvents_say_it() {
    let mut catalog = Catalog::builtin();
    let told = |catalog: &Catalog, medium: &str| {
        let sheet = stack("cardstock", &[medium, "acrylic-gloss"], false, catalog);
        reviewed(&sheet, catalog).pairs[0].why.contains("more sensitive")
    };
    let judged = catalog.media.values().find(|medium| medium.id != medium.group).expect("one").clone();
    let group = catalog.media[&judged.group].sensitivity;
    let (more, less) = (|figure: Triple| figure.scaled(1.01), |figure: Triple| figure.scaled(0.99));
    for (alcohol, ketone, expected) in [
        (more(group.alcohol), more(group.ketone_ester), true),
        (more(group.alcohol), less(group.ketone_ester), false),
        (less(group.alcohol), more(group.ketone_ester), false),
        (group.alcohol, group.ketone_ester, false),
    ] {
        let own = &mut catalog.media.get_mut(&judged.id).expect("it is there").sensitivity;
        (own.alcohol, own.ketone_ester) = (alcohol, ketone);
        assert_eq!(told(&catalog, &judged.id), expected, "{}", judged.id);
    }
    assert!(!told(&catalog, &judged.group));
}

/// Shimmer beside wet colour that would hold is told as a care of its own; where the pair is worse anyway, its own words
/// stay.
#[test]
fn shimmer_beside_wet_colour_is_told_as_such() {
    let catalog = Catalog::builtin();
    let (mut mild, mut worse) = (0, 0);
    for lower in catalog.media.values() {
        let sheet = stack("cardstock", &[&lower.id, "shimmer-pen"], false, &catalog);
        let reviewed = reviewed(&sheet, &catalog);
        let Some(pair) = reviewed.pairs.first().filter(|pair| pair.why.contains("shimmer dissolves")) else { continue };
        let softly = pair.effect.contains("one light stroke");
        assert_eq!(softly, pair.verdict == PairVerdict::Care, "{}: {}", lower.id, pair.effect);
        *(if softly { &mut mild } else { &mut worse }) += 1;
    }
    assert!(mild > 0 && mild + worse > 3, "{mild} {worse}");
}
