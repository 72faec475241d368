//! What a hand, an eye and a clock are granted: the figures a person is told, held at their limits.

use coatbell::catalog::{Component, Part};
use coatbell::estimate::{Basis, Grounds, Quantiles, Triple};
use coatbell::input::{read_batch, text_from_bytes};
use coatbell::record::{CanWeighing, ConeReading, Reading, ThumbReading, read_can, read_cone, read_thumb};
use coatbell::solve::{BuildLimit, DistanceBand, choose_build};
use coatbell::spray::{Contents, Samples, Spray};

use crate::pages::ordinary_air;
use crate::support::{CATALOG, evening_outdoors, now};

/// A build is swept at one to two feet a second at most (common practice, no source), whatever the mist was swept at and
/// however little the sheet bears: beyond, nobody keeps a steady pass.
#[test]
fn no_build_is_swept_faster_than_two_feet_a_second() {
    let spray = Spray::new(&CATALOG.sealers["acrylic-gloss"], &ordinary_air(), &CATALOG);
    let samples = Samples::new(&spray, 64, 1);
    let bears_nothing = BuildLimit { limit_um: 0.1, limited_by: "a test".into() };
    let band = DistanceBand { near_cm: 15.0, far_cm: 20.0, usual_cm: 18.0 };
    let (mist_cm_s, feet_cm_s) = (100.0, 2.0 * 30.48);
    let build = choose_build(&spray, &samples, &bears_nothing, &band, mist_cm_s, &CATALOG.rules).setting;
    assert!((feet_cm_s - 1.0..=feet_cm_s).contains(&build.speed_cm_s), "{} cm/s", build.speed_cm_s);
}

fn cone(distance_cm: f64, width_cm: f64) -> Option<f64> {
    match read_cone(&ConeReading { distance_cm, width_cm }, &CATALOG.model.measure) {
        Ok(Reading::Cone { relative_sd, .. }) => Some(relative_sd),
        _ => None,
    }
}

/// Worked by hand from a distance held to 1 cm and an edge read to 7 mm (estimates), which add as squares: 1 in 10 and 0.7
/// in 20 make 0.106; 1 in 30 and 0.7 in 13.3 make 0.062.
#[test]
fn a_spot_is_as_uncertain_as_hand_and_eye() {
    for (distance_cm, width_cm, worked) in [(10.0, 20.0, 0.1059), (20.0, 40.0, 0.0530), (30.0, 13.3, 0.0623)] {
        let got = cone(distance_cm, width_cm).expect("a spot that tells");
        assert!((got / worked - 1.0).abs() < 0.01, "{width_cm} cm from {distance_cm} cm: {got}");
    }
}

/// A reading uncertain by a quarter tells nothing (choice): 0.7 cm and 1 cm in a spot as wide as it is far come to that at
/// √(0.7² + 1²)/0.25 = 4.88 cm.
#[test]
fn a_spot_uncertain_by_more_than_a_quarter_is_refused() {
    assert!(cone(4.95, 4.95).is_some(), "a little larger than 4.88 cm");
    assert!(cone(4.80, 4.80).is_none(), "a little smaller than 4.88 cm");
}

/// The example says in a comment what an evening goes by where nothing is written: a minute of handling a sheet.
#[test]
fn an_evening_goes_by_the_handling_its_example_states() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/profiles/examples/batches/saturday.toml");
    let bytes = std::fs::read(path).expect("the example is there");
    let written = String::from_utf8(bytes).expect("UTF-8").replace("# handling = ", "handling = ");
    let source = text_from_bytes("saturday.toml", written.as_bytes()).expect("text");
    let stated = read_batch(&source, &now()).expect("an evening").handling.expect("handling is stated").minutes();
    assert_eq!(evening_outdoors(2).inputs.handling_min, stated);
}

/// One honest reading in a hundred is asked about: of a normal distribution that many lie beyond 2.576 standard deviations
/// (tables).
#[test]
fn one_honest_reading_in_a_hundred_is_questioned() {
    let beyond = CATALOG.model.measure.question_at.get();
    let share = libm::erfc(beyond / std::f64::consts::SQRT_2);
    assert!((0.0085..0.0115).contains(&share), "{share}");
}

/// Worked by hand: 10 g in ten seconds by a scale of 0.1 g; a burst differs from the next by 4 %, a hand and a clock by
/// 0.3 s (estimates). 0.04, 0.03 and 0.1/√6/10 add as squares to 0.0502; four bursts halve the first two to 0.0252 of
/// four times the weight.
#[test]
fn a_weighing_is_as_uncertain_as_burst_clock_and_scale() {
    let gloss = &CATALOG.sealers["acrylic-gloss"];
    for (bursts, lost_g, worked) in [(1, 10.0, 0.0502), (4, 40.0, 0.0250)] {
        let weighing = CanWeighing {
            before_g: 400.0,
            after_g: 400.0 - lost_g,
            seconds: 10.0,
            bursts,
            scale_g: 0.1,
            temperature_c: 22.0,
            discharge_factor: 1.0,
        };
        let Ok(Reading::Can { relative_sd, .. }) = read_can(&weighing, gloss, &CATALOG.model.measure) else {
            panic!("a weighing that tells")
        };
        assert!((relative_sd / worked - 1.0).abs() < 0.01, "{bursts}: {relative_sd}");
    }
}

/// A thumb tells to a fifth (estimate), and two moments of a clock of whole minutes are off by 1/√6 min: of 4 min that makes
/// √(0.2² + 0.102²) = 0.2245.
#[test]
fn a_thumb_is_as_uncertain_as_skin_and_clock() {
    let figures = &CATALOG.model.measure;
    let reading = ThumbReading {
        of: "a page".into(),
        minutes: 4.0,
        clock_step_min: figures.clock_step_min.get(),
        modelled: Quantiles { p10: 3.0, p50: 4.0, p90: 5.0 },
    };
    let Ok(Reading::Drying { relative_sd, .. }) = read_thumb(&reading, figures) else { panic!("a thumb that tells") };
    assert!((relative_sd / 0.2245 - 1.0).abs() < 0.01, "{relative_sd}");
}

/// What a safety data sheet leaves out counts as resin and water alike (rule): half of an undeclared fifth is solids.
#[test]
fn what_is_not_declared_is_half_resin() {
    let mut sealer = CATALOG.sealers["acrylic-gloss"].clone();
    let part = |component: Component, share: f64| Part {
        component,
        share: Triple::exact(share),
        grounds: Grounds::plain(Basis::Label),
    };
    sealer.composition.parts = vec![part(Component::Substance("acetone".into()), 0.8)];
    sealer.composition.complete = false;
    let solids = Contents::new(&sealer.composition, &CATALOG).at_mode().solids;
    assert!((solids - 0.1).abs() < 1e-9, "{solids}");
}
