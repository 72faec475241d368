//! The judgement of a run's air: exposures, times after each coat, findings and their level.

use super::exposure::{Exposure, Lines};
use super::judge;
use super::run::RunAir;
use super::times::{ThreeTimes, after_last, clears, three_times};
use crate::catalog::Catalog;
use crate::finding::{Finding, Level, verdict};

/// The judgement of a run's air without advice, curve and mask: quick enough to call in a search.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// What the limits compare with.
    pub exposure: Exposure,
    /// The three times after each coat, as if no other followed.
    pub after_coats: Vec<ThreeTimes>,
    /// Findings, most severe first, those of the room included.
    pub findings: Vec<Finding>,
    /// The most severe of them.
    pub verdict: Level,
}

/// Judges the air of a run.
pub fn assess(run: &RunAir, catalog: &Catalog) -> Assessment {
    assess_lines(&Lines::of(run, catalog), catalog)
}

pub(super) fn assess_lines(lines: &Lines<'_>, catalog: &Catalog) -> Assessment {
    let exposure = lines.exposure();
    let after_coats = three_times(lines);
    let last = after_coats.last().copied().unwrap_or(ThreeTimes::AT_ONCE);
    let mut findings = lines.run.room.findings.clone();
    findings.extend(judge::findings(lines, &exposure, last.into(), catalog));
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    let verdict = verdict(&findings);
    Assessment { exposure, after_coats, findings, verdict }
}

/// The three times after the last coat of a run, and nothing else: quick enough to place coats one after another.
pub fn times_after_last(run: &RunAir, catalog: &Catalog) -> ThreeTimes {
    after_last(&Lines::of(run, catalog))
}

/// The level of a run's air alone, as [`assess`] finds it.
pub(super) fn level(run: &RunAir, catalog: &Catalog) -> Level {
    let lines = Lines::of(run, catalog);
    let findings = judge::findings(&lines, &lines.deciding_exposure(), clears(&lines), catalog);
    verdict(&findings).max(verdict(&run.room.findings))
}

#[cfg(test)]
mod tests {
    use super::super::mask::RespiratorKind;
    use super::super::release::{CoatAir, CurvePiece, Release, Shape};
    use super::super::ventilation::RoomAir;
    use super::*;
    use crate::catalog::Component;
    use crate::input::{Hardener, read_room};
    use proptest::prelude::*;

    fn shape() -> impl Strategy<Value = Shape> {
        prop_oneof![
            (1.0..120.0_f64).prop_map(|duration_s| Shape::Steady { duration_s }),
            (1e-4..1e-1_f64).prop_map(|rate_per_s| Shape::Decaying { rate_per_s }),
            prop::collection::vec((0.1..600.0_f64, 0.0..1.0_f64), 1..12).prop_map(|pieces| {
                let mut from_s = 0.0;
                let piece = |(long, part)| {
                    let piece = CurvePiece { from_s, to_s: from_s + long, part };
                    from_s += long;
                    piece
                };
                Shape::Curve(pieces.into_iter().map(piece).collect())
            }),
        ]
    }

    fn coats() -> impl Strategy<Value = Vec<CoatAir>> {
        let part = prop_oneof![
            Just(Component::Substance("acetone".into())),
            Just(Component::Substance("toluene".into())),
            Just(Component::Substance("propane".into())),
            Just(Component::Substance("n-butyl-acetate".into())),
            Just(Component::Solid(crate::catalog::SolidKind::Resin)),
            Just(Component::Undeclared),
        ];
        // Masses over five powers of ten, so that every threshold is near for some.
        let release = (part, -3.0..2.0_f64, shape());
        let coat = (prop::collection::vec(release, 1..6), 60.0..7200.0_f64);
        prop::collection::vec(coat, 1..5).prop_map(|coats| {
            let mut start_s = 0.0;
            let coat = |(releases, gap_s): (Vec<(Component, f64, Shape)>, f64)| {
                let at_s = start_s;
                start_s += gap_s;
                let release =
                    |(component, power, shape)| Release { component, mass_g: libm::exp10(power), start_s: at_s, shape };
                CoatAir { start_s: at_s, end_s: at_s + 20.0, releases: releases.into_iter().map(release).collect() }
            };
            coats.into_iter().map(coat).collect()
        })
    }

    fn room() -> impl Strategy<Value = String> {
        prop_oneof![
            (1.0..60.0_f64, 0.05..30.0_f64).prop_map(|(volume, changes)| {
                format!("volume = \"{volume:.3} m3\"\nair_changes = \"{changes:.3} /h\"")
            }),
            (0.0..4.0_f64).prop_map(|wind| format!("airflow = \"outdoors\"\nwind = \"{wind:.2} m/s\"")),
        ]
    }

    #[test]
    fn a_strict_short_term_limit_is_not_passed_over() {
        // A limit under one part in a million, and a short-term one a fifth of it: the quick figures must reach the same
        // side of every threshold as the whole ones.
        let mut catalog = Catalog::builtin();
        let limits = &mut catalog.substances.get_mut("toluene").expect("built in").limits;
        (limits.lowest_twa_ppm, limits.lowest_short_term_ppm) = (Some(0.5), Some(0.1));
        let input =
            read_room(&crate::diagnostic::SourceText::new("room.toml", "airflow = \"outdoors\"")).expect("a room");
        let mut passed = 0;
        for n in 0..60 {
            let mass_g = 1e-4 * libm::pow(1.3, f64::from(n));
            let component = Component::Substance("toluene".into());
            let release = Release { component, mass_g, start_s: 0.0, shape: Shape::Steady { duration_s: 60.0 } };
            let run = RunAir {
                room: RoomAir::of(Some(&input), &catalog.rules.air),
                coats: vec![CoatAir { start_s: 0.0, end_s: 60.0, releases: vec![release] }],
                shares: Vec::new(),
                respirator: None,
                hardener: Hardener::None,
                ignition: false,
                relative_humidity: None,
            };
            let lines = Lines::of(&run, &catalog);
            let (whole, quick) = (lines.exposure(), lines.deciding_exposure());
            passed += usize::from(whole.index_short_term >= 1.0 && whole.index_15min < 1.0);
            for (whole, quick) in
                [(whole.index_15min, quick.index_15min), (whole.index_short_term, quick.index_short_term)]
            {
                assert_eq!(whole >= 1.0, quick >= 1.0, "{mass_g} g: {whole} and {quick}");
            }
        }
        assert!(passed > 0, "no mass lies between the two limits");
    }

    proptest! {
        #[test]
        fn the_quick_level_is_that_of_the_whole_judgement(
            coats in coats(),
            room in room(),
            supplied in any::<bool>(),
            limit_power in -2.0..2.0_f64,
            short_over_long in 0.2..5.0_f64,
        ) {
            let mut catalog = Catalog::builtin();
            // A substance of the user's own may be strict, and its short-term limit below the other.
            let limits = &mut catalog.substances.get_mut("toluene").expect("built in").limits;
            let long = libm::exp10(limit_power);
            limits.lowest_twa_ppm = Some(long);
            limits.lowest_short_term_ppm = Some(long * short_over_long);
            let input = read_room(&crate::diagnostic::SourceText::new("room.toml", &room)).expect("a room");
            let run = RunAir {
                room: RoomAir::of(Some(&input), &catalog.rules.air),
                coats,
                shares: Vec::new(),
                respirator: supplied.then_some(RespiratorKind::SarContFull),
                hardener: Hardener::None,
                ignition: false,
                relative_humidity: None,
            };
            prop_assert_eq!(level(&run, &catalog), assess(&run, &catalog).verdict);
        }
    }
}
