//! The order of the layers with the fewest conflicts.

mod exact;
mod improve;

use super::Sheet;
use super::pairs::pair_verdict;
use crate::catalog::{Catalog, PairVerdict};

/// Above this many layers an exact search no longer fits into memory, whatever the rules say.
const EXACT_AT_MOST: usize = 16;

/// What an order costs, the weightier part first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct OrderCost {
    /// Pairs to be avoided.
    pub avoid: usize,
    /// Pairs that need care.
    pub care: usize,
    /// Layers that leave their place: all but the longest run that keeps its order.
    pub moves: usize,
}

/// An order of the layers with the fewest pairs to be avoided, then the fewest that need care, then the fewest moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SuggestedOrder {
    /// Places of the given order, from 1, in the suggested one, bottom to top.
    pub places: Vec<usize>,
    /// Whether no better order exists; `false` if there were too many layers to try them all.
    pub exact: bool,
    /// What the given order costs.
    pub given: OrderCost,
    /// What the suggested one costs.
    pub suggested: OrderCost,
}

impl SuggestedOrder {
    /// Whether it is better than the given one.
    pub fn is_better(&self) -> bool {
        self.suggested < self.given
    }
}

/// The layers as the search sees them.
#[derive(Debug, Clone)]
pub(super) struct Problem {
    /// `cost[lower][upper]`: [`AVOID`], [`CARE`] or 0 if `upper` lies over `lower`; 0 if they do not meet.
    pub(super) cost: Vec<Vec<u64>>,
    /// Layers that must lie under a layer: laid layers keep their order, and what is still to be laid can only go
    /// over the laid layers it meets.
    pub(super) below: Vec<Vec<usize>>,
}

/// Weight of a pair to be avoided: more than any number of cares.
pub(super) const AVOID: u64 = 1 << 24;
/// Weight of a pair that needs care.
pub(super) const CARE: u64 = 1;

/// Suggests an order.
pub(super) fn suggest(sheet: &Sheet<'_>, catalog: &Catalog) -> SuggestedOrder {
    let problem = Problem::of(sheet, catalog);
    let given: Vec<usize> = (0..sheet.layers.len()).collect();
    let limit = (catalog.rules.layers.exact_order_layers.get() as usize).min(EXACT_AT_MOST);
    let exact = given.len() <= limit;
    let free = sheet.layers.iter().any(|layer| layer.finished.is_none());
    let order = if !free {
        given.clone()
    } else if exact {
        exact::best(&problem)
    } else {
        improve::better(&problem)
    };
    SuggestedOrder {
        exact: exact || !free,
        given: problem.evaluate(&given),
        suggested: problem.evaluate(&order),
        places: order.iter().map(|index| index + 1).collect(),
    }
}

impl Problem {
    fn of(sheet: &Sheet<'_>, catalog: &Catalog) -> Self {
        let layers = &sheet.layers;
        let weight = |lower: usize, upper: usize| {
            if lower == upper || !layers[lower].meets(&layers[upper]) {
                return 0;
            }
            match pair_verdict(&layers[lower], &layers[upper], catalog) {
                PairVerdict::Good => 0,
                PairVerdict::Care => CARE,
                PairVerdict::Avoid => AVOID,
            }
        };
        let count = layers.len();
        let cost = (0..count).map(|lower| (0..count).map(|upper| weight(lower, upper)).collect()).collect();
        let below = (0..count)
            .map(|upper| {
                let laid = layers[upper].finished.is_some();
                (0..count)
                    .filter(|lower| layers[*lower].finished.is_some())
                    .filter(|lower| if laid { *lower < upper } else { layers[*lower].meets(&layers[upper]) })
                    .collect()
            })
            .collect();
        Self { cost, below }
    }

    /// Number of layers.
    pub(super) fn len(&self) -> usize {
        self.cost.len()
    }

    /// Whether every layer lies over those that must be under it.
    pub(super) fn is_possible(&self, order: &[usize]) -> bool {
        let mut placed = vec![false; self.len()];
        order.iter().all(|layer| {
            placed[*layer] = true;
            self.below[*layer].iter().all(|under| placed[*under])
        })
    }

    /// Weight of all pairs of an order.
    pub(super) fn weight(&self, order: &[usize]) -> u64 {
        let upper = order.iter().enumerate();
        upper.map(|(at, upper)| order[..at].iter().map(|lower| self.cost[*lower][*upper]).sum::<u64>()).sum()
    }

    /// What an order costs.
    pub(super) fn evaluate(&self, order: &[usize]) -> OrderCost {
        let weight = self.weight(order);
        OrderCost {
            avoid: (weight / AVOID) as usize,
            care: (weight % AVOID) as usize,
            moves: order.len() - longest_rising(order),
        }
    }
}

/// Length of the longest run of layers that keep their order among one another.
fn longest_rising(order: &[usize]) -> usize {
    let mut tails: Vec<usize> = Vec::new();
    for layer in order {
        let at = tails.partition_point(|tail| tail < layer);
        match tails.get_mut(at) {
            Some(tail) => *tail = *layer,
            None => tails.push(*layer),
        }
    }
    tails.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Costs from a seed, with the first `laid` layers fixed.
    fn problem(count: usize, laid: usize, seed: u64) -> Problem {
        let mut state = seed;
        let mut next = move || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % 4
        };
        let cost = (0..count)
            .map(|lower| {
                (0..count)
                    .map(|upper| match next() {
                        _ if lower == upper => 0,
                        0 => AVOID,
                        1 => CARE,
                        _ => 0,
                    })
                    .collect()
            })
            .collect();
        let below = (0..count).map(|upper| (0..laid.min(if upper < laid { upper } else { laid })).collect()).collect();
        Problem { cost, below }
    }

    fn every_order(count: usize) -> Vec<Vec<usize>> {
        if count == 0 {
            return vec![Vec::new()];
        }
        let shorter = every_order(count - 1);
        let with_last = |order: &Vec<usize>| {
            (0..=order.len())
                .map(|at| {
                    let mut longer = order.clone();
                    longer.insert(at, count - 1);
                    longer
                })
                .collect::<Vec<_>>()
        };
        shorter.iter().flat_map(with_last).collect()
    }

    #[test]
    fn exact_equals_brute_force() {
        for seed in 0..60 {
            let count = 1 + (seed as usize % 6);
            let problem = problem(count, seed as usize % 4, seed * 977 + 1);
            let best = every_order(count)
                .into_iter()
                .filter(|order| problem.is_possible(order))
                .map(|order| problem.evaluate(&order))
                .min()
                .expect("the given order is possible");
            let found = exact::best(&problem);
            assert!(problem.is_possible(&found), "{seed}");
            assert_eq!(problem.evaluate(&found), best, "{seed}");
        }
    }

    #[test]
    fn improving_never_makes_worse() {
        for seed in 0..20 {
            let problem = problem(30, 8, seed);
            let given: Vec<usize> = (0..30).collect();
            let found = improve::better(&problem);
            assert!(problem.is_possible(&found));
            assert!(problem.weight(&found) < problem.weight(&given));
        }
    }

    #[test]
    fn moves_are_what_leaves_its_place() {
        assert_eq!(longest_rising(&[1, 2, 0, 3]), 3);
        assert_eq!(longest_rising(&[]), 0);
    }

    #[test]
    fn an_order_is_told_by_its_pairs() {
        for seed in 0..40 {
            let problem = problem(6, 0, seed);
            let order = [0, 1, 2, 3, 4, 5];
            let pairs = || (0..6).flat_map(|upper| (0..upper).map(move |lower| (lower, upper)));
            let of = |cost| pairs().filter(|(lower, upper)| problem.cost[*lower][*upper] == cost).count();
            let told = problem.evaluate(&order);
            assert_eq!((told.avoid, told.care, told.moves), (of(AVOID), of(CARE), 0));
        }
    }
}
