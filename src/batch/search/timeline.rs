//! Where the operator is free, one bit a tick, and the exact places of a whole page among what is already placed.
//!
//! For a page, the set of starts of its coat j from which all later coats can still be placed follows from the set of
//! coat j + 1 by shifting and widening: `S_j = F_j ∩ ⋃ (S_(j+1) − spray − gap)` over all allowed gaps, where `F_j` are
//! the starts at which the coat itself is free. Every member of `S_1` is the start of a whole page that keeps all its
//! windows; nothing else is.
//!
//! Looked at is a stretch of at most [`MOST_WORDS`] words for all coats of the longest page together: waits of weeks
//! and pages of thousands of coats cost no more memory than an evening.

use crate::batch::network::{NEVER, Network};
use crate::batch::problem::{Tick, ticks};

/// Words of all sets of a page together.
const MOST_WORDS: usize = 1 << 19;

/// The longest stretch that is looked at, ticks.
pub(super) fn longest_stretch(network: &Network) -> Tick {
    64 * ticks((MOST_WORDS / (network.longest_page + 2)).max(16))
}

/// The operator's time up to a horizon.
#[derive(Debug, Clone, Default)]
pub(super) struct Timeline {
    /// The first tick of the stretch.
    base: Tick,
    words: usize,
    free: Vec<u64>,
    /// `S_j` of every coat of the page asked for last.
    chain: Vec<Vec<u64>>,
    scratch: Vec<u64>,
}

impl Timeline {
    /// Clears all time from a tick up to a horizon, but for breaks and what lies after the session. Of a longer time
    /// than [`longest_stretch`] the beginning is looked at.
    pub(super) fn reset(&mut self, network: &Network, from: Tick, horizon: Tick) {
        let horizon = horizon.min(network.session_end).min(from.saturating_add(longest_stretch(network)));
        self.base = from;
        self.words = ((horizon - from).max(1) as usize).div_ceil(64);
        self.free.clear();
        self.free.resize(self.words, u64::MAX);
        self.occupy(horizon.max(from), from + ticks(self.words) * 64);
        let past = network.pauses.partition_point(|(_, end)| *end <= from);
        for (start, end) in network.pauses[past..].iter().take_while(|(start, _)| *start < horizon) {
            self.occupy(*start, *end);
        }
    }

    /// Goes back to what was free at another time of the same horizon.
    pub(super) fn restore(&mut self, free: &[u64]) {
        self.free.copy_from_slice(free);
    }

    /// What is free now.
    pub(super) fn free(&self) -> &[u64] {
        &self.free
    }

    /// Takes a stretch.
    pub(super) fn occupy(&mut self, start: Tick, end: Tick) {
        let last = ticks(self.words) * 64;
        let within = |tick: Tick| (tick - self.base).clamp(0, last) as usize;
        let (start, end) = (within(start), within(end));
        if start >= end {
            return;
        }
        let (first, final_word) = (start / 64, (end - 1) / 64);
        let head = u64::MAX << (start % 64);
        let tail = u64::MAX >> (63 - (end - 1) % 64);
        if first == final_word {
            self.free[first] &= !(head & tail);
        } else {
            self.free[first] &= !head;
            self.free[first + 1..final_word].fill(0);
            self.free[final_word] &= !tail;
        }
    }

    /// Finds every whole place of a page. Returns whether there is one.
    pub(super) fn find(&mut self, network: &Network, page: usize) -> bool {
        let coats = network.coats[page].clone();
        let count = coats.len();
        if self.chain.len() < count {
            self.chain.resize(count, Vec::new());
        }
        for index in (0..count).rev() {
            let operation = &network.operations[coats.start + index];
            let mut starts = std::mem::take(&mut self.chain[index]);
            starts.clear();
            starts.extend_from_slice(&self.free);
            narrow(&mut starts, operation.spray as usize, &mut self.scratch);
            if index + 1 < count {
                let next = &network.operations[coats.start + index + 1];
                let later = &self.chain[index + 1];
                let nearest = operation.spray + next.gap_min;
                let mut allowed = std::mem::take(&mut self.scratch);
                if next.gap_max >= NEVER {
                    allowed.clear();
                    allowed.resize(self.words, 0);
                    keep_up_to(&mut allowed, highest(later), nearest);
                } else {
                    shift_down(later, nearest as usize, &mut allowed);
                    let mut spare = Vec::new();
                    widen(&mut allowed, (next.gap_max - next.gap_min) as usize + 1, &mut spare);
                    if next.gap_resume < NEVER {
                        keep_up_to(&mut allowed, highest(later), operation.spray + next.gap_resume);
                    }
                }
                for (word, other) in starts.iter_mut().zip(&allowed) {
                    *word &= other;
                }
                self.scratch = allowed;
            }
            if index == 0 {
                clear_below(&mut starts, network.release[page] - self.base);
            }
            let empty = starts.iter().all(|word| *word == 0);
            self.chain[index] = starts;
            if empty {
                return false;
            }
        }
        true
    }

    /// First start of the page found last that is not before a tick.
    pub(super) fn first_from(&self, tick: Tick) -> Option<Tick> {
        lowest(&self.chain[0], tick - self.base).map(|found| found + self.base)
    }

    /// Last start of the page found last that is not after a tick.
    pub(super) fn last_to(&self, tick: Tick) -> Option<Tick> {
        highest_to(&self.chain[0], tick - self.base).map(|found| found + self.base)
    }

    /// Starts of all coats of the page found last, from a start of its first, each as early as it goes.
    pub(super) fn follow(&self, network: &Network, page: usize, first: Tick, starts: &mut [Tick]) -> Option<()> {
        let coats = network.coats[page].clone();
        let mut start = first;
        starts[coats.start] = start;
        for coat in coats.clone().skip(1) {
            let operation = &network.operations[coat];
            let ready = start + network.operations[coat - 1].spray;
            let set = &self.chain[coat - coats.start];
            let from = |tick: Tick| lowest(set, tick - self.base).map(|found| found + self.base);
            let found = from(ready + operation.gap_min)?;
            start = if found - ready <= operation.gap_max {
                found
            } else {
                from(ready.saturating_add(operation.gap_resume))?
            };
            starts[coat] = start;
        }
        Some(())
    }
}

/// `into` = the set moved down by some ticks.
fn shift_down(set: &[u64], by: usize, into: &mut Vec<u64>) {
    let (skip, bits) = (by / 64, by % 64);
    into.clear();
    let kept = set.get(skip..).unwrap_or(&[]);
    if bits == 0 {
        into.extend_from_slice(kept);
    } else {
        into.extend(kept.windows(2).map(|two| two[0] >> bits | two[1] << (64 - bits)));
        into.extend(kept.last().map(|last| last >> bits));
    }
    into.resize(set.len(), 0);
}

/// Keeps the ticks from which `length` ticks in a row are in the set.
fn narrow(set: &mut [u64], length: usize, spare: &mut Vec<u64>) {
    let length = length.min(64 * set.len() + 1);
    let mut have = 1;
    while have < length {
        let step = have.min(length - have);
        shift_down(set, step, spare);
        for (word, other) in set.iter_mut().zip(spare.iter()) {
            *word &= other;
        }
        have += step;
    }
}

/// Adds the ticks from which a member is less than `length` ticks ahead.
fn widen(set: &mut [u64], length: usize, spare: &mut Vec<u64>) {
    let length = length.min(64 * set.len());
    let mut have = 1;
    while have < length {
        let step = have.min(length - have);
        shift_down(set, step, spare);
        for (word, other) in set.iter_mut().zip(spare.iter()) {
            *word |= other;
        }
        have += step;
    }
}

/// Adds every tick at least `distance` before the last one of another set.
fn keep_up_to(set: &mut [u64], last: Option<Tick>, distance: Tick) {
    let Some(limit) = last.map(|last| last - distance).filter(|limit| *limit >= 0) else { return };
    let (word, bit) = (limit as usize / 64, limit as usize % 64);
    for full in &mut set[..word] {
        *full = u64::MAX;
    }
    set[word] |= u64::MAX >> (63 - bit);
}

fn clear_below(set: &mut [u64], tick: Tick) {
    let tick = tick.max(0) as usize;
    let word = (tick / 64).min(set.len());
    set[..word].fill(0);
    if word < set.len() {
        set[word] &= u64::MAX << (tick % 64);
    }
}

fn highest(set: &[u64]) -> Option<Tick> {
    let word = set.iter().rposition(|word| *word != 0)?;
    Some(ticks(word * 64 + 63 - set[word].leading_zeros() as usize))
}

fn highest_to(set: &[u64], tick: Tick) -> Option<Tick> {
    if tick < 0 {
        return None;
    }
    let (word, bit) = (tick as usize / 64, tick as usize % 64);
    if word >= set.len() {
        return highest(set);
    }
    let masked = set[word] & (u64::MAX >> (63 - bit));
    if masked != 0 {
        return Some(ticks(word * 64 + 63 - masked.leading_zeros() as usize));
    }
    highest(&set[..word])
}

fn lowest(set: &[u64], tick: Tick) -> Option<Tick> {
    let from = tick.max(0) as usize;
    let word = from / 64;
    let masked = *set.get(word)? & (u64::MAX << (from % 64));
    if masked != 0 {
        return Some(ticks(word * 64 + masked.trailing_zeros() as usize));
    }
    let found = set[word + 1..].iter().position(|word| *word != 0)? + word + 1;
    Some(ticks(found * 64 + set[found].trailing_zeros() as usize))
}
