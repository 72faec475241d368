//! The best order by dynamic programming over the set of layers already placed.

use super::{AVOID, Problem};

/// The best possible order: least weight, then fewest moves, then the smallest places first.
///
/// `to_go[set]` is the least weight still to be added when `set` lies at the bottom in any order. Where the given
/// order does not reach `to_go[nothing]`, a second pass over the transitions that do counts moves: a layer keeps its
/// place if it comes later in the given order than the last one that kept its own.
pub(super) fn best(problem: &Problem) -> Vec<usize> {
    let given: Vec<usize> = (0..problem.len()).collect();
    let search = Search::new(problem);
    if problem.is_possible(&given) && narrow(problem.weight(&given)) == search.to_go[0] {
        return given;
    }
    search.fewest_moves()
}

struct Search {
    count: usize,
    /// Sets of layers that must lie under each layer.
    below: Vec<usize>,
    /// `added[layer][set]`: weight of putting the layer on top of the set.
    added: Vec<Vec<u32>>,
    to_go: Vec<u32>,
}

const NEVER: u32 = u32::MAX / 2;

/// A weight in half the bytes, so that the tables stay in the cache: at most 120 pairs of 16 layers fit twice.
fn narrow(weight: u64) -> u32 {
    (((weight / AVOID) << 16) | (weight % AVOID)) as u32
}

impl Search {
    fn new(problem: &Problem) -> Self {
        let count = problem.len();
        let sets = 1_usize << count;
        let below = problem.below.iter().map(|under| under.iter().map(|layer| 1 << layer).sum()).collect();
        let added = (0..count)
            .map(|upper| {
                let weights: Vec<u32> = problem.cost.iter().map(|row| narrow(row[upper])).collect();
                let mut sums = vec![0_u32; sets];
                for set in 1..sets {
                    let lowest = set.trailing_zeros() as usize;
                    sums[set] = sums[set & (set - 1)] + weights[lowest];
                }
                sums
            })
            .collect();
        let mut search = Self { count, below, added, to_go: vec![NEVER; sets] };
        search.to_go[sets - 1] = 0;
        for set in (0..sets - 1).rev() {
            let best = search.next(set).map(|layer| search.through(set, layer)).min();
            search.to_go[set] = best.unwrap_or(NEVER);
        }
        search
    }

    /// Layers that can come next on top of a set.
    fn next(&self, set: usize) -> impl Iterator<Item = usize> {
        (0..self.count).filter(move |layer| set & (1 << layer) == 0 && self.below[*layer] & !set == 0)
    }

    fn through(&self, set: usize, layer: usize) -> u32 {
        self.added[layer][set] + self.to_go[set | 1 << layer]
    }

    /// Layers that can come next without losing the least weight.
    fn best_next(&self, set: usize) -> impl Iterator<Item = usize> {
        self.next(set).filter(move |layer| self.through(set, *layer) == self.to_go[set])
    }

    fn fewest_moves(&self) -> Vec<usize> {
        let sets = self.to_go.len();
        let width = self.count + 1;
        // moves[set * width + kept]: fewest moves to come; every layer that still keeps its place is at least `kept`.
        let mut moves = vec![u8::MAX; sets * width];
        moves[(sets - 1) * width..].fill(0);
        let mut best = vec![u8::MAX; width];
        for set in (0..sets - 1).rev().filter(|set| self.to_go[*set] < NEVER) {
            best.fill(u8::MAX);
            for layer in self.best_next(set) {
                let after = (set | 1 << layer) * width;
                for (fewest, moved) in best.iter_mut().zip(&moves[after..after + width]) {
                    *fewest = (*fewest).min(moved.saturating_add(1));
                }
                let keeps = moves[after + layer + 1];
                for fewest in &mut best[..=layer] {
                    *fewest = (*fewest).min(keeps);
                }
            }
            moves[set * width..(set + 1) * width].copy_from_slice(&best);
        }
        let (mut set, mut kept, mut order) = (0, 0, Vec::with_capacity(self.count));
        while set + 1 < sets {
            let wanted = moves[set * width + kept];
            let step = self.best_next(set).find_map(|layer| {
                let after = (set | 1 << layer) * width;
                if layer >= kept && moves[after + layer + 1] == wanted {
                    Some((layer, layer + 1))
                } else {
                    (moves[after + kept].saturating_add(1) == wanted).then_some((layer, kept))
                }
            });
            let Some((layer, next_kept)) = step else { break };
            order.push(layer);
            set |= 1 << layer;
            kept = next_kept;
        }
        order
    }
}
