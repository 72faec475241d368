//! Which medium goes over which, and over which paper. Common practice, no source; the facts stand in `facts.csv`.

use std::collections::BTreeMap;

use coatbell::catalog::{Catalog, PairVerdict, Trait};
use coatbell::finding::Level;

use super::bench::{coded, reviewed, stack};

/// A row of `facts.csv`.
struct Fact {
    kind: String,
    lower: String,
    upper: String,
    expected: String,
    statement: String,
}

fn facts() -> BTreeMap<String, Fact> {
    let mut reader = csv::Reader::from_reader(include_bytes!("facts.csv").as_slice());
    let mut facts = BTreeMap::new();
    for record in reader.records() {
        let record = record.expect("a whole row");
        let column = |at: usize| record.get(at).expect("six columns").to_owned();
        let fact =
            Fact { kind: column(1), lower: column(2), upper: column(3), expected: column(4), statement: column(5) };
        facts.insert(column(0), fact);
    }
    facts
}

fn level_of(verdict: PairVerdict, laid: bool) -> Level {
    match (verdict, laid) {
        (PairVerdict::Good, _) => Level::Go,
        (PairVerdict::Care, true) => Level::Note,
        (PairVerdict::Care, false) | (PairVerdict::Avoid, true) => Level::Care,
        (PairVerdict::Avoid, false) => Level::Hold,
    }
}

fn accepted(expected: &str, verdict: PairVerdict) -> bool {
    expected.split(" or ").any(|word| word == verdict.word())
}

/// The fact holds for two layers, laid and to be laid, with the level that belongs to each.
#[track_caller]
fn order_fact_holds(id: &str) {
    let facts = facts();
    let fact = &facts[id];
    assert_eq!(fact.kind, "order");
    let catalog = Catalog::builtin();
    for laid in [true, false] {
        let sheet = stack("cold-press", &[&fact.lower, &fact.upper], laid, &catalog);
        let review = reviewed(&sheet, &catalog);
        let [pair] = review.pairs.as_slice() else { panic!("one pair") };
        assert!(accepted(&fact.expected, pair.verdict), "{id}: {} is {:?}", fact.statement, pair.verdict);
        // A pair the table does not know is a cautious `care`, which is no knowledge of this fact.
        assert!(!pair.effect.contains("is not known"), "{id}: the table has no row");
        assert_eq!(pair.level, level_of(pair.verdict, laid), "{id}");
        let told = review.stack_findings.iter().any(|finding| {
            finding.code.starts_with("pair-") && finding.layers == [1, 2] && finding.level >= pair.level
        });
        assert_eq!(told, pair.level > Level::Go || coded(&review, "pair-disputed").len() == 1, "{id}");
    }
}

macro_rules! order_facts {
    ($($name:ident)+) => {
        $(#[test] fn $name() { order_fact_holds(&stringify!($name).to_uppercase()); })+

        #[test]
        fn every_order_fact_has_its_test() {
            let named = [$(stringify!($name).to_uppercase()),+];
            let in_file: Vec<String> =
                facts().into_iter().filter(|(_, fact)| fact.kind == "order").map(|(id, _)| id).collect();
            assert_eq!(in_file, named);
        }
    };
}

order_facts!(p01 p02 p03 p04 p05 p06 p07 p08 p09 p10 p11 p12 p13 p14 p15 p16 p17 p18 p19 p20 p21 p22 p23 p24 p25 p26
    p27 p28 p29 p30 p31 p32 p33);

#[test]
fn every_order_fact_stands_on_its_row() {
    let orders: Vec<_> = facts().into_iter().filter(|(_, fact)| fact.kind == "order").collect();
    assert!(orders.len() >= 4, "{} facts about orders", orders.len());
    for (id, fact) in orders {
        let mut catalog = Catalog::builtin();
        let groups = [&fact.lower, &fact.upper].map(|medium| catalog.media[medium].group.clone());
        assert!(catalog.pairs.rows.remove(&(groups[0].clone(), groups[1].clone())).is_some(), "{id}");
        let sheet = stack("cold-press", &[&fact.lower, &fact.upper], false, &catalog);
        let pair = &reviewed(&sheet, &catalog).pairs[0];
        assert!(!accepted(&fact.expected, pair.verdict) || pair.effect.contains("is not known"), "{id}");
    }
}

/// The fact holds for a medium on a paper, laid and to be laid.
#[track_caller]
fn surface_fact_holds(id: &str, papers: &[&str]) {
    let facts = facts();
    let fact = &facts[id];
    assert_eq!(fact.kind, "surface");
    let catalog = Catalog::builtin();
    for (paper, laid) in papers.iter().flat_map(|paper| [(paper, true), (paper, false)]) {
        let sheet = stack(paper, &[&fact.upper], laid, &catalog);
        let review = reviewed(&sheet, &catalog);
        let [finding] = review.surface.as_slice() else { panic!("one medium") };
        assert!(accepted(&fact.expected, finding.verdict), "{id} on {paper}: {}", finding.effect);
        assert_eq!(finding.level, level_of(finding.verdict, laid), "{id} on {paper}");
    }
}

#[test]
fn p34() {
    surface_fact_holds("P34", &["cardstock", "bristol-smooth", "mixed-media", "cold-press"]);
    let catalog = Catalog::builtin();
    let mut sheet = stack("cardstock", &["water-marker"], false, &catalog);
    sheet.layers[0].cover = Some(0.1);
    assert_eq!(reviewed(&sheet, &catalog).surface[0].verdict, PairVerdict::Good, "small areas are fine");
    sheet.layers[0].cover = Some(0.11);
    assert_eq!(reviewed(&sheet, &catalog).surface[0].verdict, PairVerdict::Care);
}

#[test]
fn p35() {
    surface_fact_holds("P35", &["cardstock", "cardstock-heavy", "bristol-smooth", "bristol-vellum"]);
}

#[test]
fn p36() {
    surface_fact_holds("P36", &["cardstock", "cardstock-heavy", "bristol-smooth"]);
}

#[test]
fn p37() {
    surface_fact_holds("P37", &["colouring-book"]);
}

#[test]
fn p38() {
    surface_fact_holds("P38", &["cardstock", "cardstock-heavy"]);
}

#[test]
fn water_stays_on_top_of_synthetic_paper() {
    // Common practice, no source.
    let catalog = Catalog::builtin();
    for (medium, verdict) in [("watercolour:wet-on-dry", PairVerdict::Avoid), ("wax-pencil", PairVerdict::Good)] {
        let sheet = stack("synthetic", &[medium], false, &catalog);
        assert_eq!(reviewed(&sheet, &catalog).surface[0].verdict, verdict, "{medium}");
    }
}

#[test]
fn p45_sealing_is_the_very_last_step() {
    let catalog = Catalog::builtin();
    let full: Vec<&str> =
        catalog.sealers.values().filter(|sealer| sealer.closes_tooth).map(|sealer| sealer.id.as_str()).collect();
    assert!(full.len() >= 8, "{full:?}");
    for sealer in full {
        for medium in catalog.media.values() {
            let sheet = stack("cold-press", &[sealer, &medium.id], false, &catalog);
            let pair = &reviewed(&sheet, &catalog).pairs[0];
            if medium.is(Trait::BrushAcrylic) {
                assert_eq!(pair.verdict, PairVerdict::Good, "{} over {sealer}", medium.id);
            } else {
                assert!(pair.verdict > PairVerdict::Good, "{} over {sealer}", medium.id);
            }
            if medium.is(Trait::DryPencil) || (medium.is(Trait::WaterMedium) && !medium.is(Trait::BrushAcrylic)) {
                assert_eq!(pair.verdict, PairVerdict::Avoid, "{} over {sealer}", medium.id);
            }
        }
    }
}

#[test]
fn workable_fixative_keeps_the_tooth_open() {
    // Common practice, no source.
    let catalog = Catalog::builtin();
    let sheet = stack("cold-press", &["workable-fixative", "wax-pencil"], false, &catalog);
    assert_eq!(reviewed(&sheet, &catalog).pairs[0].verdict, PairVerdict::Good);
}

#[test]
fn p47_the_full_order_raises_nothing() {
    let facts = facts();
    let catalog = Catalog::builtin();
    let layers: Vec<&str> = facts["P47"].lower.split(',').map(str::trim).collect();
    for laid in [true, false] {
        let sheet = stack("cold-press", &layers, laid, &catalog);
        let review = reviewed(&sheet, &catalog);
        assert_eq!(review.pairs.len(), layers.len() * (layers.len() - 1) / 2);
        for pair in &review.pairs {
            assert_eq!(pair.verdict, PairVerdict::Good, "{} over {}: {}", pair.upper, pair.lower, pair.effect);
        }
        assert!(!review.order.is_better() && review.order.exact);
        assert_eq!(review.order.places, (1..=layers.len()).collect::<Vec<_>>());
        for code in ["pair-avoid", "pair-care", "order-better"] {
            assert!(coded(&review, code).is_empty(), "{code}");
        }
    }
}

#[test]
fn the_full_order_is_found_again_from_any_start() {
    let facts = facts();
    let catalog = Catalog::builtin();
    let mut layers: Vec<&str> = facts["P47"].lower.split(',').map(str::trim).collect();
    for _ in 0..layers.len() {
        layers.rotate_left(1);
        let sheet = stack("cold-press", &layers, false, &catalog);
        let order = reviewed(&sheet, &catalog).order;
        assert_eq!((order.suggested.avoid, order.suggested.care), (0, 0), "{layers:?}");
    }
}

#[test]
fn acrylic_over_wax_is_told_as_disputed_and_not_blocked() {
    // The trade and a published watercolour handbook disagree.
    let catalog = Catalog::builtin();
    let sheet = stack("cold-press", &["wax-pencil", "acrylic"], false, &catalog);
    let review = reviewed(&sheet, &catalog);
    assert_eq!(review.pairs[0].verdict, PairVerdict::Good);
    let disputed = coded(&review, "pair-disputed");
    assert_eq!(disputed.len(), 1);
    assert_eq!(disputed[0].level, Level::Note);
    assert!(disputed[0].source.is_some());
}

#[test]
fn special_pairs() {
    // Notes of the trade on single media, no source.
    let catalog = Catalog::builtin();
    for (lower, upper, verdict) in [
        ("inkjet-dye", "watercolour", PairVerdict::Avoid),
        ("inkjet-pigment", "watercolour", PairVerdict::Care),
        ("watercolour", "metallic-pen", PairVerdict::Good),
        ("watercolour", "shimmer-pen", PairVerdict::Care),
        ("shimmer-pen", "watercolour", PairVerdict::Avoid),
        ("wax-pencil", "shimmer-pen", PairVerdict::Good),
        ("masking-fluid", "acrylic", PairVerdict::Avoid),
        ("masking-fluid", "acrylic-gloss", PairVerdict::Avoid),
        ("watercolour", "water-clear", PairVerdict::Avoid),
        ("watercolour", "acrylic-gloss", PairVerdict::Good),
        ("toner", "hair-spray", PairVerdict::Avoid),
        ("watercolour", "dammar-varnish", PairVerdict::Care),
        ("acrylic-gloss", "acrylic-gloss", PairVerdict::Care),
        ("acrylic-gloss", "toner", PairVerdict::Avoid),
    ] {
        let sheet = stack("cold-press", &[lower, upper], false, &catalog);
        let pair = &reviewed(&sheet, &catalog).pairs[0];
        assert_eq!(pair.verdict, verdict, "{upper} over {lower}: {}", pair.effect);
    }
    let sheet = stack("cold-press", &["alcohol-ink", "workable-fixative"], false, &catalog);
    assert!(reviewed(&sheet, &catalog).pairs[0].why.contains("more sensitive"));
}

#[test]
fn a_buried_layer_still_counts_and_a_separate_one_does_not() {
    let catalog = Catalog::builtin();
    let mut sheet = stack("cold-press", &["alcohol-marker", "acrylic", "colourless-blender"], false, &catalog);
    let pairs = reviewed(&sheet, &catalog).pairs;
    assert_eq!(pairs.len(), 3);
    assert_eq!((pairs[1].lower, pairs[1].upper), ("alcohol-marker", "colourless-blender"));
    sheet.layers[0].areas = vec!["sky".to_owned()];
    sheet.layers[2].areas = vec!["sea".to_owned()];
    assert_eq!(reviewed(&sheet, &catalog).pairs.len(), 2);
}

#[test]
fn the_same_medium_twice_is_told_apart_by_place() {
    let catalog = Catalog::builtin();
    let sheet = stack("cold-press", &["wax-pencil", "acrylic", "wax-pencil"], true, &catalog);
    let review = reviewed(&sheet, &catalog);
    let places: Vec<(usize, usize)> = review.pairs.iter().map(|pair| (pair.lower_place, pair.upper_place)).collect();
    assert_eq!(places, [(1, 2), (1, 3), (2, 3)]);
    assert_eq!(coded(&review, "pair-avoid")[0].layers, [2, 3]);
}

/// A sealer as a layer takes its recoat time at 20 °C and 50 %, and longer in the cold (rule: it doubles every 10 K).
#[test]
fn waits_between_layers_grow_in_the_cold() {
    use coatbell::page::review;
    use coatbell::vapour::MoistAir;
    let catalog = Catalog::builtin();
    let sheet = stack("cold-press", &["alcohol-marker", "workable-fixative", "wax-pencil"], false, &catalog);
    let waits = |temperature_c: f64| -> Vec<f64> {
        let air = MoistAir { temperature_c, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        let review = review(&sheet, &catalog, &air, &super::bench::now());
        review.waits.iter().filter_map(|wait| wait.before_next_min).collect()
    };
    let (cold, usual, warm) = (waits(10.0), waits(20.0), waits(30.0));
    assert!(usual.len() >= 2, "{usual:?}");
    for ((cold, usual), warm) in cold.iter().zip(&usual).zip(&warm) {
        assert!(cold > usual && usual > warm, "{cold} {usual} {warm}");
        assert!((cold / usual - 2.0).abs() < 0.3, "{cold} over {usual}");
    }
}

/// Water marker that roughs up the tooth is told, with the small area that is allowed: a tenth of the page.
#[test]
fn what_a_paper_does_not_stand_is_told_with_its_cure() {
    let catalog = Catalog::builtin();
    let review_of = |medium: &str| {
        let sheet = stack("cardstock", &[medium], false, &catalog);
        let review = reviewed(&sheet, &catalog);
        let of_paper = review.stack_findings.iter().filter(|finding| finding.code.starts_with("surface-"));
        of_paper.map(|finding| (finding.level, finding.remedy.clone().unwrap_or_default())).collect::<Vec<_>>()
    };
    let told = review_of("water-marker");
    let [(level, remedy)] = told.as_slice() else { panic!("one finding: {told:?}") };
    assert!(*level >= Level::Care && remedy.contains("10 %"), "{level:?} {remedy}");
    assert_eq!(review_of("gel-pen"), Vec::new());
}

/// However pairs are told together, each that is no good one is told once, with its own verdict and effect.
#[test]
fn every_pair_is_told_once_with_its_own_effect() {
    let catalog = Catalog::builtin();
    let mut together = 0;
    for layers in [
        &["watercolour", "wax-pencil", "oil-pencil", "watercolour:wet-on-wet", "alcohol-marker"][..],
        &["wax-pencil", "oil-pencil", "water-marker", "acrylic-pen", "gel-pen"],
        &["glitter", "alcohol-marker", "wax-pencil", "colourless-blender", "acrylic"],
        &["oil-pencil", "wax-pencil", "alcohol-marker", "acrylic-pen", "watercolour-pencil"],
        &["acrylic", "wax-pencil", "oil-pencil", "watercolour-pencil", "metallic-pen"],
        &["wax-pencil", "acrylic", "watercolour", "oil-pencil", "acrylic"],
    ] {
        for laid in [true, false] {
            let sheet = stack("cold-press", layers, laid, &catalog);
            let review = reviewed(&sheet, &catalog);
            let told: Vec<_> =
                review.stack_findings.iter().filter(|finding| finding.code.starts_with("pair-")).collect();
            for pair in review.pairs.iter().filter(|pair| pair.disputed || pair.level >= Level::Note) {
                let code = match pair.verdict {
                    _ if pair.disputed => "pair-disputed",
                    PairVerdict::Avoid => "pair-avoid",
                    _ => "pair-care",
                };
                let of_this = told.iter().filter(|finding| {
                    let both = [pair.lower_place, pair.upper_place].iter().all(|place| finding.layers.contains(place));
                    let same = pair.disputed || finding.level == pair.level && finding.text.ends_with(&pair.effect);
                    both && finding.code == code && same
                });
                assert_eq!(of_this.count(), 1, "{layers:?}: {pair:?} in {told:#?}");
            }
            together += told.iter().filter(|finding| finding.layers.len() > 2).count();
            let places: Vec<_> = told.iter().map(|finding| (finding.code, &finding.layers)).collect();
            let mut once = places.clone();
            once.sort_unstable();
            once.dedup();
            assert_eq!(once.len(), places.len(), "{layers:?}: told twice {told:#?}");
        }
    }
    assert!(together > 5, "only {together} told together");
}
