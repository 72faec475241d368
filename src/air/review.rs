//! The one entry: a run's releases in a room become exposures, times, advice and findings.

use super::advice::{self, Advice};
use super::exposure::{Exposure, Lines};
use super::inventory::Kind;
use super::judge;
use super::mask::{RespiratorKind, cartridge_life_h, max_use_concentration_ppm};
use super::model::{AirReview, Respirator, SeriesPoint, SolventAir, Ventilation};
use super::release::CoatAir;
use super::times::{ThreeTimes, after_last, clears, purge_min, three_times};
use super::ventilation::RoomAir;
use super::zone::Place;
use crate::catalog::{Catalog, Component, Composition, Part};
use crate::estimate::{Basis, Grounds, Triple};
use crate::finding::{Finding, Level, verdict};
use crate::input::Hardener;

/// Points of the air curve besides the beginnings and ends of coats.
const CURVE_POINTS: usize = 180;

/// What is in a can for [`RunAir::shares`]: its parts, and what they leave undeclared.
pub fn shares_of(composition: &Composition) -> Vec<Part> {
    let mut parts = composition.parts.clone();
    let sum = |end: fn(Triple) -> f64| 1.0 - parts.iter().map(|part| end(part.share)).sum::<f64>();
    let [low, mode, high] = [sum(Triple::high), sum(Triple::mode), sum(Triple::low)].map(|rest| rest.max(0.0));
    let listed = parts.iter().any(|part| part.component == Component::Undeclared);
    if let Some(share) = Triple::new(low, mode, high).filter(|_| !composition.complete && !listed && mode > 1e-9) {
        parts.push(Part { component: Component::Undeclared, share, grounds: Grounds::plain(Basis::Estimate) });
    }
    parts
}

/// A run as the air review needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct RunAir {
    /// The room.
    pub room: RoomAir,
    /// The coats, in order, with everything they release.
    pub coats: Vec<CoatAir>,
    /// What is in the can or cans, for the hazards that count by share; the high ends are used.
    pub shares: Vec<Part>,
    /// A mask the user named; the recommended half mask where it protects more.
    pub respirator: Option<RespiratorKind>,
    /// Hardener.
    pub hardener: Hardener,
    /// An ignition source within reach, besides what the room file says.
    pub ignition: bool,
    /// Relative humidity, 0 to 1, if known: damp shortens the life of a cartridge.
    pub relative_humidity: Option<f64>,
}

impl RunAir {
    /// The mask counted on: a half mask with cartridges, or a better one that the user named.
    pub fn mask(&self) -> RespiratorKind {
        let half = RespiratorKind::HalfApr;
        match self.respirator {
            Some(named) if named.supplies_air() || named.protection_factor() >= half.protection_factor() => named,
            _ => half,
        }
    }

    /// The same run with extra time between its coats.
    #[must_use]
    pub(super) fn with_longer_intervals(&self, extra_s: f64) -> Self {
        let coats = self.coats.iter().enumerate().map(|(n, coat)| coat.shifted(n as f64 * extra_s)).collect();
        Self { coats, ..self.clone() }
    }
}

/// Everything the air says about a run.
#[derive(Debug, Clone, PartialEq)]
pub struct AirOutcome {
    /// The review as it goes into the plan.
    pub review: AirReview,
    /// The figures behind its findings.
    pub exposure: Exposure,
    /// The three times after each coat, as if no other followed.
    pub after_coats: Vec<ThreeTimes>,
    /// What would make it milder.
    pub advice: Advice,
    /// Findings, most severe first, those of the room included.
    pub findings: Vec<Finding>,
}

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

fn assess_lines(lines: &Lines<'_>, catalog: &Catalog) -> Assessment {
    let exposure = lines.exposure();
    let after_coats = three_times(lines);
    let last = after_coats.last().copied().unwrap_or(ThreeTimes::AT_ONCE);
    let mut findings = lines.run.room.findings.clone();
    findings.extend(judge::findings(lines, &exposure, last.into(), catalog));
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    let verdict = verdict(&findings);
    Assessment { exposure, after_coats, findings, verdict }
}

/// Reviews the air of a run.
pub fn review(run: &RunAir, catalog: &Catalog) -> AirOutcome {
    let lines = Lines::of(run, catalog);
    let Assessment { exposure, after_coats, mut findings, verdict: level } = assess_lines(&lines, catalog);
    let last = after_coats.last().copied().unwrap_or(ThreeTimes::AT_ONCE);
    let advice = advice::advice(run, level, catalog);
    advice::add_remedies(&mut findings, &advice, run);
    let room_peak = lines.full.peak(Place::Room, lines.horizon_s());
    let review = AirReview {
        solvents: solvents(&lines),
        index_15min: exposure.index_15min,
        index_short_term: exposure.index_short_term,
        index_8h: exposure.index_8h,
        index_unmasked_only: exposure.index_unmasked_only,
        room_index_peak: room_peak,
        lel_room_pct: exposure.room_explosive * 100.0,
        lel_near_pct: exposure.near_explosive * 100.0,
        return_masked_min: last.return_masked_min,
        clear_unmasked_min: last.clear_unmasked_min,
        clear_others_min: last.clear_others_min,
        purge_99_min: Some(purge_min(&lines)),
        airflow_needed_m3_h: advice.airflow_for_go_m3_h,
        ventilation: Ventilation {
            m3_h: run.room.flow_m3_h.mode(),
            low_m3_h: run.room.flow_m3_h.low(),
            mixing_factor: run.room.mixing_factor,
            source: run.room.source.clone(),
        },
        respirator: respirator(&lines),
        series: series(&lines, last),
        verdict: level,
    };
    AirOutcome { review, exposure, after_coats, advice, findings }
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

fn solvents(lines: &Lines<'_>) -> Vec<SolventAir> {
    let horizon = lines.horizon_s();
    let mut solvents = Vec::new();
    for (place, item) in lines.inventory.items.iter().enumerate() {
        if item.kind == Kind::Mist {
            continue;
        }
        let line = lines.line(&lines.inventory.ppm_sources(&lines.run.coats, place));
        solvents.push(SolventAir {
            id: item.id.clone(),
            released_g: item.released_g,
            room_peak_ppm: line.peak(Place::Room, horizon),
            near_peak_ppm: line.peak(Place::NearField, horizon),
            mean_15min_ppm: lines.short_mean(&line),
            mean_8h_ppm: lines.long_mean(&line),
            limit_8h_ppm: item.limits.as_ref().map(|limits| limits.eight_hour_ppm),
            limit_15min_ppm: item.limits.as_ref().map(|limits| limits.short_term_ppm),
            limit_source: item
                .limits
                .as_ref()
                .map_or_else(|| "counts in no index".to_owned(), |limits| limits.source.clone()),
        });
    }
    solvents.sort_by(|a, b| b.released_g.total_cmp(&a.released_g).then_with(|| a.id.cmp(&b.id)));
    solvents
}

fn respirator(lines: &Lines<'_>) -> Respirator {
    let mask = lines.run.mask();
    let rules = lines.rules;
    let held = || lines.inventory.items.iter().filter(|item| item.held && item.limits.is_some());
    let lowest_use = held()
        .filter_map(|item| {
            let limit = item.limits.as_ref()?.eight_hour_ppm;
            let cap = item.acute_ppm.unwrap_or(f64::INFINITY);
            let use_ppm = max_use_concentration_ppm(mask.protection_factor(), limit, cap);
            let approved = if mask.supplies_air() { f64::INFINITY } else { rules.cartridge_cap_ppm.get() };
            Some(use_ppm.min(approved))
        })
        .reduce(f64::min);
    let not_held = lines.inventory.items.iter().filter(|item| item.is_not_held());
    let (cartridge, prefilter) = if mask.supplies_air() {
        ("none: it brings its own air", "none")
    } else {
        ("organic vapour (black; type A)", "particulate, oil-proof (R95 or P100; P2 or P3)")
    };
    Respirator {
        kind: mask.in_words().to_owned(),
        cartridge: cartridge.to_owned(),
        prefilter: prefilter.to_owned(),
        protection_factor: mask.protection_factor(),
        max_use_ppm: lowest_use,
        not_held: not_held.map(|item| item.name.clone()).collect(),
        cartridge_life_h: (!mask.supplies_air()).then(|| cartridge_life(lines)).flatten(),
    }
}

/// Life of the cartridges by rule of thumb, from the sum of what they hold that the rule covers; `None` if nothing is.
fn cartridge_life(lines: &Lines<'_>) -> Option<f64> {
    let rules = lines.rules;
    let covered = lines.inventory.sources(&lines.run.coats, |item| {
        let boils_late = item.boiling_point_c.is_some_and(|point| point > rules.cartridge_boiling_c.get());
        if item.held && item.limits.is_some() && boils_late { item.ppm_per_g_m3 } else { 0.0 }
    });
    let ppm = lines.short_mean(&lines.line(&covered));
    let humidity = lines.run.relative_humidity.unwrap_or(1.0) * 100.0;
    (ppm > 0.0).then(|| {
        let life = cartridge_life_h(rules.cartridge_base_h.get(), rules.cartridge_base_ppm.get(), ppm, humidity);
        life.min(rules.cartridge_longest_h.get())
    })
}

/// The curve: evenly spaced, and at the beginning and end of every coat.
fn series(lines: &Lines<'_>, last: ThreeTimes) -> Vec<SeriesPoint> {
    let coats = &lines.run.coats;
    let Some(end) = coats.last().map(|coat| coat.end_s) else { return Vec::new() };
    let longest = lines.rules.longest_wait_h.get() * 60.0;
    let shown_min = last.clear_others_min.map_or(longest, f64::from).clamp(30.0, longest);
    let until = end + shown_min * 60.0;
    let mut moments: Vec<f64> = (0..=CURVE_POINTS).map(|n| until * n as f64 / CURVE_POINTS as f64).collect();
    moments.extend(coats.iter().flat_map(|coat| [coat.start_s, coat.end_s]));
    moments.sort_unstable_by(f64::total_cmp);
    moments.dedup();
    moments
        .into_iter()
        .map(|t| SeriesPoint {
            t_min: t / 60.0,
            room_index: lines.full.at(Place::Room, t),
            near_index: lines.full.at(Place::NearField, t),
            lel_pct: lines.explosive.at(Place::NearField, t) * 100.0,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::release::{CurvePiece, Release, Shape};
    use super::*;
    use crate::input::read_room;
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
