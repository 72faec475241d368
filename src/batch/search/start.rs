//! First schedules: forward dispatch where no window can close, and whole pages placed one by one.

use std::cell::Cell;
use std::cmp::Reverse;

use super::dispatch::{Rule, dispatched};
use super::solution::Solution;
use super::timeline::{Timeline, longest_stretch};
use crate::batch::decode::{Decoder, Limits};
use crate::batch::network::{NEVER, Network};
use crate::batch::problem::{Tick, ticks};

/// Pages up to which every order is tried for the first schedule.
const SMALL: usize = 60;
/// Places tried for one page before it goes to the end, of few pages and of many.
const PLACES: usize = 6;
const FEW_PLACES: usize = 2;
/// Pages that may be begun and not finished, of which each is tried where windows are.
const GATES: [usize; 9] = [usize::MAX, 16, 10, 7, 5, 4, 3, 2, 1];

/// The best of some simple schedules. Told to stop, it looks for no more of them, and for no gaps for what is left.
pub(in crate::batch) fn first_solution(network: &Network, stop: &dyn Fn() -> bool) -> Solution {
    // What was told once need not be asked again.
    let told = Cell::new(false);
    let stop = &|| {
        told.set(told.get() || stop());
        told.get()
    };
    let mut best: Option<Solution> = None;
    let mut keep = |found: Option<Solution>| {
        if let Some(found) = found
            && best.as_ref().is_none_or(|best| found.cost() < best.cost())
        {
            best = Some(found);
        }
    };
    if network.has_windows {
        for gate in GATES {
            keep(dispatched(network, Rule::Begun, gate, stop));
        }
    } else {
        for rule in [Rule::LongestTail, Rule::SameCan, Rule::Begun] {
            keep(dispatched(network, rule, usize::MAX, stop));
        }
    }
    if network.page_count() <= SMALL {
        keep(Some(inserted(network, &by_length(network), stop)));
        keep(Some(inserted(network, &by_release(network), stop)));
        let mut shortest = by_length(network);
        shortest.reverse();
        keep(Some(inserted(network, &shortest, stop)));
    }
    best.unwrap_or_else(|| inserted(network, &by_length(network), stop))
}

/// Longest pages first, those released later counting as longer in their turn.
fn by_length(network: &Network) -> Vec<usize> {
    let mut order: Vec<usize> = (0..network.page_count()).collect();
    order.sort_by_key(|page| {
        let first = &network.operations[network.coats[*page].start];
        Reverse(first.tail - network.release[*page])
    });
    order
}

fn by_release(network: &Network) -> Vec<usize> {
    let mut order: Vec<usize> = (0..network.page_count()).collect();
    order.sort_by_key(|page| network.release[*page]);
    order
}

/// Places whole pages one by one among those already placed. A page that fits nowhere is left out.
fn inserted(network: &Network, order: &[usize], stop: &dyn Fn() -> bool) -> Solution {
    let mut work = Insertion {
        network,
        solution: Solution::empty(network),
        decoder: Decoder::new(network),
        trial: Decoder::new(network),
        timeline: Timeline::default(),
        wanted: vec![0; network.operations.len()],
        sequence: Vec::with_capacity(network.operations.len()),
    };
    let many = order.len() > SMALL;
    let mut stopped = false;
    for (number, page) in order.iter().enumerate() {
        stopped |= stop();
        // In a long evening what lies far back is full; only beside the last pages is a place looked for.
        let back = number.checked_sub(2 * network.rack.min(SMALL)).filter(|_| many);
        let target = back.map_or(0, |back| work.decoder.starts[network.coats[order[back]].start]);
        let places = if many { FEW_PLACES } else { PLACES };
        let placed = !stopped && work.in_a_gap(*page, target, places) || work.behind(*page);
        work.solution.sprayed[*page] = placed;
    }
    work.solution.starts.clone_from(&work.decoder.starts);
    work.solution
}

/// Pages placed so far, and the means to place one more.
struct Insertion<'a> {
    network: &'a Network,
    solution: Solution,
    decoder: Decoder<'a>,
    trial: Decoder<'a>,
    timeline: Timeline,
    wanted: Vec<Tick>,
    sequence: Vec<usize>,
}

impl Insertion<'_> {
    fn end(&self, coat: usize) -> Tick {
        self.decoder.starts[coat] + self.network.operations[coat].spray
    }

    /// Where the page would come behind everything, the time it takes at most, and how far a decode may go for it.
    fn reach(&self, page: usize) -> (Tick, Tick, Limits) {
        let last = self.solution.sequence.last().map_or(0, |coat| self.end(*coat));
        let span = spacious(self.network, page);
        let behind = last.max(self.network.release[page]);
        let pushes = 40 * self.network.coats[page].len() + 400;
        (behind, span, Limits { cutoff: behind + 4 * span, pushes })
    }

    /// Places a page at the first gaps, not before a tick, that all its coats fit in.
    fn in_a_gap(&mut self, page: usize, target: Tick, places: usize) -> bool {
        let network = self.network;
        let coats = network.coats[page].clone();
        let (behind, span, limits) = self.reach(page);
        let base = (behind + span - longest_stretch(network)).max(target);
        self.timeline.reset(network, base, behind + span);
        let past = self.solution.sequence.partition_point(|coat| self.end(*coat) <= base);
        for coat in &self.solution.sequence[past..] {
            self.timeline.occupy(self.decoder.starts[*coat], self.end(*coat));
        }
        let last = self.solution.sequence.last().map_or(0, |coat| self.end(*coat));
        let mut target = base;
        for attempt in 0..places {
            if !self.timeline.find(network, page) {
                return false;
            }
            let Some(first) = self.timeline.first_from(target) else { return false };
            if self.timeline.follow(network, page, first, &mut self.wanted).is_none() {
                return false;
            }
            for coat in coats.clone().skip(1) {
                let operation = &network.operations[coat];
                let gap = self.wanted[coat] - self.wanted[coat - 1] - network.operations[coat - 1].spray;
                self.solution.resumed[coat] = gap > operation.gap_max;
            }
            let placed = &self.solution.sequence;
            let from = merge(placed, &self.decoder.starts, coats.clone(), &self.wanted, &mut self.sequence);
            self.trial.clone_from(&self.decoder);
            if let Some(outcome) = self.trial.extend(&self.sequence, &self.solution.resumed, from, limits) {
                std::mem::swap(&mut self.trial, &mut self.decoder);
                std::mem::swap(&mut self.solution.sequence, &mut self.sequence);
                self.solution.outcome = outcome;
                return true;
            }
            target = if attempt + 2 >= places { last } else { first + (last - first) / 3 + 1 };
        }
        false
    }

    /// Places a page behind everything, one coat after the other: what is left if no gap serves.
    fn behind(&mut self, page: usize) -> bool {
        let network = self.network;
        let coats = network.coats[page].clone();
        self.solution.resumed[coats.clone()].fill(false);
        let mut placed = self.try_behind(page);
        if !placed && network.has_resumes {
            // Some window never holds what must happen in it: all wait for theirs to open again.
            let reopens = |coat: usize| network.operations[coat].gap_resume < NEVER;
            coats.for_each(|coat| self.solution.resumed[coat] = reopens(coat));
            placed = self.try_behind(page);
        }
        placed
    }

    fn try_behind(&mut self, page: usize) -> bool {
        let coats = self.network.coats[page].clone();
        let (.., limits) = self.reach(page);
        let from = self.solution.sequence.len();
        self.solution.sequence.extend(coats.clone());
        match self.decoder.extend(&self.solution.sequence, &self.solution.resumed, from, limits) {
            Some(outcome) => {
                self.solution.outcome = outcome;
                true
            }
            None => {
                // Coats at the end push none but their own, so all before stands as it did.
                self.solution.sequence.truncate(from);
                self.decoder.forget(coats);
                false
            }
        }
    }
}

/// More time than a page takes alone from any moment on, waits for air, breaks and all.
pub(super) fn spacious(network: &Network, page: usize) -> Tick {
    let coats = &network.operations[network.coats[page].clone()];
    let waits: Tick =
        coats.iter().map(|coat| if coat.gap_resume < NEVER { coat.gap_resume } else { coat.gap_min }).sum();
    let sprays: Tick = coats.iter().map(|coat| coat.spray).sum();
    let pauses: Tick = network.pauses.last().map_or(0, |pause| pause.1);
    let dry = network.final_dry[page];
    let airing = network.air.as_ref().map_or(0, crate::batch::AirKernel::airing_ticks);
    waits + sprays + pauses + dry + (airing + network.longest_changeover) * ticks(coats.len()) + 1
}

/// The sequence with a page's coats merged in by the times wanted for them; returns the first place that changed.
pub(super) fn merge(
    sequence: &[usize],
    starts: &[Tick],
    coats: std::ops::Range<usize>,
    wanted: &[Tick],
    into: &mut Vec<usize>,
) -> usize {
    into.clear();
    let mut waiting = coats;
    let mut first = None;
    for coat in sequence {
        while waiting.start < waiting.end && wanted[waiting.start] <= starts[*coat] {
            first.get_or_insert(into.len());
            into.push(waiting.start);
            waiting.start += 1;
        }
        into.push(*coat);
    }
    first.get_or_insert(into.len());
    into.extend(waiting);
    first.unwrap_or(0)
}
