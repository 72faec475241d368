//! The search under the air of the room.
//!
//! First without it: where the air of that schedule holds, nothing waits for the air. Else the coats are placed under
//! the exact air, beginning with the order found for the room as one well-mixed box. The judge is always the air of
//! the finished schedule, with everything that all coats release.

use super::arrange::{Hall, Order, Search, budget, measured, order_of};
use super::layout::Layout;
use super::naming::in_order;
use super::pages::Planned;
use super::room::{RoomTraces, least_air_time};
use super::shorten::shorten_waits;
use crate::air::{
    CoatAir, CoatLoad, CoatTrace, EveningAir, RunAir, TooFull, coat_loads, coat_traces, evening_air,
    evening_air_within, evening_fullness,
};
use crate::batch::air::AirKernel;
use crate::batch::bound::lower_bound;
use crate::batch::network::Network;
use crate::batch::problem::{Presence, Problem, RoomAir, Schedule, Tick};
use crate::batch::replan::Sprayed;
use crate::batch::solve::{Answer, Control, Effort, Unfit, UnfitReason, solve};
use crate::catalog::{Catalog, Part};
use crate::finding::Level;

/// How often the ceiling is lowered if something else than the room's fullness is too much.
const LOWERINGS: usize = 8;
/// By how much.
const LOWERING: f64 = 0.85;
/// Most that the sums of the traces may be above the ceiling, and the least by which that is lowered.
const MOST_ALLOWED: f64 = 1.05;
const LEAST_STEP: f64 = 5e-4;
/// Room for rounding above what the most demanding coat needs alone.
const ROUNDING: f64 = 1.0 + 1e-6;
/// Room above what a page alone reaches, where that is more than full: its coats must still fit.
const ALONE: f64 = 1.0 + 5e-3;

/// A schedule with the air it makes.
pub(super) struct Aired {
    pub(super) answer: Answer,
    pub(super) run: Option<RunAir>,
    /// Once it was judged: where the room gets no fuller than it may, and of the schedule that is handed out.
    pub(super) air: Option<EveningAir>,
    /// The greatest fullness of the room.
    fullness: f64,
    /// The most the fullness of the room may be.
    pub(super) ceiling: f64,
    /// Whether the air made coats wait or pages stay out.
    pub(super) decides: bool,
    /// The exact air the rest may be placed in.
    pub(super) traces: RoomTraces,
    /// The pages sprayed one after another in the same air: when the last of them may be handled.
    pub(super) one_by_one: Option<Tick>,
    /// When each page that found no room would be done, if one went on after the others.
    pub(super) would_end: Vec<Option<Tick>>,
}

/// What the search under the air goes by.
struct Room<'a> {
    layout: &'a Layout,
    planned: &'a [Planned],
    catalog: &'a Catalog,
    shares: Vec<Part>,
    /// The most the fullness of the room may be.
    ceiling: f64,
    /// What each coat that differs does to the air, and which are each page's.
    found: Vec<CoatTrace>,
    of: Vec<Vec<usize>>,
}

/// Searches; the best schedule whose air holds.
pub(super) fn search(
    layout: &Layout,
    planned: &[Planned],
    effort: Effort,
    control: &Control<'_>,
    catalog: &Catalog,
) -> Aired {
    let room = Room::of(layout, planned, catalog);
    let mut found = room.search(effort, control);
    let plans: Vec<usize> = layout.slots.iter().map(|slot| slot.plan).collect();
    found.answer = in_order(found.answer, &plans);
    room.whole(found)
}

/// The best so far, when no more was looked for; nothing beats what is proved.
fn stopped(mut aired: Aired) -> Aired {
    aired.answer.stopped = !aired.answer.proved;
    aired
}

impl<'a> Room<'a> {
    fn of(layout: &'a Layout, planned: &'a [Planned], catalog: &'a Catalog) -> Self {
        let mut shares: Vec<Part> = Vec::new();
        let mut ceiling = 1.0_f64;
        let mut found: Vec<CoatTrace> = Vec::new();
        let mut first = vec![0; planned.len()];
        for (place, page) in planned.iter().enumerate().filter(|(_, page)| page.out.is_none()) {
            for part in &page.worked.air.shares {
                if !shares.contains(part) {
                    shares.push(part.clone());
                }
            }
            ceiling = ceiling.max(evening_air(&page.worked.air, catalog).fullness_peak);
            first[place] = found.len();
            found.extend(coat_traces(&page.worked.air, catalog, layout.handling_s, layout.problem.tick_s));
        }
        let of = layout
            .slots
            .iter()
            .zip(&layout.problem.pages)
            .map(|(slot, page)| (0..page.coats.len()).map(|coat| first[slot.plan] + coat).collect());
        Self { layout, planned, catalog, shares, ceiling, found, of: of.collect() }
    }

    fn search(&self, effort: Effort, control: &Control<'_>) -> Aired {
        let traces = RoomTraces::new(&self.found, self.of.clone(), self.allowed());
        let silent = Control { threads: control.threads, stop: control.stop, progress: &|_, _| {} };
        let free = &self.layout.problem;
        let mut quick = self.aired(solve(free, Effort::Quick, &silent), &traces, false);
        if self.holds(&mut quick) {
            if effort == Effort::Quick || free.pages.is_empty() {
                return self.with_fewer_changes(quick, &traces, control);
            }
            let mut found = self.aired(solve(free, effort, control), &traces, false);
            if self.holds(&mut found) {
                return self.with_fewer_changes(found, &traces, control);
            }
        }
        if self.layout.slots.is_empty() {
            return quick;
        }
        let mut starts = vec![order_of(&quick.answer.schedule)];
        if !(control.stop)() {
            starts.extend(self.well_mixed_order(&silent));
        }
        self.as_close_as_it_holds(&traces, &starts, effort, control)
    }

    /// Where nothing waits for the air: the same pages with the can changed less often, if that is worth it.
    fn with_fewer_changes(&self, aired: Aired, traces: &RoomTraces, control: &Control<'_>) -> Aired {
        let problem = &self.layout.problem;
        let hall = Hall::clean(problem, traces);
        let before = &aired.answer.schedule;
        let pages: Vec<usize> = (0..problem.pages.len()).filter(|page| !before.starts[*page].is_empty()).collect();
        let (threads, stop) = (control.threads, control.stop);
        let search = Search { budget: budget(Effort::Quick), threads, stop, progress: &|_, _| {} };
        let schedule = Schedule { starts: shorten_waits(&hall, &hall.search(&[order_of(before)], &pages, &search)) };
        let left_out = pages.iter().any(|page| schedule.starts[*page].is_empty());
        if left_out || hall.cost_of(&schedule) >= hall.cost_of(before) {
            return aired;
        }
        let measures = measured(problem, &schedule.starts);
        let proved = measures.makespan == aired.answer.lower_bound;
        let mut fewer = self.aired(Answer { schedule, measures, proved, ..aired.answer.clone() }, traces, false);
        if self.holds(&mut fewer) { fewer } else { aired }
    }

    /// What the traces allow.
    fn allowed(&self) -> f64 {
        if self.ceiling > 1.0 { self.ceiling * ALONE } else { 1.0 }
    }

    /// The most the judge may find.
    fn most(&self) -> f64 {
        self.allowed() * ROUNDING
    }

    /// Whether the room gets no fuller than it may.
    fn fits(&self, aired: &Aired) -> bool {
        aired.fullness <= self.most()
    }

    /// Whether the schedule's air is no worse than a page alone may make it.
    fn holds(&self, aired: &mut Aired) -> bool {
        if !self.fits(aired) {
            return false;
        }
        aired.air = aired.air.take().or_else(|| Some(evening_air(&self.run(&aired.answer.schedule)?, self.catalog)));
        aired.air.as_ref().is_none_or(|air| air.verdict != Level::Hold)
    }

    /// A schedule with its air, which is judged if the room gets no fuller than it may.
    fn aired(&self, answer: Answer, traces: &RoomTraces, decides: bool) -> Aired {
        let judged = self.run(&answer.schedule).map(|run| evening_air_within(self.most(), &run, self.catalog));
        let (fullness, air) = match judged {
            None => (0.0, None),
            Some(Ok(air)) => (air.fullness_peak, Some(air)),
            Some(Err(TooFull(fullness))) => (fullness, None),
        };
        self.filled(answer, traces, decides, (fullness, air))
    }

    fn filled(
        &self,
        answer: Answer,
        traces: &RoomTraces,
        decides: bool,
        (fullness, air): (f64, Option<EveningAir>),
    ) -> Aired {
        Aired {
            answer,
            run: None,
            air,
            fullness,
            ceiling: self.ceiling,
            decides,
            traces: traces.clone(),
            one_by_one: None,
            would_end: Vec::new(),
        }
    }

    /// With what only the schedule that is handed out needs.
    fn whole(&self, mut aired: Aired) -> Aired {
        aired.run = self.run(&aired.answer.schedule);
        aired.air = aired.air.or_else(|| aired.run.as_ref().map(|run| evening_air(run, self.catalog)));
        aired.would_end = self.would_end(&aired.answer, &aired.traces);
        aired.one_by_one = self.one_by_one(&aired.answer.schedule, &aired.traces);
        aired
    }

    /// The sums of the traces are a little above the true air. So the search may allow as much more as its first
    /// schedule leaves unused; what is too much for the judge is placed again, in the same order, with less.
    fn as_close_as_it_holds(
        &self,
        traces: &RoomTraces,
        starts: &[Order],
        effort: Effort,
        control: &Control<'_>,
    ) -> Aired {
        let silent = Control { threads: control.threads, stop: control.stop, progress: &|_, _| {} };
        let fullness = |aired: &Aired| if aired.fullness > 0.0 { aired.fullness / self.allowed() } else { 1.0 };
        // The first is only looked at for what it leaves unused; it is judged if the next is no better.
        let first = self.under_air(traces, starts, Effort::Quick, &silent);
        let filled = self.run(&first.schedule).map_or(0.0, |run| evening_fullness(&run, self.catalog));
        let mut best = self.filled(first, traces, true, (filled, None));
        if (control.stop)() && self.holds(&mut best) {
            return stopped(best);
        }
        let unused = fullness(&best);
        let mut allow = if self.fits(&best) { (1.0 / unused).clamp(1.0, MOST_ALLOWED) } else { LOWERING };
        let mut orders = starts.to_vec();
        orders.push(order_of(&best.answer.schedule));
        let (mut work, mut told) = (effort, control);
        for _ in 0..LOWERINGS {
            let allowed = traces.allowing(allow);
            let mut found = self.aired(self.under_air(&allowed, &orders, work, told), &allowed, true);
            if self.holds(&mut found) && (self.better(&found, &best) || !self.holds(&mut best)) {
                return found;
            }
            if self.holds(&mut found) && self.holds(&mut best) {
                break;
            }
            orders.push(order_of(&found.answer.schedule));
            if !self.holds(&mut best) {
                best = found;
                allow *= LOWERING;
                continue;
            }
            (work, told) = (Effort::Quick, &silent);
            allow /= fullness(&found).max(1.0 + LEAST_STEP);
        }
        if (control.stop)() { stopped(best) } else { best }
    }

    /// More pages, or the same at less cost.
    fn better(&self, one: &Aired, other: &Aired) -> bool {
        let hall = Hall::clean(&self.layout.problem, &one.traces);
        let cost = |aired: &Aired| hall.cost_of(&aired.answer.schedule);
        let left_out = |aired: &Aired| aired.answer.unfit.len();
        left_out(one) < left_out(other) || left_out(one) == left_out(other) && cost(one) < cost(other)
    }

    /// Annealed under the exact air.
    fn under_air(&self, traces: &RoomTraces, starts: &[Order], effort: Effort, control: &Control<'_>) -> Answer {
        let problem = &self.layout.problem;
        let hall = Hall::clean(problem, traces);
        let all: Vec<usize> = (0..problem.pages.len()).collect();
        // Sheets of one plan are alike.
        let mut alike: Vec<Option<bool>> = vec![None; self.planned.len()];
        let mut can = |page: usize| {
            let alone = || hall.arrange(&hall.one_by_one(std::iter::once(page))).is_some();
            *alike[self.layout.slots[page].plan].get_or_insert_with(alone)
        };
        let able: Vec<bool> = all.iter().map(|page| can(*page)).collect();
        let kept = |order: &Order| -> Order { order.iter().copied().filter(|(page, _)| able[*page]).collect() };
        let pages: Vec<usize> = all.iter().copied().filter(|page| able[*page]).collect();
        let mut starts: Vec<Order> = starts.iter().map(kept).collect();
        starts.push(hall.one_by_one(pages.iter().copied()));
        let search =
            Search { budget: budget(effort), threads: control.threads, stop: control.stop, progress: control.progress };
        let best = hall.search(&starts, &pages, &search);
        let schedule = Schedule { starts: shorten_waits(&hall, &best) };
        let sprayed: Vec<usize> = all.iter().copied().filter(|page| !schedule.starts[*page].is_empty()).collect();
        let mut reasons: Vec<Option<UnfitReason>> = vec![None; self.planned.len()];
        let unfit = all.iter().filter(|page| schedule.starts[**page].is_empty()).map(|page| {
            let alone = || if able[*page] { UnfitReason::NoRoom } else { self.reason(*page, traces) };
            Unfit { page: *page, reason: *reasons[self.layout.slots[*page].plan].get_or_insert_with(alone) }
        });
        let unfit: Vec<Unfit> = unfit.collect();
        let lower_bound = self.bound(&sprayed);
        let measures = measured(problem, &schedule.starts);
        Answer {
            unfit,
            measures,
            lower_bound,
            proved: lower_bound == measures.makespan,
            dose_allowed: true,
            stopped: lower_bound < measures.makespan && (control.stop)(),
            schedule,
        }
    }

    /// No order of these pages ends before, whatever the air; and in this air.
    fn bound(&self, pages: &[usize]) -> Tick {
        if pages.is_empty() {
            return 0;
        }
        let problem = &self.layout.problem;
        let chosen = pages.iter().map(|page| problem.pages[*page].clone()).collect();
        let part = Problem { pages: chosen, session_end: None, ..problem.clone() };
        let coats: Vec<(usize, Tick)> = pages
            .iter()
            .flat_map(|page| self.of[*page].iter().zip(&problem.pages[*page].coats))
            .map(|(trace, coat)| (*trace, coat.spray))
            .collect();
        let dry = part.pages.iter().map(|page| page.final_dry).min().unwrap_or(0);
        let airing = least_air_time(&self.found, &coats, self.allowed()) + dry;
        lower_bound(&Network::new(&part)).max(airing)
    }

    /// Why a page cannot be sprayed even alone.
    fn reason(&self, page: usize, traces: &RoomTraces) -> UnfitReason {
        let open = Problem { session_end: None, ..self.layout.problem.clone() };
        let hall = Hall::clean(&open, traces);
        match hall.arrange(&hall.one_by_one(std::iter::once(page))) {
            Some(alone) => UnfitReason::SessionTooShort(alone.placed.makespan(&open)),
            None => UnfitReason::NeverAlone,
        }
    }

    /// The sprayed pages one after another, each with all its coats before the next begins.
    fn one_by_one(&self, schedule: &Schedule, traces: &RoomTraces) -> Option<Tick> {
        let open = Problem { session_end: None, ..self.layout.problem.clone() };
        let hall = Hall::clean(&open, traces);
        let pages = schedule.starts.iter().enumerate().filter(|(_, starts)| !starts.is_empty());
        let order = hall.one_by_one(pages.map(|(page, _)| page));
        hall.arrange(&order).map(|arranged| arranged.placed.makespan(&open))
    }

    /// When the pages that found no room would be done, if one went on after the others.
    fn would_end(&self, answer: &Answer, traces: &RoomTraces) -> Vec<Option<Tick>> {
        let open = Problem { session_end: None, ..self.layout.problem.clone() };
        let mut ends = vec![None; open.pages.len()];
        let left: Vec<usize> =
            answer.unfit.iter().filter(|unfit| unfit.reason == UnfitReason::NoRoom).map(|unfit| unfit.page).collect();
        if left.is_empty() {
            return ends;
        }
        let done: Vec<Vec<Sprayed>> = answer
            .schedule
            .starts
            .iter()
            .zip(&open.pages)
            .map(|(starts, page)| {
                let coats = starts.iter().zip(&page.coats);
                coats.map(|(start, coat)| Sprayed { start: *start, end: start + coat.spray }).collect()
            })
            .collect();
        let hall = Hall { problem: &open, traces, done: &done, now: answer.measures.work_end };
        let search = Search { budget: budget(Effort::Quick), threads: 2, stop: &|| false, progress: &|_, _| {} };
        let found = hall.search(&[hall.one_by_one(left.iter().copied())], &left, &search);
        for page in left {
            let coats = &found.placed.coats[page];
            ends[page] = coats.last().map(|last| last.end + open.pages[page].final_dry);
        }
        ends
    }

    /// All coats of a schedule in the room, in order; the first second of the evening is 0.
    fn run(&self, schedule: &Schedule) -> Option<RunAir> {
        let mut coats: Vec<CoatAir> = Vec::new();
        for (slot, starts) in self.layout.slots.iter().zip(&schedule.starts) {
            for (coat, start) in self.planned[slot.plan].worked.air.coats.iter().zip(starts) {
                let at_s = *start as f64 * self.layout.problem.tick_s + self.layout.handling_s;
                coats.push(coat.shifted(at_s - coat.start_s));
            }
        }
        coats.sort_by(|one, other| one.start_s.total_cmp(&other.start_s));
        let like = &self.planned[self.layout.slots.first()?.plan].worked.air;
        (!coats.is_empty()).then(|| RunAir { coats, shares: self.shares.clone(), ..like.clone() })
    }

    /// A good order for the room as one well-mixed box, with the flow that warnings count on and the evaporation of
    /// the quickest page. Its ceiling is the lowest at which every coat can be sprayed into clean air, or as much
    /// higher as the most demanding coat leaves free in the exact air.
    fn well_mixed_order(&self, control: &Control<'_>) -> Option<Order> {
        let loads: Vec<Vec<CoatLoad>> =
            self.planned.iter().map(|page| coat_loads(&page.worked.air, self.catalog)).collect();
        let mut problem = self.layout.problem.clone();
        for (slot, page) in self.layout.slots.iter().zip(&mut problem.pages) {
            for (coat, load) in page.coats.iter_mut().zip(&loads[slot.plan]) {
                coat.vapour_m3 = load.fills_m3;
                coat.flash_share = load.while_spraying;
            }
        }
        let delays = loads.iter().flatten().map(|load| load.mean_delay_s);
        let delay_s = delays.fold(f64::INFINITY, f64::min).clamp(5.0, 36_000.0);
        let room = &self.planned[self.layout.slots.first()?.plan].worked.air.room;
        let mut air = RoomAir {
            volume_m3: room.volume_m3,
            air_changes_per_h: 3600.0 * room.sure_flow_m3_s() / room.volume_m3,
            evaporation_per_min: 60.0 / delay_s,
            ceiling: 1.0,
            // The finished schedule is judged by the eight-hour mean itself; the ceiling already bounds this one.
            dose_limit: 1e6,
            presence: Presence::AtWork,
        };
        let coats: Vec<_> = problem.pages.iter().flat_map(|page| &page.coats).collect();
        let kernel = AirKernel::new(&air, problem.tick_min(), &coats);
        let alone = (0..coats.len()).map(|coat| kernel.peak_alone(coat)).fold(0.0, f64::max) * ROUNDING;
        let exact = self.found.iter().flat_map(|trace| trace.peaks.iter().flatten()).copied().fold(0.0, f64::max);
        air.ceiling = alone * (self.ceiling / exact).max(1.0);
        if !(alone > 0.0 && air.ceiling.is_finite()) {
            return None;
        }
        let answer = solve(&Problem { air: Some(air), ..problem.clone() }, Effort::Quick, control);
        Some(order_of(&answer.schedule))
    }
}
