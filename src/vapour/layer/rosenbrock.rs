//! One step of a stiff equation.

use super::matrix::{Factors, Matrix};
use super::rates::Rates;

/// Buffers of the Rosenbrock method RODAS3: four stages, third order with an embedded second, stiffly accurate and
/// L-stable (Sandu et al. 1997, Atmospheric Environment 31, 3459; coefficients from memory, the order is tested).
#[derive(Debug, Default)]
pub(super) struct Rosenbrock {
    jacobian: Matrix,
    factors: Factors,
    stages: [Vec<f64>; 4],
    probe: Vec<f64>,
    slope: Vec<f64>,
    /// The state after the last step.
    pub(super) next: Vec<f64>,
}

impl Rosenbrock {
    /// Takes the derivatives at the state `rates` was last evaluated for.
    pub(super) fn prepare(&mut self, rates: &mut Rates<'_>, slope: &[f64]) {
        rates.derivatives(slope[slope.len() - 1], &mut self.jacobian);
    }

    /// Difference of the last step to the embedded method.
    pub(super) fn errors(&self) -> &[f64] {
        &self.stages[3]
    }

    /// One step from `state`, whose slope is `slope`, over `step_s`. The new state is in `next`; the difference to the
    /// embedded method in `errors`. False if the step cannot be taken.
    pub(super) fn step(&mut self, rates: &mut Rates<'_>, state: &[f64], slope: &[f64], step_s: f64) -> bool {
        if !self.factors.of_shifted(&self.jacobian, 2.0 / step_s) {
            return false;
        }
        let n = state.len();
        self.probe.resize(n, 0.0);
        self.slope.resize(n, 0.0);
        self.next.resize(n, 0.0);
        let per_step = 1.0 / step_s;
        let [first, second, third, fourth] = &mut self.stages;
        fill(first, n, |i| slope[i]);
        self.factors.solve(first);
        fill(second, n, |i| slope[i] + 4.0 * per_step * first[i]);
        self.factors.solve(second);
        fill(&mut self.probe, n, |i| state[i] + 2.0 * first[i]);
        rates.evaluate(&self.probe, &mut self.slope);
        fill(third, n, |i| self.slope[i] + per_step * (first[i] - second[i]));
        self.factors.solve(third);
        for (probe, change) in self.probe.iter_mut().zip(third.iter()) {
            *probe += change;
        }
        rates.evaluate(&self.probe, &mut self.slope);
        fill(fourth, n, |i| self.slope[i] + per_step * (first[i] - second[i] - 8.0 / 3.0 * third[i]));
        self.factors.solve(fourth);
        fill(&mut self.next, n, |i| self.probe[i] + fourth[i]);
        self.next.iter().all(|value| value.is_finite())
    }
}

/// Fills a buffer.
fn fill(buffer: &mut Vec<f64>, count: usize, value: impl FnMut(usize) -> f64) {
    buffer.clear();
    buffer.extend((0..count).map(value));
}
