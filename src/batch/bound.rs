//! Lower bounds on the end of the last page. Each holds for every schedule that keeps the rules; the largest counts.
//!
//! 1. A page alone, around the breaks.
//! 2. The operator alone: coats may be interrupted, heads and tails are those of the pages (Jackson's preemptive
//!    schedule, longest tail first, on the stretches between breaks).
//! 3. The operator's load with the changeovers no order avoids.
//! 4. The rack: the slots' time holds the least stay of every page, and slots fill one coat after the other.
//! 5. The air: the time in which the room carries away what the coats release under the ceiling ([`super::air`]).

use std::collections::BinaryHeap;

use super::network::{NEVER, Network};
use super::problem::{Tick, ticks};

/// The best of all bounds.
pub(super) fn lower_bound(network: &Network) -> Tick {
    let heads = heads(network);
    let jobs: Vec<Job> = network
        .operations
        .iter()
        .zip(&heads)
        .map(|(operation, head)| Job { head: *head, length: operation.spray, tail: operation.tail - operation.spray })
        .collect();
    let alone = network.operations.iter().zip(&heads).map(|(operation, head)| head + operation.tail).max().unwrap_or(0);
    let least_dry = network.final_dry.iter().copied().min().unwrap_or(0);
    let first_head = heads.iter().copied().min().unwrap_or(0);
    alone
        .max(operator_bound(&network.pauses, jobs))
        .max(load(network, first_head) + least_dry)
        .max(rack(network))
        .max(air(network, first_head) + least_dry)
}

/// Earliest start of every coat if its page were alone and changeovers took no time.
fn heads(network: &Network) -> Vec<Tick> {
    let mut heads: Vec<Tick> = Vec::with_capacity(network.operations.len());
    for operation in &network.operations {
        let ready = if operation.first {
            network.release[operation.page]
        } else {
            heads[heads.len() - 1] + network.operations[heads.len() - 1].spray + operation.gap_min
        };
        heads.push(network.clear_of_pauses(ready, 0, operation.spray));
    }
    heads
}

/// A coat for the operator's bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Job {
    /// Not before.
    pub(super) head: Tick,
    /// Work.
    pub(super) length: Tick,
    /// From its end to the end of its page, at least.
    pub(super) tail: Tick,
}

/// End of the last page if coats could be interrupted: at each moment the one with the longest tail is sprayed.
pub(super) fn operator_bound(pauses: &[(Tick, Tick)], mut jobs: Vec<Job>) -> Tick {
    jobs.sort_unstable_by_key(|job| job.head);
    let mut ready: BinaryHeap<(Tick, Tick)> = BinaryHeap::new();
    let mut pauses = pauses.iter().copied().peekable();
    let (mut next, mut now, mut end) = (0, 0, 0);
    loop {
        if ready.is_empty() {
            match jobs.get(next) {
                Some(job) => now = now.max(job.head),
                None => return end,
            }
        }
        while pauses.peek().is_some_and(|pause| pause.1 <= now) {
            pauses.next();
        }
        if let Some(pause) = pauses.peek()
            && pause.0 <= now
        {
            now = pause.1;
        }
        while let Some(job) = jobs.get(next)
            && job.head <= now
        {
            ready.push((job.tail, job.length));
            next += 1;
        }
        let Some((tail, left)) = ready.pop() else { continue };
        let mut until = now + left;
        if let Some(job) = jobs.get(next) {
            until = until.min(job.head);
        }
        while pauses.peek().is_some_and(|pause| pause.1 <= now) {
            pauses.next();
        }
        if let Some(pause) = pauses.peek() {
            until = until.min(pause.0);
        }
        let left = left - (until - now);
        now = until;
        if left > 0 {
            ready.push((tail, left));
        } else {
            end = end.max(now + tail);
        }
    }
}

/// End of the operator's work: all coats and the changeovers that no order avoids.
fn load(network: &Network, first_head: Tick) -> Tick {
    let mut used = vec![false; network.can_count()];
    for operation in &network.operations {
        used[operation.can] = true;
    }
    let cans: Vec<usize> = (0..used.len()).filter(|can| used[*can]).collect();
    // Going through a can that no page needs could be shorter than going straight; it is never done.
    let least_into = |can: usize| {
        let others = cans.iter().filter(|from| **from != can);
        others.map(|from| network.changeover(*from, can)).min().unwrap_or(0)
    };
    let into: Vec<Tick> = cans.iter().map(|can| least_into(*can)).collect();
    let whole: Tick = into.iter().sum();
    // Every can but the first is changed to from another that is used; the first, from the one in the hand.
    let changeovers = match cans.iter().position(|can| *can == network.initial_can) {
        Some(at) => whole - into[at],
        None => {
            let first = |at: usize| network.changeover(network.initial_can, cans[at]) + whole - into[at];
            (0..cans.len()).map(first).min().unwrap_or(0)
        }
    };
    let sprays: Tick = network.operations.iter().map(|operation| operation.spray).sum();
    let longest = into.iter().copied().max().unwrap_or(0);
    let worked = |from: Tick, work: Tick| {
        let (mut now, mut left) = (from, work);
        for (start, end) in &network.pauses {
            if *end <= now {
                continue;
            }
            if *start > now {
                if now + left <= *start {
                    break;
                }
                left -= start - now;
            }
            now = *end;
        }
        now + left
    };
    // The changeover to the first can may lie before the first page is there; which can is first is free.
    worked(0, sprays + changeovers).max(worked(first_head, sprays + whole - longest))
}

fn rack(network: &Network) -> Tick {
    if network.rack == usize::MAX {
        return 0;
    }
    let slots = ticks(network.rack);
    let mut firsts: Vec<Tick> =
        network.operations.iter().filter(|operation| operation.first).map(|operation| operation.spray).collect();
    firsts.sort_unstable();
    let mut stay: Tick =
        network.operations.iter().filter(|operation| operation.first).map(|operation| operation.tail).sum();
    let mut waited = 0;
    for first in firsts.iter().take(network.rack - 1) {
        waited += first;
        stay += waited;
    }
    let from = network.release.iter().copied().min().unwrap_or(0);
    from + (stay + slots - 1) / slots
}

fn air(network: &Network, first_head: Tick) -> Tick {
    let Some(kernel) = &network.air else { return 0 };
    first_head + libm::ceil((kernel.least_ticks() - 1e-6).clamp(0.0, NEVER as f64 / 4.0)) as Tick
}
