//! The one entry: a run's releases in a room become exposures, times, advice and findings.

use super::advice::{self, Advice};
use super::assess::{Assessment, assess_lines};
use super::exposure::{Exposure, Lines};
use super::inventory::Kind;
use super::mask::{cartridge_life_h, max_use_concentration_ppm};
use super::model::{AirReview, Respirator, SeriesPoint, SolventAir, Ventilation};
use super::run::RunAir;
use super::times::{ThreeTimes, purge_min};
use super::zone::Place;
use crate::catalog::Catalog;
use crate::estimate::{Basis, Grounds};
use crate::finding::{Finding, Level};

/// Points of the air curve besides the beginnings and ends of coats.
const CURVE_POINTS: usize = 180;

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

/// Reviews the air of a run.
pub fn review(run: &RunAir, catalog: &Catalog) -> AirOutcome {
    let lines = Lines::of(run, catalog);
    let Assessment { exposure, after_coats, mut findings, verdict } = assess_lines(&lines, catalog);
    let last = after_coats.last().copied().unwrap_or(ThreeTimes::AT_ONCE);
    let advice = advice::advice(run, verdict, catalog);
    advice::add_remedies(&mut findings, &advice, run);
    findings.extend(weaker_mask(run));
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
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
        verdict: crate::finding::verdict(&findings),
    };
    AirOutcome { review, exposure, after_coats, advice, findings }
}

/// A mask was named that protects less than the one every figure here counts on.
fn weaker_mask(run: &RunAir) -> Option<Finding> {
    let (named, counted) = (run.respirator?, run.mask());
    (named != counted).then(|| {
        let text = format!(
            "A {} protects {} times, which is too little: all that is said here counts on a {}",
            named.in_words(),
            named.protection_factor(),
            counted.in_words()
        );
        let grounds = Grounds::with_source(Basis::Published, "29 CFR 1910.134(d)(3)(i)(A), table 1");
        Finding::on("mask-too-weak", Level::Care, text, &grounds)
            .remedy(format!("Wear a {}, or better", counted.in_words()))
    })
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
