//! Less waiting of wet pages at the same end: coats are put off as far as nothing else moves and the air still holds.

use super::arrange::{Arranged, Hall};
use crate::batch::problem::{Tick, ticks};

/// Passes over the coats at most; each can only shorten waits.
const PASSES: usize = 4;
/// Looks at the air after which no more is tried.
const MOST_LOOKS: u64 = 40_000_000;
/// Sums of the air kept at once; of a longer evening no coat is put off.
const MOST_KEPT: usize = 1 << 20;

/// The starts of an arrangement with the air that all coats make.
struct Waits<'a> {
    hall: &'a Hall<'a>,
    order: &'a [(usize, usize)],
    starts: Vec<Vec<Tick>>,
    /// For each limit the fullness of each tick.
    sums: Vec<Vec<f64>>,
    looks: u64,
}

/// The starts of an arrangement, put off.
pub(super) fn shorten_waits(hall: &Hall<'_>, arranged: &Arranged) -> Vec<Vec<Tick>> {
    let starts = arranged.placed.schedule().starts;
    let length = |page: usize, coat: usize| hall.traces.of(page, coat).iter().map(Vec::len).max().unwrap_or(0);
    let ends = arranged.order.iter().map(|(page, coat)| starts[*page][*coat] + ticks(length(*page, *coat)));
    let kept = usize::try_from(ends.max().unwrap_or(0).max(0)).unwrap_or(usize::MAX);
    if kept.saturating_mul(hall.traces.limits()) > MOST_KEPT {
        return starts;
    }
    let sums = vec![vec![0.0; kept]; hall.traces.limits()];
    let mut waits = Waits { hall, order: &arranged.order, starts, sums, looks: 0 };
    for (page, coat) in &arranged.order {
        waits.add(*page, *coat, 1.0);
    }
    for _ in 0..PASSES {
        let mut moved = false;
        for place in (0..arranged.order.len()).rev() {
            moved |= waits.put_off(place);
        }
        if !moved {
            break;
        }
    }
    waits.starts
}

impl Waits<'_> {
    /// Adds a coat to the air at its start, or takes it out.
    fn add(&mut self, page: usize, coat: usize, sign: f64) {
        let start = usize::try_from(self.starts[page][coat]).unwrap_or(0);
        for (sum, trace) in self.sums.iter_mut().zip(self.hall.traces.of(page, coat)) {
            self.looks += trace.len() as u64;
            for (sum, own) in sum[start..].iter_mut().zip(trace) {
                *sum += sign * own;
            }
        }
    }

    /// Whether the air, from which a coat was taken out, takes it at a start.
    fn takes(&mut self, page: usize, coat: usize, start: Tick) -> bool {
        let start = usize::try_from(start).unwrap_or(0);
        self.sums.iter().zip(self.hall.traces.of(page, coat)).all(|(sum, trace)| {
            self.looks += trace.len() as u64;
            let there = sum.get(start..).unwrap_or(&[]);
            there.iter().zip(trace).filter(|(sum, own)| *sum + *own > 1.0).count() == 0
        })
    }

    fn put_off(&mut self, place: usize) -> bool {
        let problem = self.hall.problem;
        let (page, coat) = self.order[place];
        let coats = &problem.pages[page].coats;
        let Some(next) = self.starts[page].get(coat + 1).copied() else { return false };
        let (old, spray) = (self.starts[page][coat], coats[coat].spray);
        let mut latest = next - coats[coat].lag.map_or(0, |lag| lag.min) - spray;
        let setup = |from: usize, to: usize| problem.setup[from][to];
        if let Some((page, after)) = self.order.get(place + 1) {
            let can = problem.pages[*page].coats[*after].can;
            latest = latest.min(self.starts[*page][*after] - setup(coats[coat].can, can) - spray);
        }
        let before = place.checked_sub(1).map_or(problem.initial_can, |before| {
            let (page, coat) = self.order[before];
            problem.pages[page].coats[coat].can
        });
        let change = setup(before, coats[coat].can);
        let mut shift = latest - old;
        if shift <= 0 || self.looks > MOST_LOOKS {
            return false;
        }
        self.add(page, coat, -1.0);
        while shift > 0 {
            let start = old + shift;
            let mut pauses = problem.pauses.iter();
            let clear = pauses.all(|pause| start - change >= pause.end || start + spray <= pause.start);
            let after = coats[coat].lag.is_none_or(|lag| lag.allows(next - start - spray));
            let own = coat.checked_sub(1).and_then(|last| coats[last].lag.map(|lag| (last, lag)));
            let own = own.is_none_or(|(last, lag)| lag.allows(start - self.starts[page][last] - coats[last].spray));
            if clear && after && own && self.takes(page, coat, start) {
                break;
            }
            shift /= 2;
        }
        self.starts[page][coat] = old + shift;
        self.add(page, coat, 1.0);
        shift > 0
    }
}
