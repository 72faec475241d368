//! The air of a well-mixed room in closed form, coat by coat, without a time grid.
//!
//! With the index `I` (share of the exposure limit), the liquid still to evaporate `E` in the same units (vapour over
//! room volume), air changes `a` and evaporation `k`, both per minute:
//!
//! ```text
//! dI/dt = G(t) + k E − a I        dE/dt = −k E
//! G = f q / (V p) while a coat of p minutes is sprayed; at its end E grows by (1 − f) q / V
//! ```
//!
//! so `I(t) = I₀ e^(−at) + E₀ k φ(t) + c (1 − e^(−at))`, `φ(t) = (e^(−kt) − e^(−at)) / (a − k)`, `c = G / a`.
//! Between two events `I` has at most one stationary point, at
//! `t* = [ln(1 + d/k) + ln(1 − d (I₀ − c) / (k E₀))] / d`, `d = a − k` (at `d = 0`: `1/k − (I₀ − c)/(k E₀)`), where
//! `I* = c + (k/a) E₀ e^(−k t*)`. Valid for any a, k > 0. Source: superposition of first-order box models (derived).

mod bound;

use std::cmp::Ordering;

use super::fault::LONGEST_SESSION;
use super::problem::{Coat, RoomAir, Tick};

/// Rounding allowed on the ceiling, index.
const SLACK: f64 = 1e-9;
/// Longest table of decays, ticks; beyond it they are computed.
const TABLE: usize = 4096;
/// Ticks of waiting that are counted with the coat; of longer waits, so many as one coat placed.
const ORDINARY_WAIT: Tick = 64;
const TRIED_A_COAT: u64 = 8;
/// Ticks of a rising index that are tried one by one.
const LONG_RISE: Tick = 512;
/// Cells of the table of states whose own evaporation just reaches the ceiling.
const CELLS: usize = 512;

#[cfg(test)]
thread_local! {
    /// How often the air was asked for on this thread: what work really was, whatever was counted.
    pub(super) static LOOKS: std::cell::Cell<u64> = const { std::cell::Cell::new(0) };
}

/// The air at a moment: index and liquid still to evaporate, both as shares of the exposure limit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AirState {
    /// Index.
    pub index: f64,
    /// What would be added if all liquid evaporated at once.
    pub liquid: f64,
}

/// What is left after a while.
#[derive(Debug, Clone, Copy)]
struct Decay {
    /// Share of the index.
    index: f64,
    /// Share of the liquid.
    liquid: f64,
    /// Index a unit of liquid has become.
    transfer: f64,
}

impl Decay {
    fn of(self, state: AirState) -> AirState {
        AirState { index: state.index * self.index + state.liquid * self.transfer, liquid: state.liquid * self.liquid }
    }
}

/// How a coat feeds the air.
#[derive(Debug, Clone, Copy)]
struct Feed {
    /// Time of spraying, min.
    minutes: f64,
    /// What is left after its spraying of what was there before.
    decay: Decay,
    /// Growth of the index while spraying, 1/min.
    growth: f64,
    /// Index that spraying for ever would reach.
    level: f64,
    /// Index at the end of spraying into clean air.
    rise: f64,
    /// Liquid left at the end of spraying.
    liquid: f64,
}

/// The decays of one room in whole ticks, and how every coat feeds it.
#[derive(Debug, Clone)]
pub struct AirKernel {
    /// Air changes per minute.
    a: f64,
    /// Evaporation per minute.
    k: f64,
    /// Logarithm of a over k.
    log_ratio: f64,
    tick_min: f64,
    ceiling: f64,
    decays: Vec<Decay>,
    feeds: Vec<Feed>,
    /// Greatest index at which a state with that liquid stays under the ceiling, by cell of liquid.
    border: Vec<f64>,
    cells_per_liquid: f64,
}

impl AirKernel {
    /// Prepares a room for coats numbered as given.
    pub fn new(air: &RoomAir, tick_min: f64, coats: &[&Coat]) -> Self {
        let a = air.air_changes_per_h / 60.0;
        let k = air.evaporation_per_min;
        let slowest = a.min(k) * tick_min;
        let length = (60.0 / slowest).clamp(64.0, TABLE as f64) as usize;
        let mut kernel = Self {
            a,
            k,
            // Of rates far apart the difference forgets the smaller one.
            log_ratio: if (a - k).abs() < 0.5 * k { libm::log1p((a - k) / k) } else { libm::log(a / k) },
            tick_min,
            ceiling: air.ceiling,
            decays: Vec::with_capacity(length),
            feeds: Vec::with_capacity(coats.len()),
            border: Vec::with_capacity(CELLS + 1),
            cells_per_liquid: 0.0,
        };
        for ticks in 0..length {
            let decay = kernel.decay_after(ticks as f64 * tick_min);
            kernel.decays.push(decay);
        }
        kernel.take_in(air, coats);
        kernel.draw_border();
        kernel
    }

    fn take_in(&mut self, air: &RoomAir, coats: &[&Coat]) {
        for coat in coats {
            let minutes = coat.spray as f64 * self.tick_min;
            let growth = coat.flash_share * coat.vapour_m3 / (air.volume_m3 * minutes);
            let level = growth / self.a;
            self.feeds.push(Feed {
                minutes,
                growth,
                decay: self.decay_after(minutes),
                level,
                rise: -level * libm::expm1(-self.a * minutes),
                liquid: (1.0 - coat.flash_share) * coat.vapour_m3 / air.volume_m3,
            });
        }
    }

    /// The same room for other coats.
    pub(super) fn for_coats(&self, air: &RoomAir, coats: &[&Coat]) -> Self {
        let mut kernel = Self { feeds: Vec::with_capacity(coats.len()), ..self.clone() };
        kernel.take_in(air, coats);
        kernel
    }

    /// Work of finding the earliest start after some ticks of waiting, in coats placed, beyond that of an ordinary wait.
    pub(super) fn work_of_waiting(ticks: Tick) -> u64 {
        if ticks > ORDINARY_WAIT { ticks.min(LONG_RISE).unsigned_abs() / TRIED_A_COAT } else { 0 }
    }

    /// The ceiling of the index, with the rounding allowed on it.
    pub fn ceiling(&self) -> f64 {
        self.ceiling + SLACK
    }

    /// What is left after some minutes.
    fn decay_after(&self, minutes: f64) -> Decay {
        let difference = self.a - self.k;
        let index = libm::exp(-self.a * minutes);
        let liquid = libm::exp(-self.k * minutes);
        // A fast room makes expm1 overflow where the decay underflows: the direct form is exact there.
        let transfer = if difference * minutes > 30.0 {
            self.k * (liquid - index) / difference
        } else if difference.abs() * minutes < 1e-12 {
            self.k * index * minutes
        } else {
            self.k * index * libm::expm1(difference * minutes) / difference
        };
        Decay { index, liquid, transfer }
    }

    /// The air some ticks later if nothing is sprayed.
    pub fn later(&self, state: AirState, ticks: Tick) -> AirState {
        #[cfg(test)]
        LOOKS.set(LOOKS.get() + 1);
        match self.decays.get(ticks.max(0) as usize) {
            Some(decay) => decay.of(state),
            None => self.decay_after(ticks as f64 * self.tick_min).of(state),
        }
    }

    /// The air at the end of a coat that starts in a state.
    pub fn after(&self, state: AirState, coat: usize) -> AirState {
        let feed = &self.feeds[coat];
        let end = feed.decay.of(state);
        AirState { index: end.index + feed.rise, liquid: end.liquid + feed.liquid }
    }

    /// Whether a coat may start in a state: the ceiling holds while it is sprayed and ever after, if nothing follows.
    pub fn fits(&self, state: AirState, coat: usize) -> bool {
        let feed = &self.feeds[coat];
        let end = feed.decay.of(state);
        let index = end.index + feed.rise;
        self.settles(AirState { index, liquid: end.liquid + feed.liquid })
            && (feed.growth + self.k * state.liquid <= self.a * state.index
                || feed.growth + self.k * end.liquid >= self.a * index
                // Without liquid there is no crest, and rounding may ask for one: not a number is not above the ceiling.
                || self.crest(state, feed.level).partial_cmp(&self.ceiling()) != Some(Ordering::Greater))
            && state.index <= self.ceiling()
    }

    /// First count of ticks, at least `least`, after which a coat may start; with the air it then starts in.
    ///
    /// Ticks are tried one by one while the index may still rise (the first hundreds of them), then by halving: once it
    /// falls it falls for good. Of a longer rise that takes the coat at some of its ticks only, it is a tick that takes
    /// the coat behind one that does not.
    pub fn earliest(&self, state: AirState, least: Tick, coat: usize) -> (Tick, AirState) {
        let (mut refused, mut ticks) = (least - 1, least);
        let mut start = self.later(state, ticks);
        let mut taken = self.fits(start, coat);
        while !taken && self.k * start.liquid > self.a * start.index {
            // Where the rise takes longer than any evening only its crest is asked for.
            let long = ticks - least >= LONG_RISE;
            let crest = if long { self.crest_minutes(start, 0.0) / self.tick_min } else { 1.0 };
            refused = ticks;
            ticks += libm::ceil(crest.clamp(1.0, 1e12)) as Tick;
            start = self.later(state, ticks);
            taken = self.fits(start, coat);
        }
        // Steps of Newton's method on the distance from the border; what they overshoot is found by halving.
        while !taken {
            refused = ticks;
            ticks += self.newton_step(start, coat);
            start = self.later(state, ticks);
            // A coat that alone passes the ceiling never fits; such problems are refused before.
            if ticks - least > 1 << 40 {
                return (ticks, start);
            }
            taken = self.fits(start, coat);
        }
        // Most steps overshoot by nothing: the tick before is asked first.
        let mut nearer = ticks - 1;
        while ticks - refused > 1 {
            let before = self.later(state, nearer);
            if self.fits(before, coat) {
                (ticks, start) = (nearer, before);
            } else {
                refused = nearer;
            }
            nearer = refused + (ticks - refused) / 2;
        }
        (ticks, start)
    }

    /// Ticks after which a falling state that does not take a coat may nearly take it; at least 1.
    fn newton_step(&self, state: AirState, coat: usize) -> Tick {
        let feed = &self.feeds[coat];
        let end = feed.decay.of(state);
        let place = (end.liquid + feed.liquid) * self.cells_per_liquid;
        let cell = place as usize;
        if cell >= CELLS {
            return 1 + (0.25 / (self.k * self.tick_min)) as Tick;
        }
        let (low, slope) = (self.border[cell], self.border[cell + 1] - self.border[cell]);
        let excess = end.index + feed.rise - low - slope * (place - cell as f64);
        let evaporating = self.k * end.liquid;
        let fall = self.a * end.index - evaporating - slope * self.cells_per_liquid * evaporating;
        let step = excess / (fall * self.tick_min);
        if step > 1.0 { step.min(1e9) as Tick } else { 1 }
    }

    /// Ticks after which nothing that was ever allowed into the air matters any more; air that hardly changes at all is
    /// waited for no longer than the longest session.
    pub fn airing_ticks(&self) -> Tick {
        libm::ceil(60.0 / (self.a.min(self.k) * self.tick_min)).min(LONGEST_SESSION as f64) as Tick
    }

    /// Greatest index a coat reaches in clean air.
    pub fn peak_alone(&self, coat: usize) -> f64 {
        self.peak_with(AirState::default(), coat)
    }

    /// Greatest index from the start of a coat on, if nothing follows.
    pub fn peak_with(&self, state: AirState, coat: usize) -> f64 {
        let feed = &self.feeds[coat];
        let end = self.after(state, coat);
        let before_end = end.liquid - feed.liquid;
        let mut peak = state.index.max(self.free_peak(end));
        let rising = feed.growth + self.k * state.liquid > self.a * state.index;
        if rising && feed.growth + self.k * before_end < self.a * end.index {
            peak = peak.max(self.crest(state, feed.level));
        }
        peak
    }

    /// Ticks, as a real number, from the start of a coat to a moment at which the index passes the ceiling.
    pub fn passes_ceiling_after(&self, state: AirState, coat: usize) -> Option<f64> {
        let feed = &self.feeds[coat];
        let end = self.after(state, coat);
        if state.index > self.ceiling() {
            return Some(0.0);
        }
        if self.free_peak(end) > self.ceiling() {
            let falling = self.k * end.liquid <= self.a * end.index;
            let crest = if falling { 0.0 } else { self.crest_minutes(end, 0.0) };
            return Some((feed.minutes + crest) / self.tick_min);
        }
        let crest = self.crest_minutes(state, feed.level);
        (self.crest(state, feed.level) > self.ceiling() && crest > 0.0 && crest < feed.minutes)
            .then_some(crest / self.tick_min)
    }

    /// Greatest index of a state left alone.
    pub fn free_peak(&self, state: AirState) -> f64 {
        if self.k * state.liquid <= self.a * state.index { state.index } else { self.crest(state, 0.0) }
    }

    /// Index a coat alone makes, a real number of ticks after its end.
    pub fn trace_after_end(&self, coat: usize, ticks: f64) -> f64 {
        let state = self.after(AirState::default(), coat);
        self.decay_after(ticks * self.tick_min).of(state).index
    }

    /// Index at the stationary point of a stretch with a constant source.
    fn crest(&self, state: AirState, level: f64) -> f64 {
        level + self.k / self.a * state.liquid * libm::exp(-self.k * self.crest_minutes(state, level))
    }

    fn crest_minutes(&self, state: AirState, level: f64) -> f64 {
        let difference = self.a - self.k;
        let ratio = (state.index - level) / (self.k * state.liquid);
        if difference.abs() < 1e-9 * self.k {
            1.0 / self.k - ratio
        } else {
            (self.log_ratio + libm::log1p(-difference * ratio)) / difference
        }
    }

    /// Whether a state left alone stays under the ceiling.
    ///
    /// The states that do form a convex set, so between two points of its border the chord lies inside; and the
    /// chord before, drawn on, lies outside. Only the sliver between is computed.
    fn settles(&self, state: AirState) -> bool {
        let place = state.liquid * self.cells_per_liquid;
        let cell = place as usize;
        if cell >= CELLS {
            return self.free_peak(state) <= self.ceiling();
        }
        let (low, high) = (self.border[cell], self.border[cell + 1]);
        if state.index <= low + (high - low) * (place - cell as f64) - SLACK {
            true
        } else if state.index
            > low + (low - self.border[cell.saturating_sub(1)]).min(0.0) * (place - cell as f64) + SLACK
        {
            false
        } else {
            self.free_peak(state) <= self.ceiling()
        }
    }

    fn draw_border(&mut self) {
        let unit_peak = self.free_peak(AirState { index: 0.0, liquid: 1.0 });
        let most_liquid = self.ceiling() / unit_peak;
        self.cells_per_liquid = CELLS as f64 / most_liquid;
        for cell in 0..=CELLS {
            let liquid = cell as f64 / self.cells_per_liquid;
            let (mut inside, mut outside) = (0.0, self.ceiling());
            if self.free_peak(AirState { index: outside, liquid }) <= outside {
                inside = outside;
            }
            for _ in 0..44 {
                let middle = f64::midpoint(inside, outside);
                if self.free_peak(AirState { index: middle, liquid }) <= self.ceiling() {
                    inside = middle;
                } else {
                    outside = middle;
                }
            }
            self.border.push(inside);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::batch::Presence;

    fn room(ach: f64, k: f64) -> RoomAir {
        RoomAir {
            volume_m3: 25.0,
            air_changes_per_h: ach,
            evaporation_per_min: k,
            ceiling: 1.0,
            dose_limit: 1.0,
            presence: Presence::AtWork,
        }
    }

    fn coat(spray: Tick, vapour_m3: f64, flash_share: f64) -> Coat {
        Coat { spray, can: 0, lag: None, vapour_m3, flash_share }
    }

    /// The same by stepping the two equations in small steps (midpoint rule).
    fn stepped(air: &RoomAir, coats: &[(Tick, Coat)], until: f64) -> (f64, f64) {
        let (a, k, step) = (air.air_changes_per_h / 60.0, air.evaporation_per_min, 0.002);
        let (mut index, mut peak, mut time) = (0.0, 0.0_f64, 0.0);
        while time < until {
            let middle = time + step / 2.0;
            let mut source = 0.0;
            for (start, coat) in coats {
                let (start, end) = (*start as f64 * 0.5, (*start + coat.spray) as f64 * 0.5);
                if middle > start && middle < end {
                    source += coat.flash_share * coat.vapour_m3 / (end - start);
                } else if middle > end {
                    source += (1.0 - coat.flash_share) * coat.vapour_m3 * k * libm::exp(-k * (middle - end));
                }
            }
            let half = index + step / 2.0 * (source / air.volume_m3 - a * index);
            index += step * (source / air.volume_m3 - a * half);
            time += step;
            peak = peak.max(index);
        }
        (index, peak)
    }

    #[test]
    fn closed_form_agrees_with_stepping() {
        for (ach, k) in [(4.0, 0.3), (4.0, 4.0 / 60.0), (0.3, 0.02), (30.0, 0.05), (2.0, 1.0 / 30.0 + 1e-11)] {
            let air = room(ach, k);
            let coats =
                [(0, coat(6, 12.0, 0.5)), (10, coat(4, 9.0, 0.2)), (14, coat(8, 15.0, 1.0)), (50, coat(5, 7.0, 0.0))];
            let kernel = AirKernel::new(&air, 0.5, &coats.iter().map(|(_, coat)| coat).collect::<Vec<_>>());
            let (mut state, mut at, mut peak) = (AirState::default(), 0, 0.0_f64);
            for (number, (start, coat)) in coats.iter().enumerate() {
                let begin = kernel.later(state, start - at);
                peak = peak.max(kernel.peak_with(begin, number).min(f64::MAX));
                state = kernel.after(begin, number);
                at = start + coat.spray;
            }
            let (index, stepped_peak) = stepped(&air, &coats, (at + 40) as f64 * 0.5);
            assert!((kernel.later(state, 40).index - index).abs() < 1e-4, "index for {ach} {k}");
            // The peak with one coat's free decay is never above the peak of the whole, and one of them is it.
            let (_, whole_peak) = stepped(&air, &coats, 3000.0);
            assert!((peak - whole_peak).abs() < 1e-3, "{ach} {k}: {peak} {whole_peak} {stepped_peak}");
        }
    }

    #[test]
    fn quick_answer_is_the_exact_answer() {
        for (ach, k) in [(4.0, 0.3), (12.0, 0.05), (3.0, 0.05)] {
            let air = room(ach, k);
            let coats = [coat(4, 8.0, 0.4), coat(10, 20.0, 0.1)];
            let kernel = AirKernel::new(&air, 0.5, &coats.iter().collect::<Vec<_>>());
            for step in 0..40_000 {
                let state = AirState { index: f64::from(step % 200) / 190.0, liquid: f64::from(step / 200) / 60.0 };
                for number in 0..2 {
                    let exact = kernel.peak_with(state, number) <= kernel.ceiling();
                    assert_eq!(kernel.fits(state, number), exact, "{ach} {k} {state:?} {number}");
                }
            }
        }
    }

    #[test]
    fn vapour_that_flashes_off_in_a_room_that_hardly_airs_is_all_in_the_air() {
        for (ach, k) in [(0.01, 1e6), (1e-6, 1e3), (1e-6, 1e9), (60.0, 1.0 + 1e-12), (6e-5, 1.0001e-6)] {
            let kernel = AirKernel::new(&room(ach, k), 0.5, &[]);
            let peak = kernel.free_peak(AirState { index: 0.0, liquid: 1.0 });
            // Of one unit at once the peak is (a/k)^(a/(k - a)): 1 for a much below k, 1/e for a = k.
            let a = ach / 60.0;
            let exact =
                if (a / k - 1.0).abs() < 1e-3 { libm::exp(-1.0) } else { libm::exp(a / (k - a) * libm::log(a / k)) };
            assert!((peak - exact).abs() < 1e-4, "{ach} {k}: {peak} {exact}");
        }
    }

    #[test]
    fn a_long_rise_is_waited_out_no_longer_than_it_must() {
        // Seconds for ticks: the index rises for 1,548 of them, and many a coat fits long before.
        let air = room(4.0, 0.02);
        let coats = [coat(60, 80.0, 0.0)];
        let kernel = AirKernel::new(&air, 1.0 / 60.0, &coats.iter().collect::<Vec<_>>());
        let mut beyond = 0;
        for step in 0..60 {
            let state = AirState { index: 0.0, liquid: 2.3 + f64::from(step) / 60.0 };
            let (found, _) = kernel.earliest(state, 0, 0);
            let scanned = (0..100_000).find(|ticks| kernel.fits(kernel.later(state, *ticks), 0));
            assert_eq!(Some(found), scanned, "{state:?}");
            beyond += usize::from(found > LONG_RISE && found < 1_500);
        }
        assert!(beyond > 10, "{beyond} cases tried what it is for");
    }

    #[test]
    fn earliest_is_the_first_tick_that_fits() {
        let air = room(4.0, 0.08);
        let coats = [coat(4, 9.0, 0.2)];
        let kernel = AirKernel::new(&air, 0.5, &coats.iter().collect::<Vec<_>>());
        for step in 0..2_000 {
            let state = AirState { index: f64::from(step % 40) / 40.0, liquid: f64::from(step / 40) / 30.0 };
            let (found, _) = kernel.earliest(state, 3, 0);
            let scanned = (3..100_000).find(|ticks| kernel.fits(kernel.later(state, *ticks), 0));
            assert_eq!(Some(found), scanned, "{state:?}");
        }
    }
}
