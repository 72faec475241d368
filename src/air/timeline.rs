//! Concentration over time, exactly: the room's modes carried from one change of the release to the next.

use super::release::Sources;
use super::zone::{Place, Zones};

/// The state of the room at a moment when the release changes.
#[derive(Debug, Clone, Copy)]
struct Knot {
    at_s: f64,
    /// Steady rate from here on.
    rate: f64,
    /// State of the two modes.
    state: [f64; 2],
    /// Released since the beginning.
    released: f64,
}

/// One change of the release.
#[derive(Clone, Copy)]
struct Change {
    at_s: f64,
    /// By how much the steady rate changes, or the rate with which an exponential source begins.
    rate: f64,
    /// How many steps begin, less those that end.
    steps: i32,
    /// Which exponential source begins, if one does.
    group: Option<usize>,
}

/// Where a timeline begins: a moment and the state of the two modes there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Start {
    pub(super) at_s: f64,
    pub(super) state: [f64; 2],
}

/// Concentration at the face and in the room for a set of releases, at any moment, in closed form.
///
/// Each mode of the room obeys m' = −λ m + G(t) on its own. Between two changes of G, which is a constant plus falling
/// exponentials, m(t₀ + τ) = m₀ e^(−λτ) + G (1 − e^(−λτ))/λ + Σ r (e^(−kτ) − e^(−λτ))/(λ − k), so nothing is
/// integrated numerically. The time integral follows from the balance: ∫ m = (m₀ + ∫ G − m)/λ. Concentrations are in
/// the currency of the sources per m³.
#[derive(Debug, Clone)]
pub struct Timeline {
    pub(super) zones: Zones,
    knots: Vec<Knot>,
    /// Decay rates of the exponential sources, 1/s, without repeats.
    decays: Vec<f64>,
    /// Rates of the exponential sources after each knot, knot by knot.
    tail_rates: Vec<f64>,
}

/// The changes by their moments, those of one moment as they were given. What is sorted is half as large as a change.
fn in_order(changes: &[Change]) -> impl Iterator<Item = Change> {
    let mut order: Vec<(f64, usize)> = changes.iter().enumerate().map(|(place, change)| (change.at_s, place)).collect();
    order.sort_unstable_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    order.into_iter().map(|(_, place)| changes[place])
}

/// (1 − e^(−r τ))/r.
fn growth(rate: f64, tau: f64) -> f64 {
    -libm::expm1(-rate * tau) / rate
}

/// e^(−x) and 1 − e^(−x), both exact to the last places, from the one exponential that does not cancel.
fn stays_and_leaves(x: f64) -> (f64, f64) {
    if x < 1.0 {
        let leaves = -libm::expm1(-x);
        (1.0 - leaves, leaves)
    } else {
        let stays = libm::exp(-x);
        (stays, 1.0 - stays)
    }
}

/// (e^(−k τ) − e^(−λ τ))/(λ − k), also where both are equal.
fn overlap(lambda: f64, k: f64, tau: f64) -> f64 {
    let apart = (lambda - k).abs();
    let slower = libm::exp(-lambda.min(k) * tau);
    if apart * tau < 1e-12 { slower * tau } else { slower * growth(apart, tau) }
}

impl Timeline {
    /// The timeline of some sources in clean air.
    pub fn new(zones: Zones, sources: &Sources) -> Self {
        let steps = sources.steps.iter().map(|step| step.from_s);
        let first = steps.chain(sources.tails.iter().map(|tail| tail.from_s)).fold(f64::INFINITY, f64::min);
        let at_s = if first.is_finite() { first } else { 0.0 };
        Self::from_start(zones, sources, Start { at_s, state: [0.0; 2] })
    }

    /// The timeline of some sources, none of them earlier than the start, in air that already holds something.
    pub(super) fn from_start(zones: Zones, sources: &Sources, start: Start) -> Self {
        let mut decays: Vec<f64> = sources.tails.iter().map(|tail| tail.decay_per_s).collect();
        decays.sort_unstable_by(f64::total_cmp);
        decays.dedup();
        let mut changes = Vec::with_capacity(2 * sources.steps.len() + sources.tails.len());
        for step in &sources.steps {
            changes.push(Change { at_s: step.from_s, rate: step.rate, steps: 1, group: None });
            changes.push(Change { at_s: step.to_s, rate: -step.rate, steps: -1, group: None });
        }
        for tail in &sources.tails {
            let group = decays.partition_point(|decay| *decay < tail.decay_per_s);
            changes.push(Change { at_s: tail.from_s, rate: tail.rate, steps: 0, group: Some(group) });
        }
        let mut timeline = Self {
            zones,
            knots: vec![Knot { at_s: start.at_s, rate: 0.0, state: start.state, released: 0.0 }],
            tail_rates: vec![0.0; decays.len()],
            decays,
        };
        let mut running = 0;
        for change in in_order(&changes) {
            if change.at_s > timeline.last_change_s() {
                timeline.push_knot(change.at_s);
            }
            let last = timeline.knots.len() - 1;
            if let Some(group) = change.group {
                let groups = timeline.decays.len();
                timeline.tail_rates[last * groups + group] += change.rate;
                continue;
            }
            running += change.steps;
            let knot = &mut timeline.knots[last];
            // With no step on, the rate is exactly nothing, whatever rounding left behind.
            knot.rate = if running == 0 { 0.0 } else { (knot.rate + change.rate).max(0.0) };
        }
        timeline.knots.shrink_to_fit();
        timeline.tail_rates.shrink_to_fit();
        timeline
    }

    /// Carries the state to a new knot.
    fn push_knot(&mut self, at_s: f64) {
        let index = self.knots.len() - 1;
        let before = self.knots[index];
        let tau = at_s - before.at_s;
        let state = self.state_after(index, tau);
        let released = before.released + self.released_after(index, tau);
        for group in 0..self.decays.len() {
            let rate = self.tail_rates[index * self.decays.len() + group];
            self.tail_rates.push(rate * libm::exp(-self.decays[group] * tau));
        }
        self.knots.push(Knot { at_s, rate: before.rate, state, released });
    }

    /// Rates of the exponential sources right after a knot.
    fn tails(&self, index: usize) -> &[f64] {
        &self.tail_rates[index * self.decays.len()..(index + 1) * self.decays.len()]
    }

    /// State of the modes τ seconds after a knot.
    fn state_after(&self, index: usize, tau: f64) -> [f64; 2] {
        let knot = &self.knots[index];
        let mut state = knot.state;
        if tau <= 0.0 {
            return state;
        }
        for (mode, value) in self.zones.modes.iter().zip(&mut state) {
            let lambda = mode.rate_per_s;
            let (stays, leaves) = stays_and_leaves(lambda * tau);
            *value = *value * stays + knot.rate * leaves / lambda;
            for (rate, decay) in self.tails(index).iter().zip(&self.decays) {
                *value += rate * overlap(lambda, *decay, tau);
            }
        }
        state
    }

    /// Released in τ seconds after a knot.
    fn released_after(&self, index: usize, tau: f64) -> f64 {
        let tails = self.tails(index).iter().zip(&self.decays).map(|(rate, decay)| rate * growth(*decay, tau));
        self.knots[index].rate * tau + tails.sum::<f64>()
    }

    /// The last knot at or before a moment; `None` before the beginning.
    fn knot_before(&self, t_s: f64) -> Option<usize> {
        self.knots.partition_point(|knot| knot.at_s <= t_s).checked_sub(1)
    }

    /// When it begins, s.
    pub fn begins_s(&self) -> f64 {
        self.knots[0].at_s
    }

    /// When the release changes for the last time, s.
    pub fn last_change_s(&self) -> f64 {
        self.knots[self.knots.len() - 1].at_s
    }

    /// Moments at which the release changes, s, in order.
    pub(super) fn changes(&self) -> impl DoubleEndedIterator<Item = f64> + '_ {
        self.changes_from(0)
    }

    /// The same without the first few of them.
    pub(super) fn changes_from(&self, first: usize) -> impl DoubleEndedIterator<Item = f64> + '_ {
        self.knots[first.min(self.knots.len())..].iter().map(|knot| knot.at_s)
    }

    /// The last change of the release at or before a moment, looked for from one known to be no later.
    pub(super) fn stretch_from(&self, mut stretch: Option<usize>, t_s: f64) -> Option<usize> {
        loop {
            let next = stretch.map_or(0, |index| index + 1);
            match self.knots.get(next) {
                Some(knot) if knot.at_s <= t_s => stretch = Some(next),
                _ => return stretch,
            }
        }
    }

    /// Concentration at a moment of a stretch; nothing before the first.
    pub(super) fn at_in(&self, place: Place, stretch: Option<usize>, t_s: f64) -> f64 {
        stretch.map_or(0.0, |index| self.mix(place, self.state_after(index, t_s - self.knots[index].at_s)))
    }

    /// State of the two modes at a moment.
    pub(super) fn state_at(&self, t_s: f64) -> [f64; 2] {
        self.knot_before(t_s).map_or([0.0; 2], |index| self.state_after(index, t_s - self.knots[index].at_s))
    }

    /// Concentration at a moment.
    pub fn at(&self, place: Place, t_s: f64) -> f64 {
        self.mix(place, self.state_at(t_s))
    }

    /// Concentration of a state. Rounding below zero is cut.
    fn mix(&self, place: Place, state: [f64; 2]) -> f64 {
        let modes = &self.zones.modes;
        (modes[0].per_m3(place) * state[0] + modes[1].per_m3(place) * state[1]).max(0.0)
    }

    /// What a mean over a window can never be above, however it lies and as long as nothing more is released: everything
    /// that ever goes into the air, with all the time it takes to leave.
    pub(super) fn mean_at_most(&self, place: Place, window_s: f64) -> f64 {
        let last = self.knots.len() - 1;
        let to_come: f64 = self.tails(last).iter().zip(&self.decays).map(|(rate, decay)| rate / decay).sum();
        let released = self.knots[last].released + to_come;
        released * self.zones.stays_s_per_m3(place) / window_s
    }

    /// Released up to a moment.
    pub fn released(&self, t_s: f64) -> f64 {
        self.knot_before(t_s)
            .map_or(0.0, |index| self.knots[index].released + self.released_after(index, t_s - self.knots[index].at_s))
    }

    /// Time integral of the concentration from the beginning to a moment, per m³ times s.
    pub fn integral(&self, place: Place, t_s: f64) -> f64 {
        let Some(index) = self.knot_before(t_s) else { return 0.0 };
        let tau = t_s - self.knots[index].at_s;
        let state = self.state_after(index, tau);
        let released = self.knots[index].released + self.released_after(index, tau);
        self.zones
            .modes
            .iter()
            .zip(state)
            .zip(self.knots[0].state)
            .map(|((mode, now), at_start)| mode.per_m3(place) * (at_start + released - now) / mode.rate_per_s)
            .sum()
    }

    /// Mean over the window that ends at a moment. Before the beginning there was nothing.
    pub fn mean(&self, place: Place, ends_s: f64, window_s: f64) -> f64 {
        ((self.integral(place, ends_s) - self.integral(place, ends_s - window_s)) / window_s).max(0.0)
    }

    /// How fast the concentration rises at a moment of a stretch, per m³ and s.
    pub(super) fn slope_in(&self, place: Place, stretch: usize, t_s: f64) -> f64 {
        let tau = t_s - self.knots[stretch].at_s;
        let state = self.state_after(stretch, tau);
        let tails = self.tails(stretch).iter().zip(&self.decays).map(|(rate, decay)| rate * libm::exp(-decay * tau));
        let rate = self.knots[stretch].rate + tails.sum::<f64>();
        let modes = self.zones.modes.iter().zip(state);
        modes.map(|(mode, value)| mode.per_m3(place) * (rate - mode.rate_per_s * value)).sum()
    }

    /// Whether exponential sources run in a stretch, so that it may turn more than once.
    pub(super) fn has_tails(&self, stretch: usize) -> bool {
        self.tails(stretch).iter().any(|rate| *rate > 0.0)
    }

    /// Where the concentration turns between two moments of a stretch without exponential sources, if it does: the one
    /// zero of the derivative of two exponentials, −λ₁A e^(−λ₁τ) − λ₂B e^(−λ₂τ).
    pub(super) fn turning_point(&self, place: Place, stretch: usize, from_s: f64, to_s: f64) -> Option<f64> {
        let state = self.state_after(stretch, from_s - self.knots[stretch].at_s);
        let rate = self.knots[stretch].rate;
        let [a, b] = [0, 1].map(|i| {
            let mode = &self.zones.modes[i];
            mode.per_m3(place) * (rate - mode.rate_per_s * state[i])
        });
        let gap = self.zones.modes[1].rate_per_s - self.zones.modes[0].rate_per_s;
        let ratio = -b / a;
        // A turn after the beginning needs a ratio above one where the second mode is the faster, below one otherwise.
        let turns = ratio > 0.0 && ratio.is_finite() && (ratio > 1.0) == (gap > 0.0);
        let tau = if turns { libm::log(ratio) / gap } else { return None };
        (tau > 0.0 && tau < to_s - from_s).then_some(from_s + tau)
    }

    /// Concentrations at the face and in the room at equal steps from a moment on: (face, room).
    ///
    /// Within a stretch the state is carried by one multiplication a step; at each change it starts afresh from the
    /// exact state, so errors do not build up.
    pub fn series(&self, from_s: f64, step_s: f64, count: usize) -> Vec<(f64, f64)> {
        let modes = &self.zones.modes;
        let keep = [0, 1].map(|i| libm::exp(-modes[i].rate_per_s * step_s));
        let gain = [0, 1].map(|i| growth(modes[i].rate_per_s, step_s));
        let tail_keep: Vec<f64> = self.decays.iter().map(|decay| libm::exp(-decay * step_s)).collect();
        let tail_gain: Vec<[f64; 2]> =
            self.decays.iter().map(|decay| [0, 1].map(|i| overlap(modes[i].rate_per_s, *decay, step_s))).collect();
        let mut points = Vec::with_capacity(count);
        let mut state = [0.0; 2];
        let mut tails = vec![0.0; self.decays.len()];
        let mut current: Option<usize> = None;
        for n in 0..count {
            let t = from_s + n as f64 * step_s;
            let mut index = current;
            while self.knots.get(index.map_or(0, |i| i + 1)).is_some_and(|next| next.at_s <= t) {
                index = Some(index.map_or(0, |i| i + 1));
            }
            match index {
                Some(i) if index == current => {
                    let rate = self.knots[i].rate;
                    for mode in 0..2 {
                        state[mode] = state[mode] * keep[mode] + rate * gain[mode];
                        for (tail, gain) in tails.iter().zip(&tail_gain) {
                            state[mode] += tail * gain[mode];
                        }
                    }
                    for (tail, keep) in tails.iter_mut().zip(&tail_keep) {
                        *tail *= keep;
                    }
                }
                Some(i) => {
                    let tau = t - self.knots[i].at_s;
                    state = self.state_after(i, tau);
                    for (group, tail) in tails.iter_mut().enumerate() {
                        *tail = self.tails(i)[group] * libm::exp(-self.decays[group] * tau);
                    }
                    current = index;
                }
                None => {}
            }
            points.push((self.mix(Place::NearField, state), self.mix(Place::Room, state)));
        }
        points
    }
}
