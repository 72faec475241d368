//! The exact air of a room in whole ticks: what every coat alone does to it, added up.
//!
//! The room answers each release by itself, so the fullness of a schedule is the sum of what its coats do alone, each
//! from its own start. For each tick the greatest value within it is kept; their sum is never below the true greatest.

use serde::{Deserialize, Serialize};

use crate::air::CoatTrace;
use crate::batch::place::BenchAir;
use crate::batch::problem::{Tick, ticks};

/// Part of the ceiling kept free for what lies between two looks at the air and beyond the end of a trace.
const KEPT_FREE: f64 = 1e-3;
/// Decimals of a trace as it is kept: rounded up, it stays on the careful side.
const DECIMALS: f64 = 1e6;
/// Coats at the end that the bound of the air looks at.
const LAST_COATS: usize = 6;

/// What every coat of a bench does to the room, each limit's ceiling being one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(from = "Kept")]
pub(super) struct RoomTraces {
    /// For each coat that differs, for each limit that can decide, the greatest fullness within each tick from its
    /// start on.
    traces: Vec<Vec<Vec<f64>>>,
    /// For each of them the ticks until none of its limits rises any more.
    rises: Vec<usize>,
    /// For each of them the most it fills the room alone.
    #[serde(skip)]
    most: Vec<f64>,
    /// Places in `traces` for each page's coats.
    of: Vec<Vec<usize>>,
}

/// The traces as they are written.
#[derive(Deserialize)]
struct Kept {
    traces: Vec<Vec<Vec<f64>>>,
    rises: Vec<usize>,
    of: Vec<Vec<usize>>,
}

impl From<Kept> for RoomTraces {
    fn from(Kept { traces, rises, of }: Kept) -> Self {
        let most = traces.iter().map(|trace| trace.iter().flatten().copied().fold(0.0, f64::max)).collect();
        Self { traces, rises, most, of }
    }
}

impl RoomTraces {
    /// The traces of coats that differ, and which of them each page's coats are; at most `ceiling` is allowed.
    pub(super) fn new(found: &[CoatTrace], of: Vec<Vec<usize>>, ceiling: f64) -> Self {
        let top = ceiling * (1.0 - KEPT_FREE);
        let scaled = |trace: &Vec<f64>| -> Vec<f64> {
            let mut scaled: Vec<f64> =
                trace.iter().map(|value| libm::ceil(value / top * DECIMALS) / DECIMALS).collect();
            let end = scaled.iter().rposition(|value| *value > 1.0 / DECIMALS).map_or(0, |last| last + 1);
            scaled.truncate(end);
            scaled
        };
        let all: Vec<Vec<Vec<f64>>> = found.iter().map(|trace| trace.peaks.iter().map(scaled).collect()).collect();
        let limits = all.first().map_or(0, Vec::len);
        // A limit below another at every moment of every coat never decides.
        let below = |one: usize, other: usize| {
            all.iter().all(|trace| {
                let value = |tick: usize| trace[other].get(tick).copied().unwrap_or(0.0);
                trace[one].iter().enumerate().all(|(tick, own)| *own <= value(tick))
            })
        };
        let decides = |limit: &usize| {
            (0..limits).all(|other| other == *limit || !below(*limit, other) || below(other, *limit) && *limit < other)
        };
        let kept: Vec<usize> = (0..limits).filter(decides).collect();
        let traces: Vec<Vec<Vec<f64>>> =
            all.into_iter().map(|trace| kept.iter().map(|limit| trace[*limit].clone()).collect()).collect();
        let risen = |limit: &Vec<f64>| limit.windows(2).rposition(|two| two[1] > two[0]).map_or(0, |last| last + 1);
        let rises = traces.iter().map(|trace| trace.iter().map(risen).max().unwrap_or(0)).collect();
        Self::from(Kept { traces, rises, of })
    }

    /// The same with another share of the ceiling allowed.
    pub(super) fn allowing(&self, share: f64) -> Self {
        let traces = self
            .traces
            .iter()
            .map(|trace| trace.iter().map(|limit| limit.iter().map(|value| value / share).collect()).collect());
        Self::from(Kept { traces: traces.collect(), rises: self.rises.clone(), of: self.of.clone() })
    }

    /// The traces of some pages only, each with some of its coats.
    pub(super) fn of_coats(&self, pages: &[(usize, Vec<usize>)]) -> Self {
        let of = pages.iter().map(|(page, coats)| coats.iter().map(|coat| self.of[*page][*coat]).collect());
        Self { of: of.collect(), ..self.clone() }
    }

    /// Clean air.
    pub(super) fn air(&self) -> RoomSum<'_> {
        let limits = self.traces.first().map_or(0, Vec::len);
        RoomSum { traces: self, base: 0, sums: vec![Vec::new(); limits], rising_until: 0, looks: 0 }
    }

    /// For each limit what a coat fills, tick by tick from its start on.
    pub(super) fn of(&self, page: usize, coat: usize) -> &[Vec<f64>] {
        &self.traces[self.of[page][coat]]
    }

    /// How many limits can decide.
    pub(super) fn limits(&self) -> usize {
        self.traces.first().map_or(0, Vec::len)
    }

    /// The fullness of each limit over time, with every coat at its start; a coat that was sprayed at some moment within
    /// `slack` ticks before counts at the worst of them.
    pub(super) fn sums(&self, starts: &[Vec<Tick>], slack: Tick) -> Vec<Vec<f64>> {
        let mut air = self.air();
        for (page, starts) in starts.iter().enumerate() {
            for (coat, start) in starts.iter().enumerate() {
                air.sprayed_about(page, coat, *start, slack);
            }
        }
        air.sums
    }
}

/// The air of a room to which coats are added, each no earlier than the one before it started.
#[derive(Debug, Clone)]
pub(super) struct RoomSum<'a> {
    traces: &'a RoomTraces,
    /// What lies before is forgotten, ticks.
    base: usize,
    /// For each limit the fullness of each tick from the base on.
    sums: Vec<Vec<f64>>,
    /// From this tick on no sum rises any more.
    rising_until: usize,
    /// Ticks looked at so far.
    pub(super) looks: u64,
}

/// Where a coat would fill the room most above its ceiling: the limit, the tick, and how long that is after its start.
#[derive(Debug, Clone, Copy)]
struct Refusal {
    limit: usize,
    tick: usize,
    after: usize,
}

/// Ticks that are forgotten together.
const FORGOTTEN: usize = 4096;
/// Ticks looked at together.
const TOGETHER: usize = 32;

impl RoomSum<'_> {
    /// What a moment would come to with a coat started at a tick.
    fn with(&self, trace: &[Vec<f64>], start: usize, limit: usize, tick: usize) -> f64 {
        let there = self.sums[limit].get(tick - self.base).copied().unwrap_or(0.0);
        there + trace[limit].get(tick - start).copied().unwrap_or(0.0)
    }

    /// Where a coat started at a tick would be too much, if it would.
    fn refusal(&mut self, place: usize, start: usize) -> Option<Refusal> {
        let traces = self.traces;
        // Where neither the sum nor the coat rises any more nothing new can come.
        let looks = 1 + traces.rises[place].max(self.rising_until.saturating_sub(start));
        for (limit, (sum, trace)) in self.sums.iter().zip(&traces.traces[place]).enumerate() {
            let there = sum.get(start - self.base..).unwrap_or(&[]);
            let count = there.len().min(trace.len()).min(looks);
            let (there, own) = (&there[..count], &trace[..count]);
            self.looks += count as u64;
            let above =
                |two: (&[f64], &[f64])| two.0.iter().zip(two.1).filter(|(sum, own)| *sum + *own > 1.0).count() > 0;
            if !there.chunks(TOGETHER).zip(own.chunks(TOGETHER)).any(above) {
                continue;
            }
            let sums = there.iter().zip(own).map(|(sum, own)| sum + own).enumerate();
            let most = sums.max_by(|one, other| one.1.total_cmp(&other.1));
            return most.map(|(after, _)| Refusal { limit, tick: start + after, after });
        }
        None
    }
}

impl RoomSum<'_> {
    /// Adds a coat whose start is known to lie within `slack` ticks before `start`: at each moment the worst of them.
    pub(super) fn sprayed_about(&mut self, page: usize, coat: usize, start: Tick, slack: Tick) {
        let place = self.traces.of[page][coat];
        let (rises, base) = (ticks(self.traces.rises[place]), ticks(self.base));
        self.rising_until = self.rising_until.max(usize::try_from((start + rises).max(0)).unwrap_or(0));
        for (sum, trace) in self.sums.iter_mut().zip(&self.traces.traces[place]) {
            let first = (start - slack - base).max(0);
            let end = usize::try_from((start + ticks(trace.len()) - base).max(0)).unwrap_or(0);
            if sum.len() < end {
                sum.resize(end, 0.0);
            }
            for (tick, sum) in sum.iter_mut().enumerate().take(end).skip(usize::try_from(first).unwrap_or(0)) {
                let values = (0..=slack).filter_map(|early| {
                    let place = usize::try_from(base + ticks(tick) - start + early).ok()?;
                    trace.get(place)
                });
                *sum += values.copied().fold(0.0, f64::max);
            }
        }
    }
}

impl BenchAir for RoomSum<'_> {
    fn spray(&mut self, page: usize, coat: usize, start: Tick) {
        let place = self.traces.of[page][coat];
        let from = usize::try_from(start.max(0)).unwrap_or(0);
        let passed = usize::try_from((-start).max(0)).unwrap_or(0);
        if from > self.base + FORGOTTEN {
            for sum in &mut self.sums {
                sum.drain(..(from - self.base).min(sum.len()));
            }
            self.base = from;
        }
        self.rising_until = self.rising_until.max((from + self.traces.rises[place]).saturating_sub(passed));
        for (sum, trace) in self.sums.iter_mut().zip(&self.traces.traces[place]) {
            let Some(rest) = trace.get(passed..) else { continue };
            let from = from - self.base;
            if sum.len() < from + rest.len() {
                sum.resize(from + rest.len(), 0.0);
            }
            for (sum, own) in sum[from..].iter_mut().zip(rest) {
                *sum += own;
            }
        }
    }

    fn takes(&mut self, page: usize, coat: usize, from: Tick) -> Option<Tick> {
        let place = self.traces.of[page][coat];
        let mut start = usize::try_from(from.max(0)).unwrap_or(0).max(self.base);
        if self.traces.most[place] > 1.0 {
            return None;
        }
        let traces = self.traces;
        let trace = &traces.traces[place];
        // In clean air it fits, and beyond the end of the sums the air is clean.
        while let Some(refusal) = self.refusal(place, start) {
            // What refused it refuses it for a while: only then is all looked at again.
            let Refusal { limit, tick, after } = refusal;
            start += 1;
            while start <= tick && self.with(trace, start, limit, tick) > 1.0
                || self.with(trace, start, limit, start + after) > 1.0
            {
                self.looks += 2;
                start += 1;
            }
        }
        Some(ticks(start))
    }
}

/// A time before which no order can have sprayed all coats, ticks.
///
/// Each coat fills the room by a whole `q`, the integral of its fullness. Up to the end of the last coat at most the
/// ceiling times that time has shown. What shows later is at most the wholes of the last `k` coats, and of the others,
/// each at least an age `τ` old by then, what they fill at that moment (together no more than the ceiling) times the
/// greatest ratio `R(τ)` of what is still to come of a coat to what it fills. So `T C ≥ Σq − R(τ) C − Σ (k greatest q)`
/// for every `k`; it holds for any order. From the superposition of releases (derived).
pub(super) fn least_air_time(found: &[CoatTrace], coats: &[(usize, Tick)], ceiling: f64) -> Tick {
    let mut sprays: Vec<Tick> = coats.iter().map(|(_, spray)| *spray).collect();
    sprays.sort_unstable();
    let mut least = 0.0_f64;
    for limit in 0..3 {
        let wholes: Vec<f64> = found.iter().map(|trace| trace.means[limit].iter().sum()).collect();
        let mut of_coats: Vec<f64> = coats.iter().map(|(trace, _)| wholes[*trace]).collect();
        of_coats.sort_unstable_by(|one, other| other.total_cmp(one));
        let whole: f64 = of_coats.iter().sum();
        let (mut age, mut last) = (0, 0.0);
        for (spray, own) in sprays.iter().zip(of_coats).take(LAST_COATS) {
            age += usize::try_from(*spray).unwrap_or(0);
            last += own;
            let ratio = found.iter().map(|trace| to_come(&trace.means[limit], age)).fold(0.0, f64::max);
            least = least.max((whole - last) / ceiling - ratio);
        }
    }
    libm::floor(least * (1.0 - KEPT_FREE)) as Tick
}

/// Greatest ratio, from an age on, of what is still to come of a coat to what it fills, ticks.
fn to_come(means: &[f64], age: usize) -> f64 {
    let (mut rest, mut greatest) = (0.0, 0.0_f64);
    for value in means.get(age..).unwrap_or(&[]).iter().rev() {
        rest += value;
        if *value > 0.0 {
            greatest = greatest.max(rest / value);
        }
    }
    greatest
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A coat that fills the room to `peak` and halves each tick.
    fn trace(peak: f64) -> CoatTrace {
        let values: Vec<f64> = (0..40).map(|tick| peak * libm::pow(0.5, f64::from(tick))).collect();
        let none = vec![0.0; 40];
        CoatTrace { peaks: [none.clone(), values.clone(), none.clone()], means: [none.clone(), values, none] }
    }

    #[test]
    fn coats_wait_until_the_room_takes_them() {
        let found = [trace(0.6)];
        let traces = RoomTraces::new(&found, vec![vec![0], vec![0]], 1.0);
        assert_eq!(traces.traces[0].len(), 1, "limits that never decide are dropped");
        let mut air = traces.air();
        assert_eq!(air.takes(0, 0, 3), Some(3));
        air.spray(0, 0, 3);
        // 0.6 + 0.6/2^n ≤ 0.999: after one tick 0.9 fits.
        assert_eq!(air.takes(1, 0, 3), Some(4));
        air.spray(1, 0, 4);
        assert_eq!((air.takes(0, 0, 3), air.takes(0, 0, 0)), (Some(6), Some(0)), "a coat before both fits as well");
        // What lies far back is forgotten, and what is there still counts.
        air.spray(0, 0, 10_000);
        assert_eq!((air.base, air.takes(1, 0, 10_000)), (10_000, Some(10_001)));
    }

    #[test]
    fn a_coat_that_alone_is_too_much_never_fits() {
        let traces = RoomTraces::new(&[trace(1.2)], vec![vec![0]], 1.0);
        assert_eq!(traces.air().takes(0, 0, 0), None);
        let wider = RoomTraces::new(&[trace(1.2)], vec![vec![0]], 1.5);
        assert_eq!(wider.air().takes(0, 0, 0), Some(0));
        assert_eq!(wider.allowing(0.5).air().takes(0, 0, 0), None);
    }

    #[test]
    fn no_order_beats_the_air() {
        // Ten coats of a tick, each worth 1.2 ticks of a full room: 12, less the last one's 1.2, less 2, which is what a
        // coat a tick old has still to come for what it fills: 8.8, by hand.
        let found = [trace(0.6)];
        let least = least_air_time(&found, &[(0, 1); 10], 1.0);
        assert_eq!(least, 8);
        let traces = RoomTraces::new(&found, vec![vec![0]; 10], 1.0);
        let mut air = traces.air();
        let mut at = 0;
        for page in 0..10 {
            at = air.takes(page, 0, at).expect("it fits");
            air.spray(page, 0, at);
            at += 1;
        }
        assert!(at >= least, "{at} {least}");
    }
}
