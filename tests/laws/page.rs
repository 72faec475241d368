//! Laws of the page: adding, permuting, ordering.

use std::sync::LazyLock;

use coatbell::catalog::{Catalog, DryingKind, Medium, PairVerdict};
use coatbell::finding::Level;
use coatbell::input::Laydown;
use coatbell::page::{Laid, Layer, PageReview, Sheet, pair_verdict, review, wait_factor};
use coatbell::vapour::MoistAir;
use jiff::{SignedDuration, ZonedDateTime};
use proptest::prelude::*;

static CATALOG: LazyLock<Catalog> = LazyLock::new(Catalog::builtin);

fn now() -> ZonedDateTime {
    "2026-11-27T18:00:00+00:00[UTC]".parse().expect("a valid moment")
}

fn medium() -> impl Strategy<Value = &'static Medium> {
    (0..CATALOG.media.len()).prop_map(|at| CATALOG.media.values().nth(at).expect("within the catalog"))
}

fn layer() -> impl Strategy<Value = Layer<'static>> {
    let laydown = prop_oneof![Just(Laydown::Light), Just(Laydown::Normal), Just(Laydown::Heavy)];
    let cover = proptest::option::of(0.01..1.0_f64);
    let areas = proptest::collection::vec(prop_oneof![Just("sky"), Just("sea"), Just("boat")], 0..2);
    let finished = proptest::option::of(0..1000_i64);
    (medium(), cover, laydown, areas, finished, any::<bool>(), 0..8_u8).prop_map(
        |(medium, cover, laydown, areas, hours, stated, mask)| Layer {
            place: 0,
            what: Laid::Medium(medium, medium.default_technique()),
            technique_stated: stated,
            cover,
            laydown,
            areas: areas.into_iter().map(str::to_owned).collect(),
            finished: hours.map(|hours| now().checked_sub(SignedDuration::from_hours(hours)).expect("in range")),
            masked: mask == 0,
        },
    )
}

fn sheet_of(mut layers: Vec<Layer<'static>>, paper: usize, bow_m: Option<f64>) -> Sheet<'static> {
    let paper = CATALOG.papers.values().nth(paper % CATALOG.papers.len()).expect("within the catalog");
    for (index, layer) in layers.iter_mut().enumerate() {
        layer.place = index + 1;
    }
    Sheet {
        title: "Law".to_owned(),
        width_m: 0.21,
        height_m: 0.297,
        paper,
        grammage_g_m2: paper.grammage_g_m2,
        finish: None,
        bow_m,
        layers,
    }
}

fn air() -> impl Strategy<Value = MoistAir> {
    (12.0..34.0_f64, 0.2..0.95_f64).prop_map(|(temperature_c, relative_humidity)| MoistAir {
        temperature_c,
        relative_humidity,
        pressure_pa: 101_325.0,
    })
}

fn avoided(review: &PageReview<'_>) -> usize {
    review.pairs.iter().filter(|pair| pair.verdict == PairVerdict::Avoid).count()
}

/// Layers in another order, given as places from 1.
fn reordered(sheet: &Sheet<'static>, places: &[usize]) -> Sheet<'static> {
    let mut layers: Vec<Layer<'static>> = places.iter().map(|place| sheet.layers[place - 1].clone()).collect();
    for (index, layer) in layers.iter_mut().enumerate() {
        layer.place = index + 1;
    }
    Sheet { layers, ..sheet.clone() }
}

/// Every order of some numbers.
fn orders(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let shorter = orders(count - 1);
    shorter
        .iter()
        .flat_map(|order| {
            (0..=order.len()).map(move |at| {
                let mut longer = order.clone();
                longer.insert(at, count);
                longer
            })
        })
        .collect()
}

/// Whether laid layers keep their order and nothing goes under a laid layer it meets.
fn possible(sheet: &Sheet<'_>, places: &[usize]) -> bool {
    places.iter().enumerate().all(|(at, upper)| {
        let upper_layer = &sheet.layers[upper - 1];
        places[at + 1..].iter().all(|later| {
            let later_layer = &sheet.layers[later - 1];
            let later_is_laid = later_layer.finished.is_some();
            let wrong = if upper_layer.finished.is_some() { later < upper } else { later_layer.meets(upper_layer) };
            !(later_is_laid && wrong)
        })
    })
}

fn cost(sheet: &Sheet<'_>, places: &[usize]) -> (usize, usize) {
    let (mut avoid, mut care) = (0, 0);
    for (at, upper) in places.iter().enumerate() {
        for lower in &places[..at] {
            let (lower, upper) = (&sheet.layers[lower - 1], &sheet.layers[upper - 1]);
            if lower.meets(upper) {
                match pair_verdict(lower, upper, &CATALOG) {
                    PairVerdict::Good => {}
                    PairVerdict::Care => care += 1,
                    PairVerdict::Avoid => avoid += 1,
                }
            }
        }
    }
    (avoid, care)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn adding_a_layer_makes_nothing_milder(
        layers in proptest::collection::vec(layer(), 1..7),
        added in layer(),
        at in 0..7_usize,
        paper in 0..20_usize,
        bow in proptest::option::of(0.0..0.008_f64),
        air in air(),
    ) {
        let at = at.min(layers.len());
        let before_sheet = sheet_of(layers.clone(), paper, bow);
        let mut more = layers;
        more.insert(at, added);
        let after_sheet = sheet_of(more, paper, bow);
        let before = review(&before_sheet, &CATALOG, &air, &now());
        let after = review(&after_sheet, &CATALOG, &air, &now());
        let moved = |place: usize| if place > at { place + 1 } else { place };
        // The better order is advice on the whole stack, not a finding on a layer.
        for finding in before.findings().filter(|finding| finding.code != "order-better") {
            let first = finding.layers.first().map(|place| moved(*place));
            let kept = after.findings().any(|other| {
                other.code == finding.code
                    && other.level >= finding.level
                    && first.is_none_or(|place| other.layers.contains(&place))
            });
            prop_assert!(kept, "{finding:?} is gone or milder");
        }
        match (&before.ready.ready_at, &after.ready.ready_at) {
            // A page whose layers are all masked has nothing that could be ready.
            (None, Some(_)) => prop_assert!(before_sheet.exposed().next().is_none(), "ready though it never was"),
            (Some(before), Some(after)) => prop_assert!(after >= before),
            _ => {}
        }
        prop_assert!(after.water.verdict >= before.water.verdict);
    }

    #[test]
    fn layers_that_do_not_meet_may_change_places(
        mut layers in proptest::collection::vec(layer(), 2..8),
        at in 0..7_usize,
    ) {
        let at = at.min(layers.len() - 2);
        layers[at].areas = vec!["sky".to_owned()];
        layers[at + 1].areas = vec!["sea".to_owned(), "boat".to_owned()];
        let sheet = sheet_of(layers, 0, None);
        let mut places: Vec<usize> = (1..=sheet.layers.len()).collect();
        places.swap(at, at + 1);
        let swapped = reordered(&sheet, &places);
        let air = MoistAir { temperature_c: 20.0, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        let judged = |sheet: &Sheet<'static>, back: &dyn Fn(usize) -> usize| {
            let mut pairs: Vec<(usize, usize, PairVerdict, Level)> = review(sheet, &CATALOG, &air, &now())
                .pairs
                .iter()
                .map(|pair| (back(pair.lower_place), back(pair.upper_place), pair.verdict, pair.level))
                .collect();
            pairs.sort_unstable();
            pairs
        };
        prop_assert_eq!(judged(&sheet, &|place| place), judged(&swapped, &|place| places[place - 1]));
    }

    #[test]
    fn the_suggested_order_is_no_worse(
        mut layers in proptest::collection::vec(layer(), 1..20),
        paper in 0..20_usize,
        air in air(),
    ) {
        // What is laid lies below what is still to be laid: any other page asks for something impossible.
        layers.sort_by_key(|layer| layer.finished.is_none());
        let sheet = sheet_of(layers, paper, None);
        let given = review(&sheet, &CATALOG, &air, &now());
        let mut places = given.order.places.clone();
        prop_assert!(possible(&sheet, &places));
        let suggested = review(&reordered(&sheet, &places), &CATALOG, &air, &now());
        prop_assert!(avoided(&suggested) <= avoided(&given));
        prop_assert_eq!(avoided(&suggested), given.order.suggested.avoid);
        prop_assert_eq!(given.order.exact, sheet.layers.len() <= 14 || sheet.layers.iter().all(|layer| layer.finished.is_some()));
        places.sort_unstable();
        prop_assert_eq!(places, (1..=sheet.layers.len()).collect::<Vec<_>>());
    }

    #[test]
    fn the_exact_order_equals_brute_force(layers in proptest::collection::vec(layer(), 1..7)) {
        let sheet = sheet_of(layers, 0, None);
        let air = MoistAir { temperature_c: 20.0, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        let order = review(&sheet, &CATALOG, &air, &now()).order;
        let best = orders(sheet.layers.len())
            .into_iter()
            .filter(|places| possible(&sheet, places))
            .map(|places| cost(&sheet, &places))
            .min();
        prop_assert!(possible(&sheet, &order.places));
        prop_assert_eq!(Some(cost(&sheet, &order.places)), best);
    }

    #[test]
    fn no_layer_of_a_long_order_lies_better_elsewhere(layers in proptest::collection::vec(layer(), 15..19)) {
        let layers = layers.into_iter().map(|layer| Layer { finished: None, ..layer }).collect();
        let sheet = sheet_of(layers, 0, None);
        let air = MoistAir { temperature_c: 20.0, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        let order = review(&sheet, &CATALOG, &air, &now()).order;
        prop_assert!(!order.exact);
        let reached = cost(&sheet, &order.places);
        for from in 0..order.places.len() {
            for to in 0..order.places.len() {
                let mut lifted = order.places.clone();
                let layer = lifted.remove(from);
                lifted.insert(to, layer);
                prop_assert!(cost(&sheet, &lifted) >= reached, "{} to {to} of {:?}", from, order.places);
            }
        }
    }

    #[test]
    fn colder_or_damper_never_dries_sooner(air in air(), colder in 0.0..10.0_f64, damper in 0.0..0.05_f64) {
        for drying in [DryingKind::Water, DryingKind::Solvent, DryingKind::Dry] {
            let here = wait_factor(drying, &air, &CATALOG.rules);
            let cold = MoistAir { temperature_c: air.temperature_c - colder, ..air };
            let damp = MoistAir { relative_humidity: air.relative_humidity + damper, ..air };
            prop_assert!(wait_factor(drying, &cold, &CATALOG.rules) >= here - 1e-12);
            prop_assert!(wait_factor(drying, &damp, &CATALOG.rules) >= here - 1e-12);
        }
    }
}
