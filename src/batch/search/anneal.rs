//! Simulated annealing on sequences: one stream of chance, counted work, the best schedule it met.

use super::chance::Chance;
use super::solution::{LEFT_OUT, MEAN_END_WEIGHT, Solution};
use super::timeline::Timeline;
use crate::batch::decode::{Decoder, Limits};
use crate::batch::network::Network;
use crate::batch::problem::Tick;

/// Highest temperature, share of the makespan.
const HOT: f64 = 0.02;
/// Lowest temperature, ticks.
const COLD: f64 = 0.12;
/// Furthest a coat is moved in the sequence.
const REACH: usize = 12;
/// Sequences up to this length are copied for nothing beside decoding; of longer ones so many coats count as one placed.
pub(super) const SHORT: usize = 128;
pub(super) const COPIED_AT_ONCE: usize = 16;
/// Of coats that are not sprayed hardly anything is copied.
const IDLE_AT_ONCE: usize = 256;
/// Moves out of a hundred that place whole pages exactly, where windows are.
const PLACED_EXACTLY: usize = 45;

/// One walker through sequences.
pub(super) struct Annealer<'a> {
    pub(super) network: &'a Network,
    pub(super) chance: Chance,
    /// Where it stands.
    pub(super) here: Solution,
    pub(super) cost: f64,
    /// The best it met.
    pub(super) best: Solution,
    pub(super) best_cost: f64,
    standing: Decoder<'a>,
    trying: Decoder<'a>,
    /// Place of every coat in the sequence.
    pub(super) place: Vec<usize>,
    /// The sequence tried.
    pub(super) trial: Vec<usize>,
    pub(super) trial_resumed: Vec<bool>,
    pub(super) trial_sprayed: Vec<bool>,
    pub(super) wanted: Vec<Tick>,
    pub(super) timeline: Timeline,
    pub(super) merged: Vec<usize>,
    pub(super) extra_work: u64,
    /// Times a coat may be pushed back for a window in one decoding.
    pushes: usize,
}

impl<'a> Annealer<'a> {
    /// A walker that stands on a solution.
    pub(super) fn new(network: &'a Network, start: &Solution, stream: u64) -> Self {
        let count = network.operations.len();
        let mut walker = Self {
            network,
            chance: Chance::stream(stream),
            here: start.clone(),
            cost: start.cost(),
            best: start.clone(),
            best_cost: start.cost(),
            standing: Decoder::new(network),
            trying: Decoder::new(network),
            place: vec![0; count],
            trial: Vec::with_capacity(count),
            trial_resumed: vec![false; count],
            trial_sprayed: vec![false; network.page_count()],
            wanted: vec![0; count],
            timeline: Timeline::default(),
            merged: Vec::with_capacity(count),
            extra_work: 0,
            pushes: if network.has_windows { 3 * count + 60 } else { 0 },
        };
        walker.stand_on(start.clone());
        walker
    }

    /// Work done so far, in coats placed.
    pub(super) fn work(&self) -> u64 {
        self.standing.work + self.trying.work + self.extra_work
    }

    /// Stands on a solution and decodes it.
    pub(super) fn stand_on(&mut self, solution: Solution) {
        self.here = solution;
        let limits = Limits { cutoff: self.here.outcome.makespan, pushes: usize::MAX };
        if let Some(outcome) = self.standing.decode(&self.here.sequence, &self.here.resumed, 0, limits) {
            self.here.outcome = outcome;
        }
        self.here.starts.clone_from(&self.standing.starts);
        self.cost = self.here.cost();
        self.index_places();
    }

    fn index_places(&mut self) {
        for (place, coat) in self.here.sequence.iter().enumerate() {
            self.place[*coat] = place;
        }
    }

    /// Anneals for a share of work; ends early at a makespan that nothing beats, or when asked to stop. `pulse` is told
    /// the share done and says whether to stop.
    pub(super) fn anneal(&mut self, budget: u64, heat: f64, goal: Tick, pulse: &dyn Fn(f64) -> bool) {
        let settled = |best: &Solution| best.outcome.makespan <= goal && best.left_out() == 0;
        if settled(&self.best) {
            return;
        }
        let begin = self.work();
        let hot = (HOT * heat * self.here.outcome.makespan as f64).max(2.0 * COLD);
        let cooling = libm::log(COLD / hot);
        let sprayed = self.here.sequence.len();
        let idle = self.network.operations.len() - sprayed;
        let copying = (sprayed.saturating_sub(SHORT) / COPIED_AT_ONCE + idle / IDLE_AT_ONCE) as u64;
        let (mut temperature, mut round) = (hot, 0_u32);
        loop {
            round += 1;
            if round.is_multiple_of(64) {
                let done = (self.work() - begin) as f64 / budget as f64;
                if done >= 1.0 || pulse(done) {
                    break;
                }
                temperature = hot * libm::exp(cooling * done);
            }
            self.extra_work += 1 + copying;
            if !self.propose() {
                continue;
            }
            if self.consider(temperature) && settled(&self.best) {
                break;
            }
        }
    }

    /// Decodes the trial and steps onto it if chance allows. Returns whether it is the best so far.
    fn consider(&mut self, temperature: f64) -> bool {
        let pages = self.here.sprayed.len();
        let left_out = self.trial_sprayed.iter().filter(|sprayed| !**sprayed).count() as f64;
        let threshold = self.cost + temperature * self.chance.exponential() - left_out * LEFT_OUT;
        if threshold < 0.0 {
            return false;
        }
        let cutoff = threshold.min(LEFT_OUT / 2.0) as Tick;
        let changed = self.first_change();
        let Some(from) = changed else { return false };
        self.trying.take_prefix(&self.standing, &self.here.sequence, from);
        let limits = Limits { cutoff, pushes: self.pushes };
        let Some(outcome) = self.trying.decode(&self.trial, &self.trial_resumed, from, limits) else { return false };
        let cost = outcome.makespan as f64 + MEAN_END_WEIGHT * outcome.ends as f64 / pages.max(1) as f64;
        if cost > threshold {
            return false;
        }
        std::mem::swap(&mut self.standing, &mut self.trying);
        std::mem::swap(&mut self.here.sequence, &mut self.trial);
        std::mem::swap(&mut self.here.resumed, &mut self.trial_resumed);
        std::mem::swap(&mut self.here.sprayed, &mut self.trial_sprayed);
        self.here.outcome = outcome;
        self.here.starts.clone_from(&self.standing.starts);
        self.cost = cost + left_out * LEFT_OUT;
        self.index_places();
        let better = self.cost < self.best_cost - 1e-9;
        if better {
            self.best.clone_from(&self.here);
            self.best_cost = self.cost;
        }
        better
    }

    /// First place where the trial differs from where it stands.
    fn first_change(&self) -> Option<usize> {
        let here = &self.here;
        let shared = here.sequence.len().min(self.trial.len());
        let by_order = (0..shared).find(|at| here.sequence[*at] != self.trial[*at]);
        let by_order = by_order.or((here.sequence.len() != self.trial.len()).then_some(shared));
        if !self.network.has_resumes || here.resumed == self.trial_resumed {
            return by_order;
        }
        let by_flip = (0..shared).find(|at| {
            let coat = here.sequence[*at];
            here.resumed[coat] != self.trial_resumed[coat]
        });
        match (by_order, by_flip) {
            (Some(order), Some(flip)) => Some(order.min(flip)),
            (order, flip) => order.or(flip),
        }
    }

    /// Makes a trial from where it stands. Returns whether there is one.
    fn propose(&mut self) -> bool {
        let count = self.here.sequence.len();
        if count == 0 {
            return self.here.left_out() > 0 && self.begin_trial_and_place_again();
        }
        self.begin_trial();
        if self.here.left_out() > 0 && self.chance.below(8) == 0 {
            return self.place_again();
        }
        let network = self.network;
        let mut draw = self.chance.below(100);
        if network.has_windows {
            // Sequences broken by hand rarely keep tight windows: whole pages placed exactly do.
            if draw < PLACED_EXACTLY {
                return self.place_again();
            }
            draw = (draw - PLACED_EXACTLY) * 100 / (100 - PLACED_EXACTLY);
        }
        match draw {
            0..42 => self.shift_coat(REACH),
            42..58 => self.shift_coat(1),
            58..68 => self.move_block(),
            68..88 => self.shift_pages(),
            88..95 => self.exchange_pages(),
            _ if network.has_resumes => self.flip_resume(),
            _ => self.exchange_coats(),
        }
    }

    fn begin_trial_and_place_again(&mut self) -> bool {
        self.begin_trial();
        self.place_again()
    }

    fn begin_trial(&mut self) {
        self.trial.clone_from(&self.here.sequence);
        if self.network.has_resumes {
            self.trial_resumed.clone_from(&self.here.resumed);
        }
        self.trial_sprayed.clone_from(&self.here.sprayed);
    }
}
