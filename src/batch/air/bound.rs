//! The least time a room needs to carry away what a batch releases.
//!
//! With `I` the index, `s` all that is released into the air per unit of time and `a` the air changes,
//! `dI/dt = s − a I`. For any `J > 0` let `ψ(I) = I/J` up to `J` and `1 + ln(I/J)` above, so `ψ' = 1 / max(I, J)` and
//!
//! ```text
//! dψ/dt = (s − a I) / max(I, J) ≥ s / max(I, J) − a
//! a T ≥ ∫ s / max(I, J) dt − ψ(C)
//! ```
//!
//! over the time `T` from clean air to the end of the last coat, where `I ≤ C`. What is released at a low index costs
//! more time than at the ceiling, and every coat needs room below the ceiling for itself:
//!
//! - While a coat still has liquid `E`, the index is at most the border of what settles with it, whatever else is in the
//!   room; so over its drying, `∫ s / max(I, J) dt ≥ ∫ dE / max(border(E), J)`.
//! - At the end of its spraying, the index is at most `B`, the border with all its liquid. Its growth `g` and a decay
//!   of at most `a I` led there, so `u` before it was at most `g/a + (B − g/a) e^(a u)`: anything else in the air only
//!   makes it rise faster.
//!
//! Both sums are taken from below. `J = C` gives the balance of what was released and what left; smaller ones gain
//! more with every coat and lose `ln(C/J)` once. Source: derived here; holds for all a, k > 0.

use super::{AirKernel, CELLS};

/// Slices a coat's spraying is summed in.
const SLICES: usize = 16;
/// Values of `J` that are tried, shares of the ceiling.
const SHARES: [f64; 9] = [1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.25, 0.1];
/// Widening of every limit against rounding.
const ROUNDING: f64 = 1.0 + 1e-9;

impl AirKernel {
    /// Fewest ticks, as a real number, from the first coat's start to the last one's end.
    pub(in crate::batch) fn least_ticks(&self) -> f64 {
        let mut sprays: Vec<f64> = self.feeds.iter().map(|feed| feed.minutes).collect();
        sprays.sort_unstable_by(f64::total_cmp);
        SHARES.iter().map(|share| self.least_minutes(share * self.ceiling(), &sprays)).fold(0.0, f64::max)
            / self.tick_min
    }

    /// The bound for one `J`, given the spraying times from the shortest on.
    fn least_minutes(&self, least: f64, sprays: &[f64]) -> f64 {
        let weight = |index: f64| 1.0 / (ROUNDING * index.min(self.ceiling())).max(least);
        let cell_liquid = 1.0 / self.cells_per_liquid;
        // The integral over liquid from nothing up to each cell; the border falls, so a cell's beginning is its highest.
        let mut upto = Vec::with_capacity(CELLS + 1);
        let mut whole = 0.0;
        for border in &self.border {
            upto.push(whole);
            whole += cell_liquid * weight(*border);
        }
        let mut cost = 0.0;
        let mut held = Vec::with_capacity(self.feeds.len());
        for feed in &self.feeds {
            let place = feed.liquid * self.cells_per_liquid;
            let cell = (place as usize).min(CELLS);
            let highest = self.border[cell];
            let heaviest = weight(self.border[(cell + 1).min(CELLS)]);
            cost += upto[cell] + (feed.liquid - cell as f64 * cell_liquid).max(0.0) * weight(highest);
            held.push(feed.liquid * heaviest);
            let slice = feed.minutes / SLICES as f64;
            let (step, mut excess) = (libm::exp(self.a * slice), highest - feed.level);
            for _ in 0..SLICES {
                // The index at either end of the slice, the higher one.
                let later = excess * step;
                cost += feed.growth * slice * weight(feed.level + excess.max(later));
                excess = later;
            }
        }
        // What is still liquid at the end was released by no one: the coats before the last have dried at least while
        // those behind them were sprayed.
        held.sort_unstable_by(|left, right| right.total_cmp(left));
        let mut since = 0.0;
        for (held, spray) in held.iter().zip(sprays) {
            cost -= held * libm::exp(-self.k * since);
            since += spray;
        }
        (cost - 1.0 - libm::log(self.ceiling() / least)) / self.a
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use crate::batch::bound::lower_bound;
    use crate::batch::network::Network;
    use crate::batch::search::Chance;
    use crate::batch::{Coat, Control, Effort, Lag, Page, Presence, Problem, RoomAir, solve};

    /// A few strong coats in a small room.
    fn batch(number: u64) -> Problem {
        let mut chance = Chance::stream(number);
        let mut draw =
            |low: u32, high: u32| i64::from(low) + i64::try_from(chance.below((high - low) as usize + 1)).unwrap_or(0);
        let mut left = draw(2, 8);
        let mut pages = Vec::new();
        while left > 0 {
            let count = draw(1, 3).min(left);
            left -= count;
            let coats = (0..count).map(|coat| Coat {
                spray: draw(1, 3),
                can: 0,
                lag: (coat + 1 < count).then(|| Lag { min: draw(0, 2), max: None, resume: None }),
                vapour_m3: draw(4, 24) as f64,
                flash_share: draw(0, 20) as f64 / 20.0,
            });
            pages.push(Page { label: String::new(), release: 0, coats: coats.collect(), final_dry: draw(0, 2) });
        }
        Problem {
            name: String::new(),
            tick_s: 30.0,
            rack_slots: None,
            initial_can: 0,
            setup: vec![vec![0]],
            pauses: Vec::new(),
            session_end: None,
            air: Some(RoomAir {
                volume_m3: 20.0,
                air_changes_per_h: draw(6, 60) as f64,
                evaporation_per_min: draw(5, 300) as f64 / 100.0,
                ceiling: draw(6, 12) as f64 / 10.0,
                dose_limit: 10.0,
                presence: Presence::AtWork,
            }),
            pages,
        }
    }

    #[test]
    fn nothing_ends_before_the_bound() {
        let (mut binding, mut gains) = (0, 0);
        for number in 0..6_000 {
            let problem = batch(number);
            if !problem.faults().is_empty() {
                continue;
            }
            let asked = AtomicUsize::new(0);
            let stop = || asked.fetch_add(1, Ordering::Relaxed) > 100;
            let answer = solve(&problem, Effort::Quick, &Control { threads: 1, stop: &stop, progress: &|_, _| {} });
            let network = Network::new(&problem);
            let bound = lower_bound(&network);
            assert!(
                bound <= answer.measures.makespan,
                "case {number}: {bound} {}: {problem:?}",
                answer.measures.makespan
            );
            let Some(kernel) = &network.air else { continue };
            let free = lower_bound(&Network::new(&Problem { air: None, ..problem.clone() }));
            let mut sprays: Vec<f64> = kernel.feeds.iter().map(|feed| feed.minutes).collect();
            sprays.sort_unstable_by(f64::total_cmp);
            let balance = kernel.least_minutes(kernel.ceiling(), &sprays) / kernel.tick_min;
            let binds = bound > free;
            binding += usize::from(binds);
            gains += usize::from(binds && kernel.least_ticks() > balance + 1.0);
        }
        let counts = format!("{binding} where the air binds, {gains} above the balance");
        assert!(binding > 500 && gains > 200, "{counts}");
    }
}
