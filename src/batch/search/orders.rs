//! Annealing on the order in which whole pages are placed: for benches where narrow windows are all that binds.
//!
//! With windows of a minute or two a page is nearly a rigid pattern, and moving single coats breaks it. Here a page is
//! placed whole, at the first start from a moment of its own on that the exact timeline offers; what is changed are the
//! order and those moments. Without rack, air and changeovers the timeline alone decides what is allowed.

use super::chance::Chance;
use super::solution::{MEAN_END_WEIGHT, Solution};
use super::timeline::{Timeline, longest_stretch};
use crate::batch::decode::{Decoder, Limits};
use crate::batch::network::{NEVER, Network};
use crate::batch::problem::Tick;

/// Highest temperature, share of the makespan, and lowest, ticks.
const HOT: f64 = 0.03;
const COLD: f64 = 0.2;
/// Furthest a page's own moment is moved, ticks.
const REACH: usize = 8;
/// Work of placing a coat in the exact timeline, in coats that the decoder places.
const WORK_OF_A_COAT: u64 = 4;
/// Words kept of what is free before the pages of an order.
const MOST_KEPT: usize = 1 << 19;

/// Whether pages are nearly rigid patterns and nothing but the person binds: every gap has a window, the windows are
/// narrow beside the coats, and there is no rack, no air, no changeover, no window that opens again.
pub(super) fn pages_are_rigid(network: &Network) -> bool {
    if network.longest_changeover > 0 || network.has_resumes || network.air.is_some() || network.rack < usize::MAX {
        return false;
    }
    let followed = || network.operations.iter().filter(|operation| !operation.first);
    let slack: Tick = followed().map(|operation| (operation.gap_max - operation.gap_min).min(NEVER / 1024)).sum();
    slack <= followed().map(|operation| operation.spray).sum() && network.has_windows
}

/// Whether what is free before each page can be kept.
pub(super) fn orders_fit(network: &Network, makespan: Tick) -> bool {
    let horizon = horizon(makespan);
    horizon <= longest_stretch(network) && (horizon as usize / 64 + 1) * (network.page_count() + 1) <= MOST_KEPT
}

/// How far pages are placed: no walker goes on from an end much later than it began with.
fn horizon(makespan: Tick) -> Tick {
    makespan + (8.0 * hottest(makespan)) as Tick + 1
}

fn hottest(makespan: Tick) -> f64 {
    (HOT * makespan as f64).max(2.0 * COLD)
}

/// A placement of all pages.
#[derive(Clone)]
struct Placement {
    order: Vec<usize>,
    /// Moment from which each page is placed.
    from: Vec<Tick>,
    starts: Vec<Tick>,
    makespan: Tick,
    cost: f64,
}

/// The placement a walker stands on, with what is free before each page is placed.
struct Walker<'a> {
    network: &'a Network,
    chance: Chance,
    timeline: Timeline,
    here: Placement,
    free_before: Vec<Vec<u64>>,
    trial: Placement,
    trial_free_before: Vec<Vec<u64>>,
    work: u64,
}

/// Searches from a solution that sprays all pages, with work counted in coats placed; hands out the best it met. `pulse`
/// is told the share done and says whether to stop.
pub(super) fn anneal_orders(
    network: &Network,
    start: &Solution,
    (budget, stream): (u64, u64),
    goal: Tick,
    pulse: &dyn Fn(f64) -> bool,
) -> Solution {
    let mut order: Vec<usize> = (0..network.page_count()).collect();
    order.sort_by_key(|page| start.starts[network.coats[*page].start]);
    let from = network.coats.iter().map(|coats| start.starts[coats.start]).collect();
    let makespan = start.outcome.makespan;
    let here = Placement { order, from, starts: start.starts.clone(), makespan, cost: start.cost() };
    let hot = hottest(makespan);
    let mut walker = Walker::new(network, here, horizon(makespan), Chance::stream(stream));
    let mut best = walker.here.clone();
    let (mut temperature, mut round) = (hot, 0_u32);
    while walker.work < budget && best.makespan > goal {
        round += 1;
        if round.is_multiple_of(64) {
            let done = walker.work as f64 / budget as f64;
            if pulse(done) {
                break;
            }
            temperature = hot * libm::exp(libm::log(COLD / hot) * done);
        }
        if walker.step(temperature) && walker.here.cost < best.cost - 1e-9 {
            best.clone_from(&walker.here);
        }
    }
    solution(network, &best).filter(|found| found.cost() < start.cost()).unwrap_or_else(|| start.clone())
}

impl<'a> Walker<'a> {
    fn new(network: &'a Network, here: Placement, horizon: Tick, chance: Chance) -> Self {
        let mut timeline = Timeline::default();
        timeline.reset(network, 0, horizon);
        let empty = vec![timeline.free().to_vec(); here.order.len() + 1];
        let trial = here.clone();
        let (free_before, trial_free_before) = (empty.clone(), empty);
        let mut walker = Self { network, chance, timeline, here, free_before, trial, trial_free_before, work: 0 };
        // Stands where it can be stood again: pages placed from their own moments in their own order.
        if walker.place(0, f64::INFINITY) {
            walker.take();
        }
        walker
    }

    /// Tries a change; whether it was taken.
    fn step(&mut self, temperature: f64) -> bool {
        self.trial.order.clone_from(&self.here.order);
        self.trial.from.clone_from(&self.here.from);
        self.trial.starts.clone_from(&self.here.starts);
        self.work += 2;
        let changed = self.change();
        let threshold = self.here.cost + temperature * self.chance.exponential();
        let taken = self.place(changed, threshold);
        if taken {
            self.take();
        }
        taken
    }

    fn take(&mut self) {
        std::mem::swap(&mut self.here, &mut self.trial);
        std::mem::swap(&mut self.free_before, &mut self.trial_free_before);
    }

    /// One or two pages change their place in the order or their moment; the first place that differs.
    fn change(&mut self) -> usize {
        let (trial, chance) = (&mut self.trial, &mut self.chance);
        let pages = trial.order.len();
        let at = chance.below(pages);
        let page = trial.order[at];
        match chance.below(100) {
            0..35 => {
                let to = chance.below(pages);
                let moved = trial.order.remove(at);
                trial.order.insert(to, moved);
                trial.from[moved] = 0;
                at.min(to)
            }
            35..55 => {
                let other = chance.below(pages);
                trial.order.swap(at, other);
                trial.from[page] = 0;
                trial.from[trial.order[at]] = 0;
                at.min(other)
            }
            55..80 => {
                let start = trial.starts[self.network.coats[page].start];
                trial.from[page] = (start + chance.step(REACH) as Tick).max(0);
                at
            }
            80..90 => {
                // All that follow close up.
                for later in &trial.order[at..] {
                    trial.from[*later] = 0;
                }
                at
            }
            _ => {
                trial.from[page] = 0;
                at
            }
        }
    }

    /// Places the pages of the trial from a place in the order on; false if the cost goes over a threshold.
    fn place(&mut self, changed: usize, threshold: f64) -> bool {
        let network = self.network;
        let pages = self.trial.order.len();
        for at in 0..=changed.min(pages - 1) {
            self.trial_free_before[at].copy_from_slice(&self.free_before[at]);
        }
        self.timeline.restore(&self.free_before[changed.min(pages - 1)]);
        let (mut makespan, mut ends) = (0, 0);
        for at in 0..pages {
            let page = self.trial.order[at];
            let coats = network.coats[page].clone();
            if at >= changed {
                self.trial_free_before[at].copy_from_slice(self.timeline.free());
                self.work += WORK_OF_A_COAT * coats.len() as u64;
                if !self.timeline.find(network, page) {
                    return false;
                }
                let first = self.timeline.first_from(self.trial.from[page]).or_else(|| self.timeline.first_from(0));
                let placed = first.and_then(|first| self.timeline.follow(network, page, first, &mut self.trial.starts));
                if placed.is_none() {
                    return false;
                }
                for coat in coats.clone() {
                    let start = self.trial.starts[coat];
                    self.timeline.occupy(start, start + network.operations[coat].spray);
                }
            }
            let last = coats.end - 1;
            let end = self.trial.starts[last] + network.operations[last].tail;
            makespan = makespan.max(end);
            ends += end;
            if makespan as f64 > threshold {
                return false;
            }
        }
        self.trial.makespan = makespan;
        self.trial.cost = makespan as f64 + MEAN_END_WEIGHT * ends as f64 / pages as f64;
        self.trial.cost <= threshold
    }
}

/// The placement as a sequence, decoded: never later than it was placed.
fn solution(network: &Network, placement: &Placement) -> Option<Solution> {
    let mut found = Solution::empty(network);
    found.sequence = (0..network.operations.len()).collect();
    found.sequence.sort_by_key(|coat| placement.starts[*coat]);
    let mut decoder = Decoder::new(network);
    let limits = Limits { cutoff: placement.cost as Tick + 1, pushes: usize::MAX };
    found.outcome = decoder.decode(&found.sequence, &found.resumed, 0, limits)?;
    found.starts.clone_from(&decoder.starts);
    found.sprayed.fill(true);
    Some(found)
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;
    use crate::batch::search::first_solution;
    use crate::batch::{Coat, Lag, Page, Problem};

    #[test]
    fn what_nothing_can_beat_is_not_searched_on() {
        let coat = |lag| Coat { spray: 40, can: 0, lag, vapour_m3: 0.0, flash_share: 0.0 };
        let page = |number: usize| Page {
            label: format!("page {number}"),
            release: 0,
            final_dry: 300,
            coats: vec![coat(Some(Lag { min: 60, max: Some(62), resume: None })), coat(None)],
        };
        let problem = Problem {
            name: "rigid".into(),
            tick_s: 30.0,
            pages: (0..4).map(page).collect(),
            rack_slots: None,
            initial_can: 0,
            setup: vec![vec![0]],
            pauses: Vec::new(),
            session_end: None,
            air: None,
        };
        let network = Network::new(&problem);
        assert!(pages_are_rigid(&network));
        let start = first_solution(&network, &|| false);
        let asked = |goal: Tick| {
            let asked = Cell::new(0);
            let pulse = |_: f64| {
                asked.set(asked.get() + 1);
                false
            };
            let found = anneal_orders(&network, &start, (20_000, 1), goal, &pulse);
            assert!(found.outcome.makespan <= start.outcome.makespan);
            asked.get()
        };
        assert_eq!(asked(start.outcome.makespan), 0);
        assert!(asked(0) > 0);
    }
}
