//! Going on from the middle: some coats are sprayed, perhaps not when planned; the rest is placed anew at once.
//!
//! The order planned before is kept, and beside it an order that takes the coats whose windows close first is tried.
//! Both are placed as early as the rules allow, so the answer comes in far less than a tenth of a second.

use super::air::{AirKernel, AirState};
use super::problem::{Coat, Lag, Problem, Schedule, Tick};

/// A coat that was sprayed: its start and its end, ticks. They may lie before 0 or differ from the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sprayed {
    /// When it began.
    pub start: Tick,
    /// When it ended.
    pub end: Tick,
}

/// What is left of an evening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replanned {
    /// Starts of all coats, those that were sprayed included; a page that cannot go on has only its sprayed coats.
    pub schedule: Schedule,
    /// End of the last page, ticks.
    pub makespan: Tick,
    /// Pages, from 0, that do not end: their window has closed for good, or the session ends before.
    pub stranded: Vec<usize>,
}

/// Places what is left of a schedule from `now` on. `done` has the sprayed coats of each page, in order; `planned` the
/// starts of the schedule that was followed.
pub fn replan(problem: &Problem, planned: &Schedule, done: &[Vec<Sprayed>], now: Tick) -> Replanned {
    let mut order: Vec<(Tick, usize, usize)> = Vec::new();
    for (page, starts) in planned.starts.iter().enumerate() {
        let sprayed = done.get(page).map_or(0, Vec::len);
        order.extend(starts.iter().enumerate().skip(sprayed).map(|(coat, start)| (*start, page, coat)));
    }
    order.sort_unstable();
    // All that is left is late by as much as the first of it; a closing window stays where it is.
    let late = order.first().map_or(0, |(start, ..)| (now - start).max(0));
    let mut urgent: Vec<(Tick, bool, usize, usize)> = Vec::with_capacity(order.len());
    for &(start, page, coat) in &order {
        let closes = closes(problem, done, page, coat);
        urgent.push((closes.map_or(start + late, |closes| closes.min(start + late)), closes.is_none(), page, coat));
    }
    urgent.sort_unstable();
    let planned_order: Vec<(usize, usize)> = order.iter().map(|(_, page, coat)| (*page, *coat)).collect();
    let urgent_order: Vec<(usize, usize)> = urgent.iter().map(|(.., page, coat)| (*page, *coat)).collect();
    let kept = place(problem, &planned_order, done, now);
    let other = place(problem, &urgent_order, done, now);
    if (other.stranded.len(), other.makespan) < (kept.stranded.len(), kept.makespan) { other } else { kept }
}

/// When the window after the last sprayed coat of a page closes, if the next coat is this one.
fn closes(problem: &Problem, done: &[Vec<Sprayed>], page: usize, coat: usize) -> Option<Tick> {
    let sprayed = done.get(page)?;
    let last = sprayed.last().filter(|_| sprayed.len() == coat)?;
    Some(last.end + problem.pages[page].coats.get(coat - 1)?.lag?.max?)
}

/// The bench while coats are placed.
struct Bench<'a> {
    problem: &'a Problem,
    kernel: Option<AirKernel>,
    /// Number of each page's first coat.
    first: Vec<usize>,
    free: Tick,
    can: usize,
    air: AirState,
    air_at: Tick,
    /// When each page on the rack leaves it; `None` while it is not known.
    rack: Vec<(usize, Option<Tick>)>,
}

fn place(problem: &Problem, order: &[(usize, usize)], done: &[Vec<Sprayed>], now: Tick) -> Replanned {
    let coats: Vec<&Coat> = problem.pages.iter().flat_map(|page| &page.coats).collect();
    let mut first = Vec::with_capacity(problem.pages.len());
    let mut count = 0;
    for page in &problem.pages {
        first.push(count);
        count += page.coats.len();
    }
    let mut bench = Bench {
        problem,
        kernel: problem.air.as_ref().map(|air| AirKernel::new(air, problem.tick_min(), &coats)),
        first,
        free: now,
        can: problem.initial_can,
        air: AirState::default(),
        air_at: 0,
        rack: Vec::new(),
    };
    let mut all: Vec<Vec<Sprayed>> = done.to_vec();
    all.resize(problem.pages.len(), Vec::new());
    bench.take_over(&all);
    let mut stranded: Vec<usize> = Vec::new();
    for &(page, coat) in order {
        if stranded.contains(&page) {
            continue;
        }
        match bench.next(page, coat, &all[page]) {
            Some(sprayed) => all[page].push(sprayed),
            None => {
                stranded.push(page);
                // A page that cannot go on is taken off the bench, and its slot is free again.
                bench.rack.retain(|(other, _)| *other != page);
            }
        }
    }
    let ends = all.iter().zip(&problem.pages).filter(|(sprayed, page)| sprayed.len() == page.coats.len());
    let ends = ends.filter_map(|(sprayed, page)| Some(sprayed.last()?.end + page.final_dry));
    stranded.sort_unstable();
    Replanned {
        makespan: ends.max().unwrap_or(0),
        schedule: Schedule { starts: all.iter().map(|page| page.iter().map(|coat| coat.start).collect()).collect() },
        stranded,
    }
}

impl Bench<'_> {
    /// Takes over the air, the can and the rack that the sprayed coats leave.
    fn take_over(&mut self, done: &[Vec<Sprayed>]) {
        let mut past: Vec<(Sprayed, usize, usize)> = Vec::new();
        for (page, sprayed) in done.iter().enumerate() {
            past.extend(sprayed.iter().enumerate().map(|(coat, sprayed)| (*sprayed, page, coat)));
            let Some(last) = sprayed.last() else { continue };
            let whole = sprayed.len() == self.problem.pages[page].coats.len();
            self.rack.push((page, whole.then(|| last.end + self.problem.pages[page].final_dry)));
        }
        past.sort_by_key(|(sprayed, ..)| sprayed.start);
        for (sprayed, page, coat) in past {
            self.spray_air(page, coat, sprayed.start);
            self.can = self.problem.pages[page].coats[coat].can;
            self.free = self.free.max(sprayed.end);
        }
    }

    fn spray_air(&mut self, page: usize, coat: usize, start: Tick) {
        if let Some(kernel) = &self.kernel {
            let number = self.first[page] + coat;
            let before = kernel.later(self.air, (start - self.air_at).max(0));
            self.air = kernel.after(before, number);
            self.air_at = start + self.problem.pages[page].coats[coat].spray;
        }
    }

    /// Places the next coat of a page as early as every rule allows; `None` if it cannot follow any more.
    fn next(&mut self, page: usize, coat: usize, before: &[Sprayed]) -> Option<Sprayed> {
        let sheet = &self.problem.pages[page];
        let operation = &sheet.coats[coat];
        let change = self.problem.setup[self.can][operation.can];
        let mut earliest = (self.free + change).max(sheet.release);
        let lag = coat.checked_sub(1).and_then(|last| Some((before.last()?.end, sheet.coats[last].lag?)));
        if let Some((end, lag)) = lag {
            earliest = earliest.max(end + lag.resume.map_or(lag.min, |resume| resume.min(lag.min)));
        } else {
            earliest = earliest.max(self.rack_free()?);
        }
        // Each turn moves the start forward past one rule; a day of ticks is more than any evening needs.
        for _ in 0..100_000 {
            let start = self.moved(earliest, change, (page, coat), lag)?;
            if start == earliest {
                let end = start + operation.spray;
                if self.problem.session_end.is_some_and(|stop| end > stop) {
                    return None;
                }
                self.spray_air(page, coat, start);
                self.can = operation.can;
                self.free = end;
                let leaves = (coat + 1 == sheet.coats.len()).then(|| end + sheet.final_dry);
                self.rack.retain(|(other, _)| *other != page);
                self.rack.push((page, leaves));
                return Some(Sprayed { start, end });
            }
            earliest = start;
        }
        None
    }

    /// The same start, or a later one that the first broken rule asks for; `None` if the window has closed for good.
    fn moved(&self, start: Tick, change: Tick, (page, coat): (usize, usize), lag: Option<(Tick, Lag)>) -> Option<Tick> {
        let end = start + self.problem.pages[page].coats[coat].spray;
        if let Some(pause) = self.problem.pauses.iter().find(|pause| start - change < pause.end && end > pause.start) {
            return Some(pause.end + change);
        }
        if let Some((before, lag)) = lag
            && !lag.allows(start - before)
        {
            let gap = start - before;
            let opens = Some(lag.min).filter(|min| gap < *min && lag.max.is_none_or(|max| *min <= max));
            return opens.or(lag.resume).map(|gap| before + gap);
        }
        let Some(kernel) = &self.kernel else { return Some(start) };
        let state = kernel.later(self.air, (start - self.air_at).max(0));
        Some(if kernel.fits(state, self.first[page] + coat) { start } else { start + 1 })
    }

    /// When a slot of the rack is free; `None` if all are held by pages whose end is not known.
    fn rack_free(&self) -> Option<Tick> {
        let Some(slots) = self.problem.rack_slots.filter(|slots| *slots <= self.rack.len()) else { return Some(0) };
        let mut leaving: Vec<Tick> = self.rack.iter().map(|(_, leaves)| leaves.unwrap_or(Tick::MAX)).collect();
        leaving.sort_unstable();
        // With n pages on r slots, a slot is free once n − r + 1 of them have left.
        let at = leaving.get(self.rack.len() - slots).copied().unwrap_or(0);
        (at < Tick::MAX).then_some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::batch::problem::{Page, Pause};

    /// Pages of two coats with a wait of 10 and a window of 14, closed until 100 if it opens again.
    fn bench(pages: usize, resume: Option<Tick>) -> (Problem, Schedule) {
        let coat = |lag| Coat { spray: 2, can: 0, lag, vapour_m3: 0.0, flash_share: 1.0 };
        let lag = Lag { min: 10, max: Some(14), resume };
        let page = |number: usize| Page {
            label: format!("page {number}"),
            release: 0,
            final_dry: 20,
            coats: vec![coat(Some(lag)), coat(None)],
        };
        let problem = Problem {
            name: "bench".to_owned(),
            tick_s: 60.0,
            pages: (0..pages).map(page).collect(),
            rack_slots: Some(2),
            initial_can: 0,
            setup: vec![vec![0]],
            pauses: vec![Pause { start: 300, end: 310 }],
            session_end: None,
            air: None,
        };
        (problem, Schedule { starts: vec![vec![0, 12], vec![2, 14]] })
    }

    #[test]
    fn nothing_late_changes_nothing() {
        let (problem, planned) = bench(2, None);
        let found = replan(&problem, &planned, &[vec![Sprayed { start: 0, end: 2 }]], 2);
        assert_eq!((found.schedule, found.makespan), (planned, 36));
        assert!(found.stranded.is_empty());
    }

    #[test]
    fn a_window_that_closes_first_goes_first() {
        let (problem, planned) = bench(2, None);
        // The first page was sprayed, then nothing until its window is about to close.
        let found = replan(&problem, &planned, &[vec![Sprayed { start: 0, end: 2 }]], 16);
        assert_eq!(found.schedule.starts, [vec![0, 16], vec![18, 30]]);
    }

    #[test]
    fn a_missed_window_opens_again_or_strands_its_page() {
        let done = [vec![Sprayed { start: 0, end: 2 }]];
        let (problem, planned) = bench(2, Some(100));
        let found = replan(&problem, &planned, &done, 40);
        assert_eq!((&found.schedule.starts[0], found.stranded.len()), (&vec![0, 102], 0));
        let (problem, planned) = bench(2, None);
        let found = replan(&problem, &planned, &done, 40);
        assert_eq!((&found.schedule.starts[0], &found.stranded), (&vec![0], &vec![0]));
        assert_eq!(found.schedule.starts[1], [40, 52], "the other page goes on");
    }

    #[test]
    fn a_full_rack_is_waited_for() {
        let (mut problem, planned) = bench(2, None);
        problem.rack_slots = Some(1);
        let found =
            replan(&problem, &planned, &[vec![Sprayed { start: 0, end: 2 }, Sprayed { start: 12, end: 14 }]], 14);
        assert_eq!(found.schedule.starts[1], [34, 46], "the slot is free when the first page has dried");
    }
}
