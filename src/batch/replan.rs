//! Going on from the middle: some coats are sprayed, perhaps not when planned; the rest is placed anew at once.
//!
//! The order planned before is kept, first with no coat before its planned time, then each as early as it can be; beside
//! it an order that takes the coats whose windows close first is tried. So the answer comes in far less than a tenth of a
//! second, and nothing moves without a reason.

use super::place::{BenchAir, Given, air_of, place};
use super::problem::{Problem, Schedule, Tick};

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
    replan_in(problem, planned, done, now, &|| air_of(problem))
}

/// The same in air of another kind than the problem's own; `air` gives clean air each time it is asked.
pub fn replan_in<'a>(
    problem: &Problem,
    planned: &Schedule,
    done: &[Vec<Sprayed>],
    now: Tick,
    air: &dyn Fn() -> Box<dyn BenchAir + 'a>,
) -> Replanned {
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
    let placed = |order: &[(usize, usize)], bounds: &[Vec<Tick>]| {
        let given = Given { done, now, bounds };
        let mut air = air();
        let placed = place(problem, order, &given, air.as_mut());
        let mut stranded: Vec<usize> = placed.stranded.iter().map(|stranded| stranded.page).collect();
        stranded.sort_unstable();
        Replanned { schedule: placed.schedule(), makespan: placed.makespan(problem), stranded }
    };
    let mut best = placed(&planned_order, &planned.starts);
    // A rack that is fuller than planned: what is begun leaves it first.
    let begun = |page: usize| done.get(page).is_some_and(|sprayed| !sprayed.is_empty());
    let (mut begun_order, rest): (Vec<_>, Vec<_>) = urgent_order.iter().partition(|(page, _)| begun(*page));
    begun_order.extend(rest);
    let earliest_order = earliest_order(problem, planned, done, now, late);
    for order in [&planned_order, &urgent_order, &begun_order, &earliest_order] {
        let other = placed(order, &[]);
        if (other.stranded.len(), other.makespan) < (best.stranded.len(), best.makespan) {
            best = other;
        }
    }
    best
}

/// The coats that are left by the moment at which each could begin if nothing else stood in its way: a page that has to wait
/// long keeps nobody from the others.
fn earliest_order(
    problem: &Problem,
    planned: &Schedule,
    done: &[Vec<Sprayed>],
    now: Tick,
    late: Tick,
) -> Vec<(usize, usize)> {
    let mut order: Vec<(Tick, usize, usize)> = Vec::new();
    for (page, starts) in planned.starts.iter().enumerate() {
        let sheet = &problem.pages[page];
        let sprayed = done.get(page).map_or(&[][..], Vec::as_slice);
        let mut before = sprayed.last().map(|last| last.end);
        for (coat, start) in starts.iter().enumerate().skip(sprayed.len()) {
            let lag = coat.checked_sub(1).and_then(|last| sheet.coats[last].lag);
            let at = match (before, lag) {
                (Some(end), Some(lag)) => {
                    let at = now.max(end + lag.min);
                    if lag.allows(at - end) { at } else { end + lag.resume.unwrap_or(lag.min) }
                }
                _ => (start + late).max(sheet.release).max(now),
            };
            order.push((at, page, coat));
            before = Some(at + sheet.coats[coat].spray);
        }
    }
    order.sort_unstable();
    order.into_iter().map(|(_, page, coat)| (page, coat)).collect()
}

/// When the window after the last sprayed coat of a page closes, if the next coat is this one.
fn closes(problem: &Problem, done: &[Vec<Sprayed>], page: usize, coat: usize) -> Option<Tick> {
    let sprayed = done.get(page)?;
    let last = sprayed.last().filter(|_| sprayed.len() == coat)?;
    Some(last.end + problem.pages[page].coats.get(coat - 1)?.lag?.max?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::batch::problem::{Coat, Lag, Page, Pause};

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

    #[test]
    fn what_cannot_go_on_dries_on_the_rack_all_the_same() {
        let (mut problem, planned) = bench(2, None);
        problem.rack_slots = Some(1);
        let found = replan(&problem, &planned, &[vec![Sprayed { start: 0, end: 2 }]], 20);
        assert_eq!(found.stranded, [0], "its window closed at 16");
        assert_eq!(found.schedule.starts[1], [22, 34], "the slot is free when what is on the first page has dried");
    }
}
