//! A sequence of coats with its schedule.

use crate::batch::decode::Outcome;
use crate::batch::network::Network;
use crate::batch::problem::Tick;

/// Weight of the mean end of pages beside the end of the last, so that equal ends are told apart.
pub(super) const MEAN_END_WEIGHT: f64 = 0.01;
/// Cost of a page left out: more than any schedule takes.
pub(super) const LEFT_OUT: f64 = 1e12;

/// A sequence with its schedule.
#[derive(Debug, Clone)]
pub(in crate::batch) struct Solution {
    /// Coats in the order they are sprayed.
    pub(in crate::batch) sequence: Vec<usize>,
    /// Coats that wait for their window to open again.
    pub(in crate::batch) resumed: Vec<bool>,
    /// Start of every coat; meaningless for pages left out.
    pub(in crate::batch) starts: Vec<Tick>,
    /// Which pages are sprayed.
    pub(in crate::batch) sprayed: Vec<bool>,
    /// When it ends.
    pub(in crate::batch) outcome: Outcome,
}

impl Solution {
    /// Nothing sprayed.
    pub(in crate::batch) fn empty(network: &Network) -> Self {
        let count = network.operations.len();
        Self {
            sequence: Vec::with_capacity(count),
            resumed: vec![false; count],
            starts: vec![0; count],
            sprayed: vec![false; network.page_count()],
            outcome: Outcome { makespan: 0, ends: 0 },
        }
    }

    /// Number of pages left out.
    pub(in crate::batch) fn left_out(&self) -> usize {
        self.sprayed.iter().filter(|sprayed| !**sprayed).count()
    }

    /// What the search makes small.
    pub(in crate::batch) fn cost(&self) -> f64 {
        cost(self.outcome, self.left_out(), self.sprayed.len())
    }
}

/// What the search makes small.
pub(super) fn cost(outcome: Outcome, left_out: usize, pages: usize) -> f64 {
    left_out as f64 * LEFT_OUT + outcome.makespan as f64 + MEAN_END_WEIGHT * outcome.ends as f64 / pages.max(1) as f64
}
