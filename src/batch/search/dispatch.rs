//! Forward dispatch: at each moment the best coat that is ready, else the next that will be.
//!
//! Pages that are begun go first, the one whose window closes soonest before the others, and only so many pages are
//! open at once. With a few widths of that gate nearly every bench has one at which no window is missed; what is
//! missed all the same the decoder mends by putting the coat before off. It takes one pass over the coats, so it is
//! what long evenings begin from.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::solution::Solution;
use crate::batch::air::AirState;
use crate::batch::decode::{Decoder, Limits};
use crate::batch::network::{NEVER, Network};
use crate::batch::problem::Tick;

/// How the next coat is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// Longest remaining page first.
    LongestTail,
    /// The can in the hand as long as it serves, then the longest remaining page.
    SameCan,
    /// Pages already begun first, the window that closes soonest before the others.
    Begun,
}

/// How urgent a coat is: begun, when its window closes, how much follows, and its number so that ties are told apart.
type Urgency = (bool, Reverse<Tick>, Tick, Reverse<usize>);

/// Coats and pages on their way to the operator.
struct Queue<'a> {
    network: &'a Network,
    rule: Rule,
    /// Coats that will be ready, by when.
    coming: BinaryHeap<Reverse<(Tick, usize)>>,
    /// Coats that are, a heap for each can.
    ready: Vec<BinaryHeap<Urgency>>,
    /// When each slot of the rack falls free.
    slots: BinaryHeap<Reverse<Tick>>,
    /// Pages not begun, by release and length.
    outside: BinaryHeap<Reverse<(Tick, Reverse<Tick>, usize)>>,
    /// How many more pages may be open at once.
    gate: usize,
    /// When the window of each coat that comes or is ready closes.
    closes: Vec<Tick>,
}

impl<'a> Queue<'a> {
    fn new(network: &'a Network, rule: Rule, gate: usize) -> Self {
        let pages = network.page_count();
        let outside = (0..pages).map(|page| {
            let tail = network.operations[network.coats[page].start].tail;
            Reverse((network.release[page], Reverse(tail), page))
        });
        Self {
            network,
            rule,
            coming: BinaryHeap::new(),
            ready: vec![BinaryHeap::new(); network.can_count()],
            slots: std::iter::repeat_n(Reverse(0), network.rack.min(pages)).collect(),
            outside: outside.collect(),
            gate,
            closes: vec![NEVER; network.operations.len()],
        }
    }

    /// Lets pages in while there are slots and the gate is open.
    fn let_in(&mut self) {
        while self.gate > 0 {
            let (Some(Reverse(slot)), Some(Reverse((release, _, page)))) =
                (self.slots.peek().copied(), self.outside.peek().copied())
            else {
                return;
            };
            self.slots.pop();
            self.outside.pop();
            self.gate -= 1;
            self.coming.push(Reverse((slot.max(release), self.network.coats[page].start)));
        }
    }

    /// Moves what is ready by now; if nothing is, time goes on to the next that will be.
    fn advance(&mut self, now: Tick) -> Tick {
        let mut now = now;
        while let Some(Reverse((when, coat))) = self.coming.peek().copied()
            && (when <= now || self.ready.iter().all(BinaryHeap::is_empty))
        {
            self.coming.pop();
            now = now.max(when);
            let operation = &self.network.operations[coat];
            let begun = self.rule == Rule::Begun && !operation.first;
            let closes = if begun { self.closes[coat] } else { NEVER };
            self.ready[operation.can].push((begun, Reverse(closes), operation.tail, Reverse(coat)));
        }
        now
    }

    /// The can whose best coat is next.
    fn can(&self, hand: usize) -> usize {
        if self.rule == Rule::SameCan && !self.ready[hand].is_empty() {
            return hand;
        }
        (0..self.ready.len()).max_by_key(|can| (self.ready[*can].peek().copied(), Reverse(*can))).unwrap_or(hand)
    }

    /// A coat is sprayed: the next of its page comes, or the page leaves.
    fn sprayed(&mut self, coat: usize, end: Tick) {
        let operation = &self.network.operations[coat];
        if operation.last {
            self.slots.push(Reverse(end + self.network.final_dry[operation.page]));
            self.gate += 1;
        } else {
            let next = &self.network.operations[coat + 1];
            self.closes[coat + 1] = end.saturating_add(next.gap_max);
            self.coming.push(Reverse((end + next.gap_min, coat + 1)));
        }
    }
}

/// Dispatches all pages with at most `gate` of them begun and not finished; `None` if a window or the session breaks.
pub(super) fn dispatched(network: &Network, rule: Rule, gate: usize, stop: &dyn Fn() -> bool) -> Option<Solution> {
    let count = network.operations.len();
    let mut sequence = Vec::with_capacity(count);
    let mut queue = Queue::new(network, rule, gate.max(1));
    let (mut now, mut can, mut air) = (0, network.initial_can, AirState::default());
    while sequence.len() < count {
        if sequence.len().is_multiple_of(256) && stop() {
            return None;
        }
        queue.let_in();
        let ready = queue.advance(now);
        let chosen = queue.can(can);
        let (.., Reverse(coat)) = queue.ready[chosen].pop()?;
        let operation = &network.operations[coat];
        let changeover = network.changeover(can, chosen);
        let mut start = network.clear_of_pauses(ready.max(now + changeover), changeover, operation.spray);
        if let Some(kernel) = &network.air {
            loop {
                let (wait, then) = kernel.earliest(air, start - now, coat);
                start = network.clear_of_pauses(now + wait, changeover, operation.spray);
                if start == now + wait {
                    air = kernel.after(then, coat);
                    break;
                }
            }
        }
        let end = start + operation.spray;
        if end > network.session_end {
            return None;
        }
        sequence.push(coat);
        queue.sprayed(coat, end);
        (now, can) = (end, chosen);
    }
    let mut decoder = Decoder::new(network);
    let mut solution = Solution::empty(network);
    let pushes = if network.has_windows { count + 60 } else { 0 };
    solution.outcome = decoder.decode(&sequence, &solution.resumed, 0, Limits { cutoff: NEVER, pushes })?;
    solution.sequence = sequence;
    solution.starts = decoder.starts;
    solution.sprayed.fill(true);
    Some(solution)
}
