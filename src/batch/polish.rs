//! Less waiting of wet pages at the same end: coats are put off as far as nothing else moves.
//!
//! The last coat of every page stays, so every page leaves when it did; the coats before it move towards it, from the
//! last of the sequence to the first. The rack only gains, since pages enter later.

use super::measure::air_holds;
use super::network::Network;
use super::problem::Tick;

/// Passes over the sequence at most; each can only shorten waits.
const PASSES: usize = 6;
/// Coats above which the air is not asked again for every shift.
const MOST_WITH_AIR: usize = 400;

/// Puts coats off in place.
pub(super) fn shorten_waits(network: &Network, sequence: &[usize], starts: &mut [Tick]) {
    if network.air.is_some() && sequence.len() > MOST_WITH_AIR {
        return;
    }
    for _ in 0..PASSES {
        let mut moved = false;
        for place in (0..sequence.len()).rev() {
            moved |= put_off(network, sequence, starts, place);
        }
        if !moved {
            return;
        }
    }
}

fn put_off(network: &Network, sequence: &[usize], starts: &mut [Tick], place: usize) -> bool {
    let coat = sequence[place];
    let operation = &network.operations[coat];
    if operation.last {
        return false;
    }
    let old = starts[coat];
    let can_before =
        place.checked_sub(1).map_or(network.initial_can, |before| network.operations[sequence[before]].can);
    let changeover = network.changeover(can_before, operation.can);
    let mut latest = starts[coat + 1] - network.operations[coat + 1].gap_min;
    if let Some(next) = sequence.get(place + 1) {
        latest = latest.min(starts[*next] - network.changeover(operation.can, network.operations[*next].can));
    }
    latest -= operation.spray;
    if !operation.first {
        let ready = starts[coat - 1] + network.operations[coat - 1].spray;
        // A gap that waits for its window to open again has no upper limit; any other keeps its window.
        if old - ready <= operation.gap_max {
            latest = latest.min(ready.saturating_add(operation.gap_max));
        }
    }
    let next = &network.operations[coat + 1];
    let gap = starts[coat + 1] - old - operation.spray;
    if gap > next.gap_max {
        latest = latest.min(starts[coat + 1] - operation.spray - next.gap_resume);
    }
    // From the farthest shift to the smallest, by halves: breaks and the air may refuse the far ones.
    let mut shift = latest - old;
    while shift > 0 {
        starts[coat] = old + shift;
        let clear = network.clear_of_pauses(starts[coat], changeover, operation.spray) == starts[coat];
        if clear && air_holds(network, sequence, starts) {
            return true;
        }
        shift /= 2;
    }
    starts[coat] = old;
    false
}
