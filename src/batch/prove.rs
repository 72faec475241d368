//! Proof by exhaustion: every sequence is followed until it cannot end earlier than what is known.
//!
//! Sequences grow from the front; their earliest schedule only grows with them, so a beginning that already reaches
//! too far is left with all its continuations. Alike pages go in one order where that loses nothing.
//!
//! With air, "as early as it fits" is the earliest schedule only if a tick refused to a coat would be refused however
//! late the coats before it are sprayed. That is not always so: a coat just before, sprayed a little later, has not yet
//! reached its crest. The decoder checks every tick it refuses and names the coat in doubt; the search then goes both
//! ways, with that coat held where it is and with it put off by a tick.

use super::bound::{Job, operator_bound};
use super::decode::{Decoder, Limits};
use super::network::{NEVER, Network};
use super::problem::Tick;
use super::search::Solution;

/// Most coats a proof is tried for.
const MOST_COATS: usize = 48;

/// What a proof search came to.
#[derive(Debug)]
pub(super) struct Proof {
    /// A schedule better than what was known.
    pub(super) better: Option<Solution>,
    /// Whether nothing better than the best known exists.
    pub(super) complete: bool,
}

/// Tries to prove that nothing ends before `known`, or finds what does, within a budget of work.
pub(super) fn prove(network: &Network, known: Tick, floor: Tick, budget: u64, stop: &dyn Fn() -> bool) -> Proof {
    if network.operations.len() > MOST_COATS {
        return Proof { better: None, complete: false };
    }
    let count = network.operations.len();
    let mut decoder = Decoder::new(network);
    decoder.certify = true;
    let mut search = Search {
        network,
        decoders: vec![decoder; count + 1],
        sequence: Vec::with_capacity(count),
        resumed: vec![false; count],
        next: network.coats.iter().map(|coats| coats.start).collect(),
        cutoff: known - 1,
        floor,
        best: None,
        work: 0,
        budget,
        stop,
        gave_up: false,
    };
    search.descend();
    let complete = !search.gave_up;
    Proof { better: search.best, complete }
}

struct Search<'a> {
    network: &'a Network,
    /// The decoder after each length of the sequence.
    decoders: Vec<Decoder<'a>>,
    sequence: Vec<usize>,
    resumed: Vec<bool>,
    /// Next coat of every page; the end of its coats when all are placed.
    next: Vec<usize>,
    cutoff: Tick,
    floor: Tick,
    best: Option<Solution>,
    work: u64,
    budget: u64,
    stop: &'a dyn Fn() -> bool,
    gave_up: bool,
}

impl Search<'_> {
    fn descend(&mut self) {
        let depth = self.sequence.len();
        if depth == self.network.operations.len() {
            self.keep(depth);
            return;
        }
        let mut children: Vec<(Tick, Tick, usize, bool)> = Vec::with_capacity(self.next.len());
        for page in 0..self.next.len() {
            let coat = self.next[page];
            if coat == self.network.coats[page].end || self.waits_for_twin(page) {
                continue;
            }
            let operation = &self.network.operations[coat];
            let ready = self.ready(coat, depth);
            children.push((ready.max(self.free(depth)), -operation.tail, coat, false));
            if operation.gap_resume < NEVER {
                children.push((self.end(coat - 1, depth) + operation.gap_resume, -operation.tail, coat, true));
            }
        }
        children.sort_unstable();
        for (_, _, coat, resumes) in children {
            if self.gave_up || self.cutoff < self.floor {
                return;
            }
            self.work += 4;
            if self.work > self.budget || (self.work.is_multiple_of(1024) && (self.stop)()) {
                self.gave_up = true;
                return;
            }
            self.sequence.push(coat);
            self.resumed[coat] = resumes;
            let (before, after) = self.decoders.split_at_mut(depth + 1);
            after[0].clone_from(&before[depth]);
            self.next[self.network.operations[coat].page] += 1;
            self.follow(depth, depth);
            self.next[self.network.operations[coat].page] -= 1;
            self.resumed[coat] = false;
            self.sequence.pop();
        }
    }

    /// Decodes the sequence just lengthened from a place on and goes on from there, both ways where a coat is in doubt.
    fn follow(&mut self, depth: usize, from: usize) {
        let mut from = from;
        loop {
            let decoder = &mut self.decoders[depth + 1];
            let worked = decoder.work;
            let limits = Limits { cutoff: self.cutoff, pushes: usize::MAX };
            let found = decoder.extend(&self.sequence, &self.resumed, from, limits);
            self.work += decoder.work - worked;
            if self.work > self.budget {
                self.gave_up = true;
                return;
            }
            let Some(doubted) = decoder.doubt.take() else {
                if found.is_some() && self.rest(depth + 1) <= self.cutoff {
                    self.descend();
                }
                return;
            };
            if decoder.held[doubted] {
                // It is in doubt wherever it stands: nothing is proved this way.
                self.gave_up = true;
                return;
            }
            let mut later = decoder.clone();
            decoder.held[doubted] = true;
            from = self.sequence.iter().position(|coat| *coat == doubted).unwrap_or(0);
            self.follow(depth, from);
            if self.gave_up {
                return;
            }
            later.put_off(doubted);
            self.decoders[depth + 1] = later;
        }
    }

    fn free(&self, depth: usize) -> Tick {
        self.sequence.last().map_or(0, |coat| self.end(*coat, depth))
    }

    fn end(&self, coat: usize, depth: usize) -> Tick {
        self.decoders[depth].starts[coat] + self.network.operations[coat].spray
    }

    fn ready(&self, coat: usize, depth: usize) -> Tick {
        let operation = &self.network.operations[coat];
        if operation.first {
            self.network.release[operation.page]
        } else {
            self.end(coat - 1, depth) + operation.gap_min
        }
    }

    /// Whether an alike page stands before this one in the order and is no further. With closed windows that open
    /// again alike pages may profit from passing each other; then none waits.
    fn waits_for_twin(&self, page: usize) -> bool {
        if self.network.has_resumes || page == 0 || self.network.kind[page - 1] != self.network.kind[page] {
            return false;
        }
        let done = |page: usize| self.next[page] - self.network.coats[page].start;
        done(page - 1) <= done(page)
    }

    /// A bound on the end of all that is left.
    fn rest(&self, depth: usize) -> Tick {
        let free = self.free(depth);
        let mut jobs = Vec::with_capacity(self.network.operations.len() - depth);
        for (page, coats) in self.network.coats.iter().enumerate() {
            let mut head = 0;
            for coat in self.next[page]..coats.end {
                let operation = &self.network.operations[coat];
                let ready = if coat == self.next[page] { self.ready(coat, depth) } else { head + operation.gap_min };
                head = ready.max(free);
                jobs.push(Job { head, length: operation.spray, tail: operation.tail - operation.spray });
                head += operation.spray;
            }
        }
        operator_bound(&self.network.pauses, jobs).max(self.rest_of_air(depth))
    }

    /// A bound from the solvent budget: what was and will be released, less what the last coats still hold, has left
    /// through the air changes or is in the air.
    ///
    /// Coats before may be sprayed later than here; then less has left by now, so the bound still holds.
    fn rest_of_air(&self, depth: usize) -> Tick {
        let (Some(kernel), Some(dose)) = (&self.network.air, &self.network.dose) else { return 0 };
        let (mut inside, mut held, mut sprays) = (0.0, Vec::new(), Vec::new());
        let mut least_dry = Tick::MAX;
        for (page, coats) in self.network.coats.iter().enumerate() {
            let left = self.next[page]..coats.end;
            if !left.is_empty() {
                least_dry = least_dry.min(self.network.final_dry[page]);
            }
            for coat in left {
                let (flash, later) = dose.released[coat];
                inside += flash + later;
                held.push(later);
                sprays.push(self.network.operations[coat].spray);
            }
        }
        if held.is_empty() {
            return 0;
        }
        held.sort_unstable_by(|left, right| right.total_cmp(left));
        sprays.sort_unstable();
        let (mut since, mut still_held) = (0, 0.0);
        for (held, spray) in held.iter().zip(&sprays) {
            still_held += held * libm::exp(-dose.evaporation_per_tick * since as f64);
            since += spray;
        }
        let air = self.decoders[depth].air(depth);
        still_held += air.liquid * libm::exp(-dose.evaporation_per_tick * since as f64);
        let excess = air.index + air.liquid + inside - still_held - kernel.ceiling();
        let ticks = excess / (kernel.ceiling() * dose.exchange_per_tick);
        self.free(depth) + libm::ceil((ticks - 1e-6).clamp(0.0, 1e12)) as Tick + least_dry
    }

    fn keep(&mut self, depth: usize) {
        let decoder = &self.decoders[depth];
        let mut found = Solution::empty(self.network);
        found.sequence.clone_from(&self.sequence);
        found.resumed.clone_from(&self.resumed);
        found.starts.clone_from(&decoder.starts);
        found.sprayed.fill(true);
        found.outcome = decoder.outcome(depth);
        self.cutoff = found.outcome.makespan - 1;
        self.best = Some(found);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::batch::air::LOOKS;
    use crate::batch::problem::ticks;
    use crate::batch::search::first_solution;
    use crate::batch::{Coat, Lag, Page, Presence, Problem, RoomAir};

    /// Three pages of three coats, any of which nearly fills the room.
    fn bench(air_changes_per_h: f64, evaporation_per_min: f64) -> Problem {
        let coat = |index: usize| Coat {
            spray: 5,
            can: 0,
            lag: (index < 2).then_some(Lag { min: 12, max: None, resume: None }),
            vapour_m3: 12.0 + index as f64,
            flash_share: 0.4,
        };
        let page = |number: usize| Page {
            label: format!("page {number}"),
            release: 0,
            final_dry: 30 + 3 * ticks(number),
            coats: (0..3).map(coat).collect(),
        };
        Problem {
            name: "slow air".into(),
            tick_s: 30.0,
            rack_slots: None,
            initial_can: 0,
            setup: vec![vec![0]],
            pauses: Vec::new(),
            session_end: None,
            air: Some(RoomAir {
                volume_m3: 25.0,
                air_changes_per_h,
                evaporation_per_min,
                ceiling: 1.0,
                dose_limit: 10.0,
                presence: Presence::AtWork,
            }),
            pages: (0..3).map(page).collect(),
        }
    }

    #[test]
    fn slow_air_costs_no_more_than_the_work_allowed() {
        const BUDGET: u64 = 1_000_000;
        for power in 0..7 {
            let slow = libm::pow(10.0, -f64::from(power));
            for (air_changes_per_h, evaporation) in [(4.0, slow), (4.0 * slow, 0.16), (60.0 * slow, slow)] {
                let problem = bench(air_changes_per_h, evaporation);
                let network = Network::new(&problem);
                let known = first_solution(&network, &|| false).outcome.makespan;
                let before = LOOKS.get();
                prove(&network, known, 0, BUDGET, &|| false);
                let looks = LOOKS.get() - before;
                assert!(looks < 4 * BUDGET, "{air_changes_per_h} {evaporation}: {looks} looks");
            }
        }
    }
}
