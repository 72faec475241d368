//! The search for a good schedule: first schedules, then annealing in a fixed number of streams.

mod anneal;
mod chance;
mod dispatch;
mod meter;
mod moves;
mod orders;
mod solution;
mod start;
mod timeline;

use std::sync::atomic::{AtomicUsize, Ordering};

pub(super) use chance::Chance;
pub(super) use solution::Solution;
pub(super) use start::first_solution;

use super::network::Network;
use super::problem::Tick;
use anneal::Annealer;
use meter::Meter;
use orders::{anneal_orders, orders_fit, pages_are_rigid};

/// Streams of chance. Fixed, so that a result does not depend on the machine; threads share them out.
pub(super) const STREAMS: usize = 4;

/// Heat of the streams: batches differ in how much they profit from it.
const HEATS: [f64; STREAMS] = [1.0, 2.0, 0.5, 1.5];

/// Share of the work that goes into the order of whole pages where they are rigid.
const SHARE_OF_ORDERS: f64 = 0.8;

/// Whether a stream with so much work, in coats placed, looks at as many orders as there are coats. With fewer, of which
/// each moves a coat or two of a thousand, the end changes by a part in thousands: not worth beginning.
pub(in crate::batch) fn worth_annealing(budget: u64, coats: usize) -> bool {
    budget / coats.max(1) as u64 >= coats as u64
}

/// What one round of all streams may do.
pub(super) struct Round<'a> {
    /// Work of each stream, in coats placed.
    pub(super) budget: u64,
    /// How hot it starts, 1 being the usual.
    pub(super) heat: f64,
    /// A makespan nothing can beat.
    pub(super) goal: Tick,
    /// Number of the round: other rounds draw other chance.
    pub(super) number: u64,
    /// Threads to use.
    pub(super) threads: usize,
    /// Asks for an early end.
    pub(super) stop: &'a (dyn Fn() -> bool + Sync),
    /// Told the share of the round that is done, at most a thousand times; from two threads not always in order.
    pub(super) tell: &'a (dyn Fn(f64) + Sync),
}

/// Lets every stream anneal from its start; the results are in the order of the streams.
pub(super) fn anneal_all(network: &Network, starts: &[Solution], round: &Round<'_>) -> Vec<Solution> {
    let next = AtomicUsize::new(0);
    let rigid = pages_are_rigid(network);
    let meter = Meter::new(starts.len(), round.tell);
    let run = || {
        let mut done = Vec::new();
        loop {
            let stream = next.fetch_add(1, Ordering::Relaxed);
            let Some(start) = starts.get(stream) else { return done };
            let seed = round.number * STREAMS as u64 + stream as u64;
            let (mut start, mut budget) = (start.clone(), round.budget);
            let mut begun = 0.0;
            if rigid && start.left_out() == 0 && orders_fit(network, start.outcome.makespan) {
                begun = SHARE_OF_ORDERS;
                let share = (budget as f64 * SHARE_OF_ORDERS) as u64;
                let pulse = |done: f64| {
                    meter.at(stream, begun * done);
                    (round.stop)()
                };
                start = anneal_orders(network, &start, (share, seed), round.goal, &pulse);
                budget -= share;
            }
            let pulse = |done: f64| {
                meter.at(stream, begun + (1.0 - begun) * done);
                (round.stop)()
            };
            let mut walker = Annealer::new(network, &start, seed);
            walker.anneal(budget, round.heat * HEATS[stream % HEATS.len()], round.goal, &pulse);
            done.push((stream, walker.best));
        }
    };
    let mut all: Vec<(usize, Solution)> = std::thread::scope(|scope| {
        // Where the system gives no more threads, those there are do it all.
        let helpers: Vec<_> = (1..round.threads.clamp(1, starts.len().max(1)))
            .filter_map(|_| std::thread::Builder::new().spawn_scoped(scope, run).ok())
            .collect();
        let mut all = run();
        for helper in helpers {
            match helper.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    all.sort_by_key(|(stream, _)| *stream);
    all.into_iter().map(|(_, best)| best).collect()
}
