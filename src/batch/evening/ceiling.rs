//! The search under the air of the room: the ceiling is lowered until all coats together truly stay below it.

use super::layout::Layout;
use super::pages::Planned;
use crate::air::{CoatAir, CoatLoad, EveningAir, RunAir, coat_loads, evening_air};
use crate::batch::air::AirKernel;
use crate::batch::problem::{Presence, Problem, RoomAir};
use crate::batch::solve::{Answer, Control, Effort, solve};
use crate::catalog::{Catalog, Part};
use crate::finding::Level;

/// Halvings of the interval in which the ceiling is looked for.
const HALVINGS: usize = 7;
/// How often the ceiling is lowered further if the longer search finds a schedule that the shorter one did not.
const LOWERINGS: usize = 6;
/// By how much.
const LOWERING: f64 = 0.9;
/// Room for rounding above what the most demanding coat needs alone.
const ROUNDING: f64 = 1.0 + 1e-6;

/// A schedule with the air it makes.
pub(super) struct Aired {
    pub(super) answer: Answer,
    /// The problem it answers, with its air if that is limited.
    pub(super) problem: Problem,
    pub(super) run: Option<RunAir>,
    pub(super) air: Option<EveningAir>,
    /// The most the fullness of the room may be.
    pub(super) ceiling: f64,
    /// Whether the air made coats wait or pages stay out.
    pub(super) decides: bool,
}

/// What the search under the air goes by.
struct Room<'a> {
    layout: &'a Layout,
    planned: &'a [Planned],
    catalog: &'a Catalog,
    shares: Vec<Part>,
    /// The most the fullness of the room may be.
    ceiling: f64,
}

/// Searches; the best schedule whose air holds.
pub(super) fn search(
    layout: &Layout,
    planned: &[Planned],
    effort: Effort,
    control: &Control<'_>,
    catalog: &Catalog,
) -> Aired {
    let mut shares: Vec<Part> = Vec::new();
    let mut ceiling = 1.0_f64;
    for page in planned.iter().filter(|page| page.out.is_none()) {
        for part in &page.worked.air.shares {
            if !shares.contains(part) {
                shares.push(part.clone());
            }
        }
        ceiling = ceiling.max(evening_air(&page.worked.air, catalog).fullness_peak);
    }
    let room = Room { layout, planned, catalog, shares, ceiling };
    let silent = Control { threads: control.threads, stop: control.stop, progress: &|_, _| {} };
    let free = layout.problem.clone();
    let quick = room.aired(free.clone(), Effort::Quick, &silent, false);
    if room.holds(&quick) {
        if effort == Effort::Quick {
            return quick;
        }
        let found = room.aired(free.clone(), effort, control, false);
        if room.holds(&found) {
            return found;
        }
    }
    let Some((lowest, highest)) = room.range() else { return quick };
    let at = |ceiling: f64, effort: Effort, control: &Control<'_>| {
        let problem = Problem { air: Some(RoomAir { ceiling, ..room.well_mixed(1.0) }), ..room.loaded() };
        room.aired(problem, effort, control, true)
    };
    let mut best = at(lowest, Effort::Quick, &silent);
    let (mut low, mut high) = (lowest, highest.max(lowest));
    for _ in 0..HALVINGS {
        if !room.holds(&best) || (control.stop)() {
            break;
        }
        let middle = libm::sqrt(low * high);
        let found = at(middle, Effort::Quick, &silent);
        if room.holds(&found) {
            low = middle;
            if better(&found, &best) {
                best = found;
            }
        } else {
            high = middle;
        }
    }
    if effort == Effort::Quick || !room.holds(&best) {
        return best;
    }
    for _ in 0..LOWERINGS {
        let found = at(low, effort, control);
        if room.holds(&found) {
            return if better(&best, &found) { best } else { found };
        }
        low = (low * LOWERING).max(lowest);
        if (control.stop)() {
            break;
        }
    }
    best
}

/// More pages, or the same sooner.
fn better(one: &Aired, other: &Aired) -> bool {
    let rank = |aired: &Aired| (aired.answer.unfit.len(), aired.answer.measures.makespan);
    rank(one) < rank(other)
}

impl Room<'_> {
    /// Whether the schedule's air is no worse than a page alone may make it.
    fn holds(&self, aired: &Aired) -> bool {
        aired.air.as_ref().is_none_or(|air| air.verdict != Level::Hold && air.fullness_peak <= self.ceiling * ROUNDING)
    }

    fn aired(&self, problem: Problem, effort: Effort, control: &Control<'_>, decides: bool) -> Aired {
        let answer = solve(&problem, effort, control);
        let run = self.run(&answer);
        let air = run.as_ref().map(|run| evening_air(run, self.catalog));
        Aired { answer, problem, run, air, ceiling: self.ceiling, decides }
    }

    /// All coats of a schedule in the room, in order; the first second of the evening is 0.
    fn run(&self, answer: &Answer) -> Option<RunAir> {
        let mut coats: Vec<CoatAir> = Vec::new();
        for (slot, starts) in self.layout.slots.iter().zip(&answer.schedule.starts) {
            for (coat, start) in self.planned[slot.plan].worked.air.coats.iter().zip(starts) {
                let at_s = *start as f64 * self.layout.problem.tick_s + self.layout.handling_s;
                coats.push(coat.shifted(at_s - coat.start_s));
            }
        }
        coats.sort_by(|one, other| one.start_s.total_cmp(&other.start_s));
        let like = &self.planned[self.layout.slots.first()?.plan].worked.air;
        (!coats.is_empty()).then(|| RunAir { coats, shares: self.shares.clone(), ..like.clone() })
    }

    /// The problem with what every coat asks of the air.
    fn loaded(&self) -> Problem {
        let loads: Vec<Vec<CoatLoad>> =
            self.planned.iter().map(|page| coat_loads(&page.worked.air, self.catalog)).collect();
        let mut problem = self.layout.problem.clone();
        for (slot, page) in self.layout.slots.iter().zip(&mut problem.pages) {
            for (coat, load) in page.coats.iter_mut().zip(&loads[slot.plan]) {
                coat.vapour_m3 = load.fills_m3;
                coat.flash_share = load.while_spraying;
            }
        }
        problem
    }

    /// The room as one box: its volume, the flow that warnings count on, and the evaporation of the quickest page.
    fn well_mixed(&self, ceiling: f64) -> RoomAir {
        let slots = self.layout.slots.iter();
        let pages = || slots.clone().map(|slot| &self.planned[slot.plan]);
        let delays = self.planned.iter().flat_map(|page| coat_loads(&page.worked.air, self.catalog));
        let delay_s = delays.map(|load| load.mean_delay_s).fold(f64::INFINITY, f64::min).clamp(5.0, 36_000.0);
        let (volume_m3, flow_m3_s) = pages()
            .next()
            .map_or((1.0, 1.0), |page| (page.worked.air.room.volume_m3, page.worked.air.room.sure_flow_m3_s()));
        RoomAir {
            volume_m3,
            air_changes_per_h: 3600.0 * flow_m3_s / volume_m3,
            evaporation_per_min: 60.0 / delay_s,
            ceiling,
            // The finished schedule is judged by the eight-hour mean itself; the ceiling already bounds this one.
            dose_limit: 1e6,
            presence: Presence::AtWork,
        }
    }

    /// The lowest ceiling at which every coat can be sprayed into clean air, and the highest that could ever bind.
    fn range(&self) -> Option<(f64, f64)> {
        let problem = self.loaded();
        let coats: Vec<_> = problem.pages.iter().flat_map(|page| &page.coats).collect();
        let air = self.well_mixed(1.0);
        let kernel = AirKernel::new(&air, problem.tick_min(), &coats);
        let lowest = (0..coats.len()).map(|coat| kernel.peak_alone(coat)).fold(0.0, f64::max) * ROUNDING;
        let highest = coats.iter().map(|coat| coat.vapour_m3).sum::<f64>() / air.volume_m3;
        (lowest > 0.0 && lowest.is_finite() && highest.is_finite()).then_some((lowest, highest))
    }
}
