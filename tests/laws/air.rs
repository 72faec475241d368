//! Laws of the air: whatever makes it worse never makes a figure, a time or the verdict milder.

use coatbell::air::{Assessment, CoatAir, Release, RoomAir, RunAir, Shape, ThreeTimes, assess};
use coatbell::catalog::{Catalog, Component};
use coatbell::estimate::Triple;
use coatbell::finding::Level;
use coatbell::input::Hardener;
use proptest::prelude::*;
use std::sync::LazyLock;

use crate::practice::air_scenes::coats;

static CATALOG: LazyLock<Catalog> = LazyLock::new(Catalog::builtin);

/// Relative rounding allowed: the closed forms agree with themselves to far better than this.
const ROUNDING: f64 = 1e-9;

fn run() -> impl Strategy<Value = RunAir> {
    let sealers =
        prop::sample::select(vec!["acrylic-gloss", "acrylic-gloss-aromatic", "acrylic-spirit", "water-clear"]);
    let room = (1.0..200.0_f64, -1.0..3.5_f64, prop::sample::select(vec![3.6, 6.0]), 1.0..5.0_f64);
    (sealers, 0.2..20.0_f64, 1..6_usize, 60.0..3600.0_f64, room).prop_map(
        |(sealer, grams, count, every_s, (volume_m3, log_changes, speed, mixing_factor))| {
            let (coats, shares) = coats(sealer, grams, count, every_s);
            let mut room = RoomAir::of(None, &CATALOG.rules.air);
            room.findings.clear();
            room.volume_m3 = volume_m3;
            room.flow_m3_h = Triple::exact(libm::exp(log_changes) * volume_m3);
            room.random_air_speed_m_min = speed;
            room.mixing_factor = mixing_factor;
            RunAir {
                room,
                coats,
                shares,
                respirator: None,
                hardener: Hardener::None,
                ignition: false,
                relative_humidity: None,
            }
        },
    )
}

/// Every figure, named, that may only rise.
fn figures(assessment: &Assessment) -> [(&'static str, f64); 8] {
    let exposure = &assessment.exposure;
    [
        ("index over 15 minutes", exposure.index_15min),
        ("short-term index", exposure.index_short_term),
        ("8-hour index", exposure.index_8h),
        ("index no mask holds", exposure.index_unmasked_only),
        ("index behind the mask", exposure.index_masked),
        ("explosive limit at the face", exposure.near_explosive),
        ("explosive limit in the room", exposure.room_explosive),
        ("mist", exposure.mist_mg_m3),
    ]
}

fn not_earlier(better: &ThreeTimes, worse: &ThreeTimes) -> bool {
    let later = |better: Option<u32>, worse: Option<u32>| worse.is_none() || better.is_some_and(|b| Some(b) <= worse);
    later(better.return_masked_min, worse.return_masked_min)
        && later(better.clear_unmasked_min, worse.clear_unmasked_min)
        && later(better.clear_others_min, worse.clear_others_min)
}

/// Checks that the second run is nowhere milder.
///
/// Where only the intervals differ, only the time after the last coat is compared.
fn never_milder(better: &RunAir, worse: &RunAir, all_times: bool) -> Result<(), TestCaseError> {
    let (before, after) = (assess(better, &CATALOG), assess(worse, &CATALOG));
    for ((name, was), (_, is)) in figures(&before).into_iter().zip(figures(&after)) {
        prop_assert!(is >= was * (1.0 - ROUNDING) - 1e-15, "{name}: {was} became {is}");
    }
    prop_assert!(after.verdict >= before.verdict, "{:?} became {:?}", before.verdict, after.verdict);
    let skip = if all_times { 0 } else { before.after_coats.len() - 1 };
    for (was, is) in before.after_coats.iter().zip(&after.after_coats).skip(skip) {
        prop_assert!(not_earlier(was, is), "{was:?} became {is:?}");
    }
    Ok(())
}

/// The same coats with their intervals shortened.
fn closer_together(run: &RunAir, factor: f64) -> RunAir {
    let coats = run.coats.iter().map(|coat| coat.shifted(coat.start_s * (factor - 1.0))).collect();
    RunAir { coats, ..run.clone() }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn less_air(run in run(), factor in 0.05..1.0_f64) {
        let mut worse = run.clone();
        worse.room.flow_m3_h = run.room.flow_m3_h.scaled(factor);
        never_milder(&run, &worse, true)?;
    }

    #[test]
    fn a_smaller_room_at_the_same_air_changes(run in run(), factor in 0.1..1.0_f64) {
        let mut worse = run.clone();
        let factor = factor.max(1.0 / run.room.volume_m3);
        worse.room.volume_m3 = run.room.volume_m3 * factor;
        worse.room.flow_m3_h = run.room.flow_m3_h.scaled(factor);
        never_milder(&run, &worse, true)?;
    }

    #[test]
    fn more_spray(run in run(), factor in 1.0..5.0_f64) {
        let mut worse = run.clone();
        for release in worse.coats.iter_mut().flat_map(|coat| &mut coat.releases) {
            release.mass_g *= factor;
        }
        never_milder(&run, &worse, true)?;
    }

    #[test]
    fn worse_mixing(run in run(), factor in 1.0..5.0_f64) {
        let mut worse = run.clone();
        worse.room.mixing_factor *= factor;
        never_milder(&run, &worse, true)?;
    }

    #[test]
    fn another_substance(
        run in run(),
        which in prop::sample::select(CATALOG.substances.keys().cloned().collect::<Vec<_>>()),
        mass_g in 0.01..5.0_f64,
        unknown in any::<bool>(),
    ) {
        let mut worse = run.clone();
        let component =
            if unknown { Component::Unknown { cas: "9999-99-9".to_owned() } } else { Component::Substance(which) };
        for coat in &mut worse.coats {
            let release = Release {
                component: component.clone(),
                mass_g,
                start_s: coat.start_s,
                shape: Shape::Decaying { rate_per_s: 1.0 / 600.0 },
            };
            coat.releases.push(release);
        }
        never_milder(&run, &worse, true)?;
    }

    #[test]
    fn shorter_intervals(run in run(), factor in 0.05..1.0_f64) {
        let mut prompt = run.clone();
        for release in prompt.coats.iter_mut().flat_map(|coat| &mut coat.releases) {
            release.shape = Shape::Steady { duration_s: 8.0 };
        }
        never_milder(&prompt, &closer_together(&prompt, factor), false)?;
    }

    #[test]
    fn never_go_where_the_figures_forbid(run in run()) {
        let assessment = assess(&run, &CATALOG);
        let exposure = &assessment.exposure;
        let full = [exposure.index_15min, exposure.index_short_term, exposure.index_8h].iter().any(|index| *index >= 1.0);
        if exposure.near_explosive >= 0.1 || full {
            prop_assert!(assessment.verdict > Level::Go);
        }
        if exposure.near_explosive >= 0.25 || exposure.index_unmasked_only >= 2.0 || exposure.index_masked >= 1.0 {
            prop_assert_eq!(assessment.verdict, Level::Hold);
        }
    }

    #[test]
    fn what_is_released_leaves(run in run()) {
        use coatbell::air::{Place, Sources, Timeline};
        let mut sources = Sources::default();
        let mut released = 0.0;
        for release in run.coats.iter().flat_map(|coat: &CoatAir| &coat.releases) {
            sources.add(release, 1.0);
            released += release.mass_g;
        }
        let zones = run.room.zones(&CATALOG.rules.air);
        let line = Timeline::new(zones, &sources);
        // Thirty time constants of the slow mode and the longest film.
        let late = 30.0 * run.room.volume_m3 / zones.flow_m3_s() + 1e5;
        let left = zones.flow_m3_s() * line.integral(Place::Room, late);
        prop_assert!((left / released - 1.0).abs() < 1e-3, "{} of {}", left, released);
    }
}

proptest! {
    // The face's figures may fall a little here (see below), so the seed is fixed: the test says the same every day.
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(26),
        ..ProptestConfig::default()
    })]

    /// With films that go on filling a closed room the law is not exact: the next coat may come before the one before it
    /// has filled the room. The room's own figures, the verdict and the time after the last coat keep to it; what the
    /// face gets falls by a few per cent at most.
    #[test]
    fn shorter_intervals_with_films(run in run(), factor in 0.05..1.0_f64) {
        let (before, after) = (assess(&run, &CATALOG), assess(&closer_together(&run, factor), &CATALOG));
        for ((name, was), (_, is)) in figures(&before).into_iter().zip(figures(&after)) {
            let kept = if ["8-hour index", "explosive limit in the room", "mist"].contains(&name) { 1.0 } else { 0.9 };
            prop_assert!(is >= was * (kept - ROUNDING) - 1e-15, "{name}: {was} became {is}");
        }
        prop_assert!(after.verdict >= before.verdict, "{:?} became {:?}", before.verdict, after.verdict);
        let (was, is) = (before.after_coats.last(), after.after_coats.last());
        prop_assert!(was.zip(is).is_some_and(|(was, is)| not_earlier(was, is)), "{was:?} became {is:?}");
    }
}
