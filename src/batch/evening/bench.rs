//! The bench of an evening, kept for when it does not go as planned.
//!
//! [`EveningBench`] is what a schedule was found on: the sheets with their waits and windows in ticks, the person, the rack,
//! the cans, breaks, the quitting time, and what every coat does to the air of the room. It is kept whole in the journal of a
//! run. [`SheetNow`] says how one sheet stands: which coats are on and since when, which are still to come, and from when the
//! next one may follow, with everything that makes that later than planned. From these and the moment, [`EveningBench::rest`]
//! makes a [`Rest`]: when each coat still to come begins, and what does not fit any more. It depends on nothing else.

use jiff::{SignedDuration, Timestamp, ZonedDateTime};
use serde::{Deserialize, Serialize};

use super::ceiling::Aired;
use super::layout::Layout;
use super::room::{RoomSum, RoomTraces};
use crate::batch::place::BenchAir;
use crate::batch::problem::{Lag, Page, Pause, Problem, Schedule, Tick};
use crate::batch::replan::{Replanned, Sprayed, replan_in};

/// The bench of an evening.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EveningBench {
    /// Tick 0.
    start: Timestamp,
    problem: Problem,
    /// Entry and copy of each page of the problem, from 1.
    sheets: Vec<(usize, usize)>,
    /// When the schedule begins each coat.
    planned: Schedule,
    traces: RoomTraces,
}

/// How one sheet stands.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SheetNow {
    /// The coats that are on, from 0, each with the end of its spraying.
    pub done: Vec<(usize, Timestamp)>,
    /// The coats to come, from 0, each with its start as planned by now.
    pub left: Vec<(usize, Timestamp)>,
    /// The next coat may not follow before.
    pub dry_at: Option<Timestamp>,
    /// The window of the next coat was missed: there is none any more.
    pub window_missed: bool,
    /// Longer on the rack after the last coat, s.
    pub longer_s: i64,
}

/// What is left of an evening.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rest {
    /// For each sheet the coats to come, from 0, with their starts.
    pub starts: Vec<Vec<(usize, Timestamp)>>,
    /// Sheets, from 0, that were not begun and do not fit any more before the quitting time.
    pub postponed: Vec<usize>,
    /// Sheets, from 0, that cannot go on in time: they keep what was planned.
    pub stuck: Vec<usize>,
    /// Begun sheets end only after the quitting time.
    pub overtime: bool,
    /// After the last coat the air takes so much longer than in the schedule begun with, s.
    pub air_s: i64,
}

impl EveningBench {
    pub(super) fn of(layout: &Layout, aired: &Aired, start: &ZonedDateTime) -> Self {
        Self {
            start: start.timestamp(),
            problem: layout.problem.clone(),
            sheets: layout.slots.iter().map(|slot| (slot.entry + 1, slot.copy + 1)).collect(),
            planned: aired.answer.schedule.clone(),
            traces: aired.traces.clone(),
        }
    }

    /// The bench of some sheets (entry and copy, from 1), in this order; `later_by` puts the whole evening off.
    #[must_use]
    pub fn with(&self, sheets: &[(usize, usize)], later_by: SignedDuration) -> Self {
        let places: Vec<usize> =
            sheets.iter().filter_map(|sheet| self.sheets.iter().position(|other| other == sheet)).collect();
        let coats = |page: usize| (0..self.problem.pages[page].coats.len()).collect();
        let chosen: Vec<(usize, Vec<usize>)> = places.iter().map(|page| (*page, coats(*page))).collect();
        Self {
            start: self.start.checked_add(later_by).unwrap_or(self.start),
            problem: Problem {
                pages: places.iter().map(|page| self.problem.pages[*page].clone()).collect(),
                ..self.problem.clone()
            },
            sheets: places.iter().map(|page| self.sheets[*page]).collect(),
            planned: Schedule { starts: places.iter().map(|page| self.planned.starts[*page].clone()).collect() },
            traces: self.traces.of_coats(&chosen),
        }
    }

    /// How many sheets there are.
    pub fn len(&self) -> usize {
        self.sheets.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.sheets.is_empty()
    }

    /// How long a step with this coat takes, s: handling and spraying in whole ticks.
    pub fn step_s(&self, sheet: usize, coat: usize) -> Option<i64> {
        let coat = self.problem.pages.get(sheet)?.coats.get(coat)?;
        Some((coat.spray as f64 * self.problem.tick_s) as i64)
    }

    /// When nothing more is sprayed.
    pub fn stops_at(&self) -> Option<Timestamp> {
        let clock = Ticks { start: self.start, tick_s: self.problem.tick_s };
        self.problem.session_end.map(|end| clock.at(end))
    }

    /// Schedules what is left from `now` on. The moments of `sheets` are as the clock shows now; `clock_set_s` says by how
    /// much it was set since the beginning: waits go on with it, breaks and the quitting time stay where they are on it.
    pub fn rest(&self, sheets: &[SheetNow], now: Timestamp, clock_set_s: i64) -> Rest {
        let start = self.start.checked_add(SignedDuration::from_secs(clock_set_s)).unwrap_or(self.start);
        let clock = Ticks { start, tick_s: self.problem.tick_s };
        let bench = Bench::of(self, sheets, &clock, clock_set_s);
        let now = clock.up(now);
        let first = bench.place(&bench.problem, now, &[]);
        let begun = |page: &usize| !sheets[*page].done.is_empty();
        let mut rest = Rest { starts: vec![Vec::new(); sheets.len()], ..Rest::default() };
        let mut found = first;
        if bench.problem.session_end.is_some() && !found.stranded.is_empty() {
            rest.postponed = found.stranded.iter().copied().filter(|page| !begun(page)).collect();
            if found.stranded.iter().any(begun) {
                let open = Problem { session_end: None, ..bench.problem.clone() };
                let before: Vec<usize> = found.stranded.iter().copied().filter(begun).collect();
                found = bench.place(&open, now, &rest.postponed);
                rest.overtime = before.iter().any(|page| !found.stranded.contains(page));
            } else if !rest.postponed.is_empty() {
                found = bench.place(&bench.problem, now, &rest.postponed);
            }
        }
        rest.stuck = found.stranded.iter().copied().filter(|page| !rest.postponed.contains(page)).collect();
        for (page, sheet) in sheets.iter().enumerate() {
            let starts = found.schedule.starts[page].iter().skip(sheet.done.len());
            let mut starts = starts.map(|start| clock.at(*start));
            rest.starts[page] =
                sheet.left.iter().map(|(coat, planned)| (*coat, starts.next().unwrap_or(*planned))).collect();
        }
        rest.air_s = self.longer_air(&bench, &found.schedule);
        rest
    }

    /// How much longer after the last coat the air takes to be as it is in the schedule begun with, at every moment from
    /// there on, s.
    fn longer_air(&self, bench: &Bench<'_>, schedule: &Schedule) -> i64 {
        let end = |starts: &[Vec<Tick>], problem: &Problem| {
            let ends = starts.iter().zip(&problem.pages);
            let last = ends.filter_map(|(starts, page)| Some(starts.last()? + page.coats[starts.len() - 1].spray));
            last.max().unwrap_or(0)
        };
        let tail = |sums: Vec<Vec<f64>>, end: Tick| -> Vec<Vec<f64>> {
            let from = usize::try_from(end.max(0)).unwrap_or(0);
            sums.into_iter().map(|sum| sum.get(from..).unwrap_or(&[]).to_vec()).collect()
        };
        let before = tail(self.traces.sums(&self.planned.starts, 0), end(&self.planned.starts, &self.problem));
        let after = tail(bench.traces.sums(&schedule.starts, 1), end(&schedule.starts, &bench.problem));
        let longer = before.iter().zip(&after).map(|(before, after)| later_by(before, after)).max().unwrap_or(0);
        (longer as f64 * self.problem.tick_s).ceil() as i64
    }
}

/// The least number of ticks by which `after`, put off, stays at or below `before` everywhere.
fn later_by(before: &[f64], after: &[f64]) -> usize {
    let fits = |by: usize| {
        let rest = after.get(by..).unwrap_or(&[]);
        rest.iter().enumerate().all(|(tick, after)| *after <= before.get(tick).copied().unwrap_or(0.0))
    };
    (0..after.len()).find(|by| fits(*by)).unwrap_or(after.len())
}

/// Ticks and moments.
struct Ticks {
    start: Timestamp,
    tick_s: f64,
}

impl Ticks {
    fn since_s(&self, at: Timestamp) -> f64 {
        at.duration_since(self.start).as_secs_f64()
    }

    fn up(&self, at: Timestamp) -> Tick {
        (self.since_s(at) / self.tick_s - 1e-9).ceil() as Tick
    }

    fn at(&self, tick: Tick) -> Timestamp {
        let by = SignedDuration::from_secs((tick as f64 * self.tick_s).round() as i64);
        self.start.checked_add(by).unwrap_or(self.start)
    }
}

/// The bench as it stands: coats that fell away are gone, waits are as long as they have become.
struct Bench<'a> {
    problem: Problem,
    planned: Schedule,
    done: Vec<Vec<Sprayed>>,
    traces: RoomTraces,
    sheets: &'a [SheetNow],
}

impl<'a> Bench<'a> {
    fn of(evening: &EveningBench, sheets: &'a [SheetNow], clock: &Ticks, clock_set_s: i64) -> Self {
        let whole = &evening.problem;
        let mut pages = Vec::with_capacity(sheets.len());
        let (mut planned, mut done, mut kept) = (Vec::new(), Vec::new(), Vec::new());
        for (place, sheet) in sheets.iter().enumerate() {
            let page = &whole.pages[place];
            let coats: Vec<usize> = sheet
                .done
                .iter()
                .chain(&sheet.left)
                .map(|(coat, _)| *coat)
                .filter(|coat| *coat < page.coats.len())
                .collect();
            let sprayed: Vec<Sprayed> = sheet
                .done
                .iter()
                .zip(&coats)
                .map(|((_, end), coat)| Sprayed {
                    start: clock.up(*end) - page.coats[*coat].spray,
                    end: clock.up(*end),
                })
                .collect();
            let starts = sprayed.iter().map(|coat| coat.start);
            planned.push(starts.chain(sheet.left.iter().map(|(_, start)| clock.up(*start))).collect());
            pages.push(standing(page, &coats, sheet, &sprayed, clock));
            done.push(sprayed);
            kept.push((place, coats));
        }
        // Waits move with a clock that was set, breaks and the quitting time do not.
        let by = clock_set_s as f64 / clock.tick_s;
        let pauses = whole.pauses.iter().map(|pause| Pause {
            start: (pause.start as f64 - by).floor() as Tick,
            end: (pause.end as f64 - by).ceil() as Tick,
        });
        Self {
            problem: Problem {
                pages,
                pauses: pauses.collect(),
                session_end: whole.session_end.map(|end| (end as f64 - by).floor() as Tick),
                ..whole.clone()
            },
            planned: Schedule { starts: planned },
            done,
            traces: evening.traces.of_coats(&kept),
            sheets,
        }
    }

    /// Places what is left, but for the sheets in `without`.
    fn place(&self, problem: &Problem, now: Tick, without: &[usize]) -> Replanned {
        let mut planned = self.planned.clone();
        for page in without {
            planned.starts[*page].truncate(self.done[*page].len());
        }
        let begun: Vec<usize> = self.sheets.iter().map(|sheet| sheet.done.len()).collect();
        let air = || -> Box<dyn BenchAir + '_> { Box::new(RoomNow { sum: self.traces.air(), begun: begun.clone() }) };
        replan_in(problem, &planned, &self.done, now, &air)
    }
}

/// The page with the coats it still has. The wait after the last one that is on is as long as the sheet says.
fn standing(page: &Page, coats: &[usize], sheet: &SheetNow, sprayed: &[Sprayed], clock: &Ticks) -> Page {
    let mut standing = Page { coats: coats.iter().map(|coat| page.coats[*coat].clone()).collect(), ..page.clone() };
    standing.final_dry += (sheet.longer_s.max(0) as f64 / clock.tick_s).ceil() as Tick;
    if let Some(last) = standing.coats.last_mut() {
        last.lag = None;
    }
    let dry = sheet.dry_at.map(|at| clock.up(at));
    match (sprayed.last(), dry) {
        (Some(last), Some(dry)) if sprayed.len() < coats.len() => {
            let lag = standing.coats[sprayed.len() - 1].lag;
            let own = lag.filter(|_| !sheet.window_missed);
            standing.coats[sprayed.len() - 1].lag = Some(Lag {
                min: (dry - last.end).max(0),
                // The end of the coat was taken up to a tick late.
                max: own.and_then(|lag| lag.max).map(|max| max - 1),
                resume: own.and_then(|lag| lag.resume),
            });
        }
        (None, Some(dry)) => standing.release = standing.release.max(dry),
        _ => {}
    }
    standing
}

/// The air of the room with what was really sprayed, whose moments are known to a tick, and what is placed to the tick.
struct RoomNow<'a> {
    sum: RoomSum<'a>,
    begun: Vec<usize>,
}

impl BenchAir for RoomNow<'_> {
    fn spray(&mut self, page: usize, coat: usize, start: Tick) {
        if coat < self.begun[page] {
            self.sum.sprayed_about(page, coat, start, 1);
        } else {
            self.sum.spray(page, coat, start);
        }
    }

    fn takes(&mut self, page: usize, coat: usize, from: Tick) -> Option<Tick> {
        self.sum.takes(page, coat, from)
    }
}
