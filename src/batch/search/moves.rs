//! The moves of the annealer. Each makes a trial sequence from the one it stands on and keeps coats of a page in order.

use super::anneal::{Annealer, COPIED_AT_ONCE, SHORT};
use super::start::{merge, spacious};
use super::timeline::longest_stretch;
use crate::batch::problem::{Tick, ticks};

/// Longest run of coats moved at once.
const LONGEST_BLOCK: usize = 6;
/// Most pages taken out at once.
const MOST_PAGES_OUT: usize = 4;

impl Annealer<'_> {
    /// Places between which a coat may move without passing a coat of its page.
    fn room_of(&self, coat: usize) -> (usize, usize) {
        let operation = &self.network.operations[coat];
        let low = if operation.first { 0 } else { self.place[coat - 1] + 1 };
        let high = if operation.last { self.here.sequence.len() - 1 } else { self.place[coat + 1] - 1 };
        (low, high)
    }

    /// Moves one coat.
    pub(super) fn shift_coat(&mut self, reach: usize) -> bool {
        let from = self.chance.below(self.trial.len());
        let (low, high) = self.room_of(self.trial[from]);
        let step = self.chance.step(reach);
        let to = from.saturating_add_signed(step).clamp(low, high);
        if to == from {
            return false;
        }
        rotate(&mut self.trial, from, to);
        true
    }

    /// Moves a run of coats from one can.
    pub(super) fn move_block(&mut self) -> bool {
        let count = self.trial.len();
        let from = self.chance.below(count);
        let can = self.network.operations[self.trial[from]].can;
        let most = 2 + self.chance.below(LONGEST_BLOCK - 1);
        let length =
            self.trial[from..].iter().take(most).take_while(|coat| self.network.operations[**coat].can == can).count();
        let step = self.chance.step(REACH_OF_BLOCKS);
        let page_of = |coat: usize| self.network.operations[coat].page;
        let block = from..from + length;
        let (start, end) = if step > 0 {
            (from, (from + length + step.unsigned_abs()).min(count))
        } else {
            (from.saturating_sub(step.unsigned_abs()), from + length)
        };
        let passed = if step > 0 { block.end..end } else { start..from };
        if passed.is_empty() {
            return false;
        }
        let clash = self.trial[passed]
            .iter()
            .any(|other| self.trial[block.clone()].iter().any(|coat| page_of(*coat) == page_of(*other)));
        if clash {
            return false;
        }
        if step > 0 {
            self.trial[start..end].rotate_left(length);
        } else {
            self.trial[start..end].rotate_right(length);
        }
        true
    }

    /// Exchanges two coats that stand apart.
    pub(super) fn exchange_coats(&mut self) -> bool {
        let count = self.trial.len();
        let (left, right) = (self.chance.below(count), self.chance.below(count));
        let (left, right) = (left.min(right), left.max(right));
        let (low, high) = (self.room_of(self.trial[right]).0, self.room_of(self.trial[left]).1);
        if left == right || low > left || high < right {
            return false;
        }
        self.trial.swap(left, right);
        true
    }

    /// Moves one to three pages in time, all coats of a page alike.
    pub(super) fn shift_pages(&mut self) -> bool {
        let pages = 1 + self.chance.below(3).min(self.chance.below(3));
        let reach = (self.here.outcome.makespan / 4).max(4) as usize;
        self.wanted.clone_from(&self.here.starts);
        for _ in 0..pages {
            let page = self.network.operations[self.trial[self.chance.below(self.trial.len())]].page;
            let coats = self.network.coats[page].clone();
            let step = if self.chance.below(2) == 0 { self.chance.step(reach) } else { self.chance.step(24) };
            // Half of the time the page moves as it is, else from one coat on, so that gaps change too.
            let kept = if self.chance.below(2) == 0 { 0 } else { self.chance.below(coats.len()) };
            for (index, coat) in coats.clone().enumerate() {
                let moved = if index < kept { 0 } else { step as Tick };
                self.wanted[coat] = self.here.starts[coat] + moved;
                if index > 0 {
                    self.wanted[coat] = self.wanted[coat].max(self.wanted[coat - 1] + 1);
                }
            }
            self.take_out(page);
            self.merge_in(coats);
        }
        true
    }

    /// Exchanges two pages of as many coats, coat by coat.
    pub(super) fn exchange_pages(&mut self) -> bool {
        let count = self.trial.len();
        let page_at = |place: usize| self.network.operations[self.trial[place]].page;
        let (left, right) = (self.chance.below(count), self.chance.below(count));
        let (left, right) = (page_at(left), page_at(right));
        let network = self.network;
        let (left_coats, right_coats) = (network.coats[left].clone(), network.coats[right].clone());
        if network.kind[left] == network.kind[right] || left_coats.len() != right_coats.len() {
            return false;
        }
        for (one, other) in left_coats.zip(right_coats) {
            self.trial.swap(self.place[one], self.place[other]);
        }
        true
    }

    /// Lets a coat wait for its window to open again, or no longer.
    pub(super) fn flip_resume(&mut self) -> bool {
        let coat = self.trial[self.chance.below(self.trial.len())];
        if self.network.operations[coat].gap_resume >= crate::batch::network::NEVER {
            return false;
        }
        self.trial_resumed[coat] = !self.trial_resumed[coat];
        true
    }

    /// Takes out some pages and places each exactly among the rest, which stays where it is.
    pub(super) fn place_again(&mut self) -> bool {
        let network = self.network;
        let missing = self.here.left_out();
        let mut out = Vec::with_capacity(MOST_PAGES_OUT + 1);
        if missing > 0 && self.chance.below(2) == 0 {
            let pick = self.chance.below(missing);
            out.extend((0..network.page_count()).filter(|page| !self.here.sprayed[*page]).nth(pick));
        }
        let wanted_out = if out.is_empty() || self.chance.below(3) > 0 {
            1 + self.chance.below(MOST_PAGES_OUT).min(self.chance.below(MOST_PAGES_OUT))
        } else {
            0
        };
        // Half of the time pages that meet at one moment, since those can take each other's place.
        let together = self.chance.below(2) == 0;
        let centre = if self.trial.is_empty() { 0 } else { self.chance.below(self.trial.len()) };
        for _ in 0..wanted_out.min(self.trial.len()) {
            let place = if together {
                let step = self.chance.step(6);
                centre.saturating_add_signed(step).min(self.here.sequence.len() - 1)
            } else {
                self.chance.below(self.here.sequence.len())
            };
            let page = network.operations[self.here.sequence[place]].page;
            if !out.contains(&page) {
                out.push(page);
            }
        }
        for page in &out {
            if self.here.sprayed[*page] {
                self.take_out(*page);
            }
        }
        let span = out.iter().map(|page| spacious(network, *page)).max().unwrap_or(0);
        let horizon = self.here.outcome.makespan + span.min(self.here.outcome.makespan / 8 + 16);
        let stretch = longest_stretch(network);
        let base = match self.here.sequence.get(centre) {
            // Of a longer time only what lies about one moment.
            Some(coat) if horizon > stretch => (self.here.starts[*coat] - stretch / 2).max(0),
            _ => 0,
        };
        let horizon = horizon.min(base + stretch);
        self.timeline.reset(network, base, horizon);
        for coat in &self.trial {
            self.timeline.occupy(self.here.starts[*coat], self.here.starts[*coat] + network.operations[*coat].spray);
        }
        self.extra_work += (self.trial.len().saturating_sub(SHORT) / COPIED_AT_ONCE) as u64;
        self.wanted.clone_from(&self.here.starts);
        for at in (1..out.len()).rev() {
            out.swap(at, self.chance.below(at + 1));
        }
        let mut failures = 0;
        for page in out {
            self.extra_work += 3 + (horizon - base) as u64 / 64;
            let first = if self.timeline.find(network, page) { self.choose_first(page) } else { None };
            let placed = first.and_then(|first| self.timeline.follow(network, page, first, &mut self.wanted));
            self.trial_sprayed[page] = placed.is_some();
            if placed.is_none() {
                failures += 1;
                if failures > missing {
                    return false;
                }
                continue;
            }
            let coats = network.coats[page].clone();
            for coat in coats.clone() {
                self.timeline.occupy(self.wanted[coat], self.wanted[coat] + network.operations[coat].spray);
                if network.has_resumes && !network.operations[coat].first {
                    let gap = self.wanted[coat] - self.wanted[coat - 1] - network.operations[coat - 1].spray;
                    self.trial_resumed[coat] = gap > network.operations[coat].gap_max;
                }
            }
            self.merge_in(coats);
        }
        true
    }

    /// One of the places found for a page: often near the earliest, else anywhere or near where it was.
    fn choose_first(&mut self, page: usize) -> Option<Tick> {
        let earliest = self.timeline.first_from(0)?;
        let latest = self.timeline.last_to(self.here.outcome.makespan)?;
        let old = self.here.starts[self.network.coats[page].start];
        let near = match self.chance.below(10) {
            0..3 => return Some(earliest),
            3..5 => latest - (self.chance.exponential() * 12.0) as Tick,
            5..8 => old + self.chance.step(16) as Tick,
            _ => earliest + ticks(self.chance.below((latest - earliest).max(0) as usize + 1)),
        };
        if self.chance.below(2) == 0 {
            self.timeline.first_from(near).or_else(|| self.timeline.last_to(near))
        } else {
            self.timeline.last_to(near).or_else(|| self.timeline.first_from(near))
        }
    }

    fn take_out(&mut self, page: usize) {
        let coats = self.network.coats[page].clone();
        self.trial.retain(|coat| !coats.contains(coat));
    }

    /// Merges a page's coats into the trial by the times in `wanted`, which holds those of all coats.
    fn merge_in(&mut self, coats: std::ops::Range<usize>) {
        merge(&self.trial, &self.wanted, coats, &self.wanted, &mut self.merged);
        std::mem::swap(&mut self.trial, &mut self.merged);
    }
}

/// Furthest a run of coats is moved.
const REACH_OF_BLOCKS: usize = 14;

fn rotate(sequence: &mut [usize], from: usize, to: usize) {
    if from < to {
        sequence[from..=to].rotate_left(1);
    } else {
        sequence[to..=from].rotate_right(1);
    }
}
