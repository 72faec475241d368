//! The air of a whole evening: how much each coat asks of it, and what all coats together do to it.
//!
//! Unlike [`super::review`] nothing here grows with the square of the number of coats.

use super::exposure::Lines;
use super::inventory::{Airborne, Inventory};
use super::judge;
use super::release::{CoatAir, Shape};
use super::run::RunAir;
use super::timeline::Timeline;
use super::times::{ThreeTimes, after_last};
use super::zone::Place;
use crate::catalog::Catalog;
use crate::finding::{Finding, Level, verdict};

/// What one coat asks of the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoatLoad {
    /// Air that it fills to its limit, m³: the most demanding of what the mask holds over its protection factor, what
    /// it does not hold, and the explosive share over the share at which a room is left.
    pub fills_m3: f64,
    /// Share of that which goes while spraying.
    pub while_spraying: f64,
    /// Mean time after the end of the coat at which the rest goes, s.
    pub mean_delay_s: f64,
}

/// The air of an evening.
#[derive(Debug, Clone, PartialEq)]
pub struct EveningAir {
    /// Greatest fullness of the room, as [`CoatLoad`] counts it, at any moment; one is full.
    pub fullness_peak: f64,
    /// Σ 15-minute mean over 8-hour limit at the face.
    pub index_15min: f64,
    /// Σ 8-hour mean over 8-hour limit in the room.
    pub index_8h: f64,
    /// The same as `index_15min`, of what the mask does not hold.
    pub index_unmasked_only: f64,
    /// Greatest index in the room.
    pub room_index_peak: f64,
    /// Greatest share of the explosive limit in the room, per cent.
    pub lel_room_pct: f64,
    /// Greatest share of the explosive limit at the face, per cent.
    pub lel_near_pct: f64,
    /// The times after the last coat.
    pub after_last: ThreeTimes,
    /// Findings, most severe first, those of the room included.
    pub findings: Vec<Finding>,
    /// The most severe of them.
    pub verdict: Level,
}

/// How much of a limit a gram of something fills.
type Weight = fn(&Airborne) -> f64;

/// How the room counts against each of the three limits of [`CoatLoad`].
struct Limits {
    held: f64,
    unheld: f64,
    explosive: f64,
}

impl Limits {
    fn of(lines: &Lines<'_>) -> Self {
        let rules = lines.rules;
        Self {
            held: rules.masked_hold.get() * lines.run.mask().protection_factor(),
            unheld: rules.index_care.get(),
            explosive: rules.room_lel_hold.get(),
        }
    }
}

/// What each coat of a run asks of the air.
pub fn coat_loads(run: &RunAir, catalog: &Catalog) -> Vec<CoatLoad> {
    let lines = Lines::of(run, catalog);
    let limits = Limits::of(&lines);
    let weights: [(Weight, f64); 3] = [
        (Airborne::held_eight_hour, limits.held),
        (Airborne::unheld_eight_hour, limits.unheld),
        (Airborne::explosive, limits.explosive),
    ];
    let load = |coat: &CoatAir| {
        let loads = weights.map(|(weight, limit)| coat_load(&lines, coat, weight, limit));
        let demanding = loads.into_iter().max_by(|one, other| one.fills_m3.total_cmp(&other.fills_m3));
        let mut load = demanding.unwrap_or(CoatLoad { fills_m3: 0.0, while_spraying: 1.0, mean_delay_s: 0.0 });
        // Whichever goes soonest decides the peak: the careful end of the three.
        let filling = || loads.iter().filter(|one| one.fills_m3 > 0.1 * load.fills_m3);
        let (share, delay) = filling().fold((load.while_spraying, load.mean_delay_s), |(share, delay), one| {
            (one.while_spraying.max(share), one.mean_delay_s.min(delay))
        });
        load.while_spraying = share;
        load.mean_delay_s = delay;
        load
    };
    run.coats.iter().map(load).collect()
}

fn coat_load(lines: &Lines<'_>, coat: &CoatAir, weight: Weight, limit: f64) -> CoatLoad {
    let (mut steady, mut later, mut delay) = (0.0, 0.0, 0.0);
    for release in &coat.releases {
        let Some(item) = lines.inventory.item(&release.component) else { continue };
        let amount = release.mass_g * weight(item) / limit;
        let mean_s = match &release.shape {
            Shape::Steady { .. } => {
                steady += amount;
                continue;
            }
            Shape::Decaying { rate_per_s } => 1.0 / rate_per_s.max(1e-9),
            Shape::Curve(pieces) => {
                let whole: f64 = pieces.iter().map(|piece| piece.part.max(0.0)).sum();
                let moment = |from: f64, to: f64| 0.5 * (from + to);
                let sum: f64 = pieces.iter().map(|piece| piece.part.max(0.0) * moment(piece.from_s, piece.to_s)).sum();
                if whole > 0.0 { sum / whole } else { 0.0 }
            }
        };
        later += amount;
        delay += amount * (release.start_s + mean_s - coat.end_s).max(1.0);
    }
    let fills_m3 = steady + later;
    CoatLoad {
        fills_m3,
        while_spraying: if fills_m3 > 0.0 { steady / fills_m3 } else { 1.0 },
        mean_delay_s: if later > 0.0 { delay / later } else { 60.0 },
    }
}

/// A room that gets fuller than was asked: how full at most, as [`CoatLoad`] counts it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TooFull(pub f64);

/// Judges all coats of an evening together, by the same table as the coats of one page.
pub fn evening_air(run: &RunAir, catalog: &Catalog) -> EveningAir {
    let lines = Lines::of(run, catalog);
    judged(&lines, fullness_peak(&lines), catalog)
}

/// The same if the room gets no fuller than `most`, which is told first and costs a third.
///
/// # Errors
/// How full it gets, if that is more.
pub fn evening_air_within(most: f64, run: &RunAir, catalog: &Catalog) -> Result<EveningAir, TooFull> {
    let lines = Lines::of(run, catalog);
    let fullest = fullness_peak(&lines);
    if fullest > most { Err(TooFull(fullest)) } else { Ok(judged(&lines, fullest, catalog)) }
}

/// Greatest fullness of the room at any moment, as [`EveningAir`] has it, without the rest.
pub fn evening_fullness(run: &RunAir, catalog: &Catalog) -> f64 {
    fullness_peak(&Lines::of(run, catalog))
}

/// Greatest fullness of the room at any moment.
fn fullness_peak(lines: &Lines<'_>) -> f64 {
    let limits = Limits::of(lines);
    let horizon = lines.horizon_s();
    let room = |line: &Timeline| line.peak(Place::Room, horizon);
    (room(&lines.held) / limits.held)
        .max(room(&lines.unheld) / limits.unheld)
        .max(room(&lines.explosive) / limits.explosive)
}

fn judged(lines: &Lines<'_>, fullness_peak: f64, catalog: &Catalog) -> EveningAir {
    let exposure = lines.exposure();
    let last = after_last(lines);
    let mut findings = lines.run.room.findings.clone();
    findings.extend(judge::findings(lines, &exposure, last.into(), catalog));
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    EveningAir {
        fullness_peak,
        index_15min: exposure.index_15min,
        index_8h: exposure.index_8h,
        index_unmasked_only: exposure.index_unmasked_only,
        room_index_peak: lines.full.peak(Place::Room, lines.horizon_s()),
        lel_room_pct: 100.0 * exposure.room_explosive,
        lel_near_pct: 100.0 * exposure.near_explosive,
        after_last: last,
        verdict: verdict(&findings),
        findings,
    }
}

/// The index of the room at equal steps from the first coat on: minute, room, face.
pub fn evening_series(run: &RunAir, catalog: &Catalog, step_min: f64, count: usize) -> Vec<[f64; 3]> {
    let inventory = Inventory::of(run, catalog);
    let full = Timeline::new(run.room.zones(&catalog.rules.air), &inventory.sources(&run.coats, Airborne::eight_hour));
    let points = full.series(0.0, step_min * 60.0, count);
    points.into_iter().enumerate().map(|(n, (near, room))| [n as f64 * step_min, room, near]).collect()
}

/// What one coat alone does to the room over time, from a moment before its start, in equal steps.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatTrace {
    /// For each limit that [`CoatLoad`] knows, the greatest fullness within each step; beyond the last it is less than
    /// a share of the greatest that no longer matters.
    pub peaks: [Vec<f64>; 3],
    /// For each limit, the mean fullness within each step.
    pub means: [Vec<f64>; 3],
}

/// Looks at the air within a step of a trace.
const LOOKS: usize = 12;
/// Steps of a trace: tried first, and at most.
const STEPS: (usize, usize) = (256, 4096);
/// Share of the greatest fullness below which a trace ends.
const GONE: f64 = 1e-4;

/// The traces of all coats of a run, each as if it were alone; a trace begins `lead_s` before its coat.
pub fn coat_traces(run: &RunAir, catalog: &Catalog, lead_s: f64, step_s: f64) -> Vec<CoatTrace> {
    let coats = run.coats.iter();
    coats.map(|coat| coat_trace(run, &coat.shifted(lead_s - coat.start_s), catalog, step_s)).collect()
}

fn coat_trace(run: &RunAir, coat: &CoatAir, catalog: &Catalog, step_s: f64) -> CoatTrace {
    let alone = RunAir { coats: vec![coat.clone()], ..run.clone() };
    let lines = Lines::of(&alone, catalog);
    let limits = Limits::of(&lines);
    let each = [(&lines.held, limits.held), (&lines.unheld, limits.unheld), (&lines.explosive, limits.explosive)];
    let mut steps = STEPS.0;
    loop {
        let rooms = each.map(|(line, limit)| {
            let points = line.series(0.0, step_s / LOOKS as f64, steps * LOOKS + 1);
            points.into_iter().map(|(_, room)| room / limit).collect::<Vec<f64>>()
        });
        let highest = rooms.iter().flatten().copied().fold(0.0, f64::max);
        let last = rooms.iter().filter_map(|room| room.last()).copied().fold(0.0, f64::max);
        if last > GONE * highest && steps < STEPS.1 {
            steps *= 2;
            continue;
        }
        let within = |room: &[f64], step: usize| room[step * LOOKS..=(step + 1) * LOOKS].to_vec();
        let mean =
            |looks: &[f64]| looks.windows(2).map(|two| f64::midpoint(two[0], two[1])).sum::<f64>() / LOOKS as f64;
        return CoatTrace {
            peaks: rooms
                .each_ref()
                .map(|room| (0..steps).map(|step| within(room, step).into_iter().fold(0.0, f64::max)).collect()),
            means: rooms.each_ref().map(|room| (0..steps).map(|step| mean(&within(room, step))).collect()),
        };
    }
}
