//! A better order for more layers than can be tried exactly: lift one layer out and put it where it costs least.

use super::Problem;

/// Moves single layers to their best place until nothing gets better. Never worse than the given order, if that is
/// possible at all.
pub(super) fn better(problem: &Problem) -> Vec<usize> {
    let mut order = possible(problem);
    for _ in 0..problem.len() {
        let mut improved = false;
        for layer in 0..problem.len() {
            improved |= move_to_best(problem, &mut order, layer);
        }
        if !improved {
            break;
        }
    }
    order
}

/// The given order, with every layer lifted over those that must lie under it.
fn possible(problem: &Problem) -> Vec<usize> {
    let mut waiting: Vec<usize> = (0..problem.len()).collect();
    let mut placed = vec![false; problem.len()];
    let mut order = Vec::with_capacity(problem.len());
    while let Some(at) = waiting.iter().position(|layer| problem.below[*layer].iter().all(|under| placed[*under])) {
        let layer = waiting.remove(at);
        placed[layer] = true;
        order.push(layer);
    }
    order
}

/// Puts a layer where it costs least; `false` if it stays.
fn move_to_best(problem: &Problem, order: &mut Vec<usize>, layer: usize) -> bool {
    let Some(from) = order.iter().position(|other| *other == layer) else { return false };
    let gain = |lower: usize, upper: usize| i128::from(problem.cost[lower][upper]);
    let (mut best_change, mut best_at) = (0_i128, from);
    let mut change = 0;
    for at in (0..from).rev() {
        if problem.below[layer].contains(&order[at]) {
            break;
        }
        change += gain(layer, order[at]) - gain(order[at], layer);
        if change < best_change {
            (best_change, best_at) = (change, at);
        }
    }
    change = 0;
    for (at, &above) in order.iter().enumerate().skip(from + 1) {
        if problem.below[above].contains(&layer) {
            break;
        }
        change += gain(above, layer) - gain(layer, above);
        if change < best_change {
            (best_change, best_at) = (change, at);
        }
    }
    if best_at == from {
        return false;
    }
    let lifted = order.remove(from);
    order.insert(best_at, lifted);
    true
}
