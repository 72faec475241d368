//! First schedules: forward dispatch where no window can close, and whole pages placed one by one.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::solution::Solution;
use super::timeline::Timeline;
use crate::batch::decode::{Decoder, Limits};
use crate::batch::network::{NEVER, Network};
use crate::batch::problem::{Tick, ticks};

/// Pages up to which every order is tried for the first schedule.
const SMALL: usize = 60;
/// Places tried for one page before it goes to the end.
const PLACES: usize = 6;

/// How the next coat is chosen in forward dispatch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rule {
    /// Longest remaining page first.
    LongestTail,
    /// The can in the hand as long as it serves, then the longest remaining page.
    SameCan,
    /// Pages already begun first.
    Begun,
}

/// The best of some simple schedules.
pub(in crate::batch) fn first_solution(network: &Network) -> Solution {
    let mut best: Option<Solution> = None;
    let mut keep = |found: Option<Solution>| {
        if let Some(found) = found
            && best.as_ref().is_none_or(|best| found.cost() < best.cost())
        {
            best = Some(found);
        }
    };
    if !network.has_windows {
        for rule in [Rule::LongestTail, Rule::SameCan, Rule::Begun] {
            keep(dispatched(network, rule));
        }
    }
    let small = network.page_count() <= SMALL;
    if small || network.has_windows || network.session_end < NEVER {
        keep(Some(inserted(network, &by_length(network))));
    }
    if small {
        keep(Some(inserted(network, &by_release(network))));
        let mut shortest = by_length(network);
        shortest.reverse();
        keep(Some(inserted(network, &shortest)));
    } else if network.has_windows && network.rack == usize::MAX && network.air.is_none() {
        keep(Some(inserted(network, &mixed(network))));
    }
    best.unwrap_or_else(|| inserted(network, &by_length(network)))
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

/// Kinds in turn, each spread evenly over the whole: gaps that a run of alike pages leaves are filled by others.
fn mixed(network: &Network) -> Vec<usize> {
    let mut of_kind: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for kind in &network.kind {
        *of_kind.entry(*kind).or_default() += 1;
    }
    let mut seen: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    let mut order: Vec<(Tick, usize, usize)> = Vec::with_capacity(network.page_count());
    for page in 0..network.page_count() {
        let before = seen.entry(network.kind[page]).or_default();
        let share = (2 * *before + 1) * network.page_count() * 1000 / (2 * of_kind[&network.kind[page]]);
        *before += 1;
        order.push((network.release[page], share, page));
    }
    order.sort_unstable();
    order.into_iter().map(|(.., page)| page).collect()
}

fn by_release(network: &Network) -> Vec<usize> {
    let mut order: Vec<usize> = (0..network.page_count()).collect();
    order.sort_by_key(|page| network.release[*page]);
    order
}

/// Places whole pages one by one among those already placed. A page that fits nowhere is left out.
pub(super) fn inserted(network: &Network, order: &[usize]) -> Solution {
    let mut solution = Solution::empty(network);
    let mut decoder = Decoder::new(network);
    let mut timeline = Timeline::default();
    let mut trial = Decoder::new(network);
    let mut wanted = vec![0; network.operations.len()];
    let mut sequence = Vec::with_capacity(network.operations.len());
    for (number, page) in order.iter().enumerate() {
        let coats = network.coats[*page].clone();
        let last = solution.sequence.last().map_or(0, |coat| decoder.starts[*coat] + network.operations[*coat].spray);
        let span = spacious(network, *page);
        let behind = last.max(network.release[*page]);
        timeline.reset(network, behind + span);
        for place in &solution.sequence {
            timeline.occupy(decoder.starts[*place], decoder.starts[*place] + network.operations[*place].spray);
        }
        let cutoff = Limits { cutoff: behind + 4 * span, pushes: 40 * coats.len() + 400 };
        // In a long evening on a rack what lies far back is full; only beside the last pages is a place looked for.
        let mut target = match number.checked_sub(2 * network.rack.min(order.len())) {
            Some(back) if order.len() > SMALL => decoder.starts[network.coats[order[back]].start],
            _ => 0,
        };
        let mut placed = false;
        for attempt in 0..PLACES {
            if !timeline.find(network, *page) {
                break;
            }
            let Some(first) = timeline.first_from(target) else { break };
            if timeline.follow(network, *page, first, &mut wanted).is_none() {
                break;
            }
            for coat in coats.clone().skip(1) {
                let operation = &network.operations[coat];
                let gap = wanted[coat] - wanted[coat - 1] - network.operations[coat - 1].spray;
                solution.resumed[coat] = gap > operation.gap_max;
            }
            let from = merge(&solution.sequence, &decoder.starts, coats.clone(), &wanted, &mut sequence);
            trial.clone_from(&decoder);
            let found = trial.extend(&sequence, &solution.resumed, from, cutoff);
            if let Some(outcome) = found {
                std::mem::swap(&mut trial, &mut decoder);
                std::mem::swap(&mut solution.sequence, &mut sequence);
                solution.outcome = outcome;
                placed = true;
                break;
            }
            target = if attempt + 2 >= PLACES { last } else { first + (last - first) / 3 + 1 };
        }
        if !placed {
            // Behind everything, one coat after the other: what is left if no gap serves.
            sequence.clone_from(&solution.sequence);
            let from = sequence.len();
            sequence.extend(coats.clone());
            let mut try_at_end = |resumed: &[bool]| {
                trial.clone_from(&decoder);
                let found = trial.extend(&sequence, resumed, from, cutoff);
                if found.is_some() {
                    std::mem::swap(&mut trial, &mut decoder);
                }
                found
            };
            solution.resumed[coats.clone()].fill(false);
            let mut found = try_at_end(&solution.resumed);
            if found.is_none() && network.has_resumes {
                // Some window never holds what must happen in it: all wait for theirs to open again.
                let reopens = |coat: usize| network.operations[coat].gap_resume < NEVER;
                coats.clone().for_each(|coat| solution.resumed[coat] = reopens(coat));
                found = try_at_end(&solution.resumed);
            }
            if let Some(outcome) = found {
                std::mem::swap(&mut solution.sequence, &mut sequence);
                solution.outcome = outcome;
                placed = true;
            }
        }
        solution.sprayed[*page] = placed;
    }
    solution.starts.clone_from(&decoder.starts);
    solution
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
    let cans = network.can_count();
    let changeover = (0..cans * cans).map(|at| network.changeover(at / cans, at % cans)).max().unwrap_or(0);
    waits + sprays + pauses + dry + (airing + changeover) * ticks(coats.len()) + 1
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

/// Forward dispatch without windows: at each moment the best coat that is ready, else the next that will be.
fn dispatched(network: &Network, rule: Rule) -> Option<Solution> {
    let mut sequence = Vec::with_capacity(network.operations.len());
    // Coats that will be ready, by when; coats that are, by how much depends on them, a heap for each can.
    let mut coming: BinaryHeap<Reverse<(Tick, usize)>> = BinaryHeap::new();
    let mut ready: Vec<BinaryHeap<(bool, Tick, Reverse<usize>)>> = vec![BinaryHeap::new(); network.can_count()];
    // Pages wait outside the rack in order of the rule and enter one by one as slots fall free.
    let mut slots: BinaryHeap<Reverse<Tick>> = BinaryHeap::new();
    let open_slots = network.rack.min(network.page_count());
    for _ in 0..open_slots {
        slots.push(Reverse(0));
    }
    let mut outside: BinaryHeap<Reverse<(Tick, Reverse<Tick>, usize)>> = BinaryHeap::new();
    for page in 0..network.page_count() {
        let tail = network.operations[network.coats[page].start].tail;
        outside.push(Reverse((network.release[page], Reverse(tail), page)));
    }
    let (mut now, mut can) = (0, network.initial_can);
    while sequence.len() < network.operations.len() {
        while let (Some(Reverse(slot)), Some(Reverse((release, _, page)))) =
            (slots.peek().copied(), outside.peek().copied())
        {
            slots.pop();
            outside.pop();
            coming.push(Reverse((slot.max(release), network.coats[page].start)));
        }
        while let Some(Reverse((when, coat))) = coming.peek().copied()
            && (when <= now || ready.iter().all(BinaryHeap::is_empty))
        {
            coming.pop();
            now = now.max(when);
            let operation = &network.operations[coat];
            let begun = rule == Rule::Begun && !operation.first;
            ready[operation.can].push((begun, operation.tail, Reverse(coat)));
        }
        let keeps_can = rule == Rule::SameCan && !ready[can].is_empty();
        let chosen = if keeps_can {
            can
        } else {
            (0..ready.len()).max_by_key(|can| (ready[*can].peek().copied(), Reverse(*can))).unwrap_or(can)
        };
        let (_, _, Reverse(coat)) = ready[chosen].pop()?;
        let operation = &network.operations[coat];
        let changeover = network.changeover(can, chosen);
        let start = network.clear_of_pauses(now + changeover, changeover, operation.spray);
        let end = start + operation.spray;
        sequence.push(coat);
        if operation.last {
            slots.push(Reverse(end + network.final_dry[operation.page]));
        } else {
            coming.push(Reverse((end + network.operations[coat + 1].gap_min, coat + 1)));
        }
        (now, can) = (end, chosen);
    }
    let mut decoder = Decoder::new(network);
    let mut solution = Solution::empty(network);
    let outcome = decoder.decode(&sequence, &solution.resumed, 0, Limits { cutoff: NEVER, pushes: 0 });
    solution.outcome = outcome?;
    solution.sequence = sequence;
    solution.starts = decoder.starts;
    solution.sprayed.fill(true);
    Some(solution)
}
