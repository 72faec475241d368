//! A layer through time.

use super::Layer;
use super::rates::Rates;
use super::rosenbrock::Rosenbrock;
use crate::vapour::exponential::exp;

/// Largest relative error of a mass in one step, where that liquid is most of what is left.
const MASS_TOLERANCE: f64 = 5e-4;

/// Largest error of the temperature in one step, K.
const TEMPERATURE_TOLERANCE_K: f64 = 0.1;

/// A liquid this small against the rest of the liquids may be wrong by about its own size: added to its share before the
/// tolerance is divided by it.
const SMALL_SHARE: f64 = 0.005;

/// A liquid is gone when less than this share of all that was laid is left of it.
const GONE_SHARE: f64 = 1e-6;

/// How far a step stays below the length that its error would just allow. The lower, the fewer steps are tried twice.
const CAUTION: f64 = 0.8;

/// First step as a share of the time the fastest liquid takes.
const FIRST_STEP_SHARE: f64 = 0.05;

/// Most steps of a run: ten times what the hardest layers take.
const MOST_STEPS: usize = 2000;

/// Why a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopReason {
    /// All liquids are gone.
    Dry,
    /// The observer had seen enough.
    Stopped,
    /// The time asked for is over.
    TimeOver,
    /// The step became too small; does not happen with physical figures.
    Stuck,
}

/// The end of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Why it ended.
    pub reason: StopReason,
    /// When, s.
    pub seconds: f64,
    /// What is left of every liquid, g/m².
    pub masses_g_m2: Vec<f64>,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Steps taken.
    pub steps: usize,
}

/// One step of a run, for whoever watches it. Inside it the state is a cubic (Hermite) of time.
#[derive(Debug)]
pub struct Step<'s> {
    /// When it begins, s.
    pub begin_s: f64,
    /// How long it is, s.
    pub length_s: f64,
    /// The liquids that are still there, by place in the layer.
    places: &'s [usize],
    start: &'s [f64],
    start_slope: &'s [f64],
    end: &'s [f64],
    end_slope: &'s [f64],
    /// Masses at the end, g/m², so that nobody takes their exponentials again.
    end_masses: &'s [f64],
    /// Heat given off per kelvin at the start, W/(m² K).
    pub(super) stiffness_w_m2_k: f64,
    /// Heat capacity at the start, J/(m² K).
    pub(super) capacity_j_m2_k: f64,
}

impl Step<'_> {
    /// Temperature of the layer, K, at a share (0 to 1) of the step.
    pub fn temperature_k(&self, share: f64) -> f64 {
        self.value(self.places.len(), share)
    }

    /// What is left of each liquid that is still there, by place and in g/m², at a share (0 to 1) of the step.
    pub fn masses(&self, share: f64) -> impl Iterator<Item = (usize, f64)> {
        let at = move |index: usize| {
            if share == 1.0 { self.end_masses[index] } else { exp(self.value(index, share)) }
        };
        self.places.iter().enumerate().map(move |(index, &place)| (place, at(index)))
    }

    /// One unknown at a share of the step.
    fn value(&self, index: usize, share: f64) -> f64 {
        let (start, end) = (self.start[index], self.end[index]);
        let rise = end - start;
        let (first, last) = (self.start_slope[index] * self.length_s, self.end_slope[index] * self.length_s);
        let rest = 1.0 - share;
        start + share * rise + share * rest * (rest * (first - rise) - share * (last - rise))
    }
}

/// Lets a layer evaporate for a time, s, showing every step to `watch`, which returns false when it has seen enough.
pub fn evaporate(layer: &Layer, horizon_s: f64, mut watch: impl FnMut(&Step<'_>) -> bool) -> Run {
    let laid: f64 = layer.parts.iter().map(|part| part.mass_g_m2).sum();
    let gone = laid * GONE_SHARE;
    let places: Vec<usize> = (0..layer.parts.len()).filter(|&place| layer.parts[place].mass_g_m2 > gone).collect();
    let mut state: Vec<f64> = places.iter().map(|&place| libm::log(layer.parts[place].mass_g_m2)).collect();
    state.push(layer.start_k);
    let mut rates = Rates::new(layer, places);
    let mut solver = Rosenbrock::default();
    let mut slope = vec![0.0; state.len()];
    let mut next_slope = slope.clone();
    let (mut seconds, mut steps) = (0.0, 0);
    let finish = |reason, rates: &Rates<'_>, state: &[f64], seconds, steps| {
        let mut masses_g_m2 = vec![0.0; layer.parts.len()];
        for (&place, log_mass) in rates.active.iter().zip(state) {
            masses_g_m2[place] = exp(*log_mass);
        }
        Run { reason, seconds, masses_g_m2, temperature_k: state[rates.active.len()], steps }
    };
    if rates.active.is_empty() {
        return finish(StopReason::Dry, &rates, &state, seconds, steps);
    }
    rates.evaluate(&state, &mut slope);
    let mut masses: Vec<f64> = rates.masses().collect();
    let mut next_masses = masses.clone();
    let fastest = slope.iter().take(rates.active.len()).fold(1e-6_f64, |most, rate| most.max(rate.abs()));
    let mut step_s = (FIRST_STEP_SHARE / fastest).min(horizon_s);
    while seconds < horizon_s {
        let (stiffness_w_m2_k, capacity_j_m2_k) = (rates.stiffness_w_m2_k(), rates.capacity_j_m2_k());
        solver.prepare(&mut rates, &slope);
        let mut growth;
        let mut longest_growth = f64::INFINITY;
        loop {
            steps += 1;
            if steps > MOST_STEPS || step_s < 1e-9 {
                return finish(StopReason::Stuck, &rates, &state, seconds, steps);
            }
            let taken = solver.step(&mut rates, &state, &slope, step_s);
            let wrong = if taken { error_norm(solver.errors(), &masses) } else { f64::INFINITY };
            growth = (CAUTION / libm::cbrt(wrong.max(1e-9))).clamp(0.2, 6.0);
            if wrong <= 1.0 {
                break;
            }
            step_s *= growth.min(0.7);
            // What has just become harder rarely becomes easier in the very next step.
            longest_growth = 1.0;
        }
        next_slope.resize(state.len(), 0.0);
        rates.evaluate(&solver.next, &mut next_slope);
        next_masses.clear();
        next_masses.extend(rates.masses());
        let step = Step {
            begin_s: seconds,
            length_s: step_s,
            places: &rates.active,
            start: &state,
            start_slope: &slope,
            end: &solver.next,
            end_slope: &next_slope,
            end_masses: &next_masses,
            stiffness_w_m2_k,
            capacity_j_m2_k,
        };
        let more = watch(&step);
        seconds += step_s;
        std::mem::swap(&mut state, &mut solver.next);
        std::mem::swap(&mut slope, &mut next_slope);
        std::mem::swap(&mut masses, &mut next_masses);
        if !more {
            return finish(StopReason::Stopped, &rates, &state, seconds, steps);
        }
        let mut forgotten = false;
        for index in (0..rates.active.len()).rev() {
            if masses[index] < gone {
                rates.forget(index);
                masses.remove(index);
                state.remove(index);
                slope.remove(index);
                forgotten = true;
            }
        }
        if rates.active.is_empty() {
            return finish(StopReason::Dry, &rates, &state, seconds, steps);
        }
        if forgotten {
            rates.evaluate(&state, &mut slope);
        }
        step_s = (step_s * growth.min(longest_growth)).min(horizon_s - seconds);
        if horizon_s - seconds < 1e-9 * horizon_s {
            break;
        }
    }
    finish(StopReason::TimeOver, &rates, &state, seconds, steps)
}

/// Root mean square of the errors over what is allowed.
fn error_norm(errors: &[f64], masses: &[f64]) -> f64 {
    let count = errors.len() - 1;
    let liquids: f64 = masses.iter().sum();
    let mut sum = 0.0;
    for (error, mass) in errors[..count].iter().zip(masses) {
        let share = mass / liquids;
        let weighted = error * share / ((share + SMALL_SHARE) * MASS_TOLERANCE);
        sum += weighted * weighted;
    }
    let warm = errors[count] / TEMPERATURE_TOLERANCE_K;
    libm::sqrt((sum + warm * warm) / errors.len() as f64)
}
