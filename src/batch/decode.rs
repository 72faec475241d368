//! The earliest schedule of a sequence of coats.
//!
//! For a fixed sequence all rules but the air are lower limits that only grow with each other (a window `gap ≤ max`
//! is the lower limit `start of the coat before ≥ start − max − spray`), so the earliest schedule is their least fixed
//! point: one pass forward, and back to the coat before where a window was missed. The air is asked for the first tick
//! at which the ceiling holds; what is sprayed later is asked again, so the ceiling holds for the whole.

use super::air::{AirKernel, AirState};
use super::network::Network;
use super::problem::Tick;

/// Most ticks that the air refuses one coat and a proof still looks at.
const MOST_REFUSED: u64 = 100_000;
/// Most places of the coats before that a proof looks at for one coat the air refuses: in air that hardly changes, both
/// the ticks refused and the places to look at for each are many.
const MOST_LOOKED_AT: u64 = 100_000;

/// The bench before a place in the sequence.
#[derive(Debug, Clone, Copy)]
struct Bench {
    /// When the operator is free.
    free: Tick,
    can: usize,
    /// Air at `free`.
    air: AirState,
    /// Pages that were started.
    started: usize,
    /// Latest end of a page.
    end: Tick,
    /// Sum of the ends of pages.
    ends: Tick,
}

/// How far a decode may go.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// Latest end of the whole.
    pub(super) cutoff: Tick,
    /// Times a coat may be pushed back for a window.
    pub(super) pushes: usize,
}

/// What a decode found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Outcome {
    /// End of the last page.
    pub(super) makespan: Tick,
    /// Sum of the ends of all pages.
    pub(super) ends: Tick,
}

/// Decodes sequences; keeps its buffers and the state before every place.
#[derive(Debug, Clone)]
pub(super) struct Decoder<'a> {
    network: &'a Network,
    /// Start of every coat in the sequence.
    pub(super) starts: Vec<Tick>,
    floors: Vec<Tick>,
    benches: Vec<Bench>,
    /// When the pages finished so far leave the rack, in order, and the place in the sequence up to which that holds.
    departures: Vec<Tick>,
    departed: usize,
    /// First place that was pushed back for a window; places before it stand without what follows.
    pub(super) firm: usize,
    /// Work a placed coat counts for: the air takes several times as long as the rest.
    weight: u64,
    /// Whether every tick the air refuses is checked, for proofs.
    pub(super) certify: bool,
    /// Coats a proof holds at their starts.
    pub(super) held: Vec<bool>,
    /// A coat before that might have to be sprayed later for a tick that was refused.
    pub(super) doubt: Option<usize>,
    /// Work done so far.
    pub(super) work: u64,
}

impl<'a> Decoder<'a> {
    /// A decoder of a network.
    pub(super) fn new(network: &'a Network) -> Self {
        let count = network.operations.len();
        let bench = Bench { free: 0, can: network.initial_can, air: AirState::default(), started: 0, end: 0, ends: 0 };
        Self {
            network,
            starts: vec![0; count],
            floors: vec![0; count],
            benches: vec![bench; count + 1],
            departures: Vec::with_capacity(network.page_count()),
            departed: 0,
            firm: 0,
            weight: if network.air.is_some() { 3 } else { 1 },
            certify: false,
            held: vec![false; count],
            doubt: None,
            work: 0,
        }
    }

    /// Takes over what another decoder knows of the places of a sequence before `place`.
    pub(super) fn take_prefix(&mut self, other: &Self, sequence: &[usize], place: usize) {
        for coat in &sequence[..place] {
            self.starts[*coat] = other.starts[*coat];
        }
        self.benches[..=place].copy_from_slice(&other.benches[..=place]);
        self.firm = other.firm;
        self.departed = usize::MAX;
    }

    /// Drops what a decode that failed left behind of coats at the end of the sequence.
    pub(super) fn forget(&mut self, coats: std::ops::Range<usize>) {
        self.floors[coats].fill(0);
    }

    /// Decodes a sequence from a place on; what stands before must have been decoded.
    ///
    /// `resumed[coat]` asks for the gap before that coat to be at least its resumption.
    pub(super) fn decode(
        &mut self,
        sequence: &[usize],
        resumed: &[bool],
        from: usize,
        limits: Limits,
    ) -> Option<Outcome> {
        let from = if self.network.has_windows { from.min(self.firm) } else { from };
        self.floors.fill(0);
        self.firm = sequence.len();
        self.departed = usize::MAX;
        self.run(sequence, resumed, from, limits)
    }

    /// Decodes again after coats were only added at or behind a place: every floor found before still holds.
    pub(super) fn extend(
        &mut self,
        sequence: &[usize],
        resumed: &[bool],
        from: usize,
        limits: Limits,
    ) -> Option<Outcome> {
        self.run(sequence, resumed, from, limits)
    }

    fn run(&mut self, sequence: &[usize], resumed: &[bool], from: usize, limits: Limits) -> Option<Outcome> {
        let network = self.network;
        let racked = network.rack != usize::MAX;
        let mut place = from;
        let mut pushes = 0;
        if racked && self.departed != place {
            self.departures_before(sequence, place);
        }
        // Holds again only at the end: what fails on the way leaves departures of places it did not keep.
        self.departed = usize::MAX;
        while place < sequence.len() {
            self.work += self.weight;
            let coat = sequence[place];
            let operation = &network.operations[coat];
            let bench = self.benches[place];
            let changeover = network.changeover(bench.can, operation.can);
            let mut start = (bench.free + changeover).max(self.floors[coat]);
            let mut ready = 0;
            if operation.first {
                start = start.max(network.release[operation.page]);
                if racked && bench.started >= network.rack {
                    // The page that must leave first has coats behind this one: the sequence locks itself.
                    start = start.max(*self.departures.get(bench.started - network.rack)?);
                }
            } else {
                ready = self.starts[coat - 1] + network.operations[coat - 1].spray;
                start = start.max(ready + if resumed[coat] { operation.gap_resume } else { operation.gap_min });
            }
            start = network.clear_of_pauses(start, changeover, operation.spray);
            let mut air = bench.air;
            if let Some(kernel) = &network.air {
                loop {
                    let (wait, then) = kernel.earliest(bench.air, start - bench.free, coat);
                    self.work += AirKernel::work_of_waiting(wait - (start - bench.free));
                    if self.certify {
                        let refused = (wait - (start - bench.free)).unsigned_abs();
                        self.work = self.work.saturating_add(refused.saturating_mul(4 * (place as u64 + 2)));
                        let mut looked_at = 0;
                        self.doubt = None;
                        if refused <= MOST_REFUSED {
                            for wait in start - bench.free..wait {
                                self.doubt = self.doubted(sequence, place, wait, &mut looked_at);
                                if self.doubt.is_some() || looked_at > MOST_LOOKED_AT {
                                    break;
                                }
                            }
                        }
                        self.work += looked_at * (place as u64 + 2);
                        if refused > MOST_REFUSED || looked_at > MOST_LOOKED_AT {
                            // No proof looks at so much: its work is spent.
                            self.work = self.work.saturating_add(1 << 40);
                            return None;
                        }
                        if self.doubt.is_some() {
                            return None;
                        }
                    }
                    air = then;
                    let clear = network.clear_of_pauses(bench.free + wait, changeover, operation.spray);
                    if clear == bench.free + wait {
                        start = clear;
                        break;
                    }
                    start = clear;
                }
                air = kernel.after(air, coat);
            }
            let end = start + operation.spray;
            if start + operation.tail > limits.cutoff || end > network.session_end {
                return None;
            }
            if !operation.first
                && start - ready > operation.gap_max
                && start - ready < operation.gap_resume
                && !resumed[coat]
            {
                pushes += 1;
                if pushes > limits.pushes {
                    return None;
                }
                let before = coat - 1;
                if self.held[before] {
                    return None;
                }
                self.floors[before] = start - operation.gap_max - network.operations[before].spray;
                let back = sequence[..place].iter().rposition(|other| *other == before)?;
                if racked {
                    self.take_back(&sequence[back..place]);
                }
                place = back;
                self.firm = self.firm.min(place);
                continue;
            }
            self.starts[coat] = start;
            let mut next = Bench { free: end, can: operation.can, air, ..bench };
            if operation.first {
                next.started += 1;
            }
            if operation.last {
                let leaves = end + network.final_dry[operation.page];
                next.end = next.end.max(leaves);
                next.ends += leaves;
                if racked {
                    let at = self.departures.partition_point(|other| *other <= leaves);
                    self.departures.insert(at, leaves);
                }
            }
            place += 1;
            self.benches[place] = next;
        }
        self.departed = place;
        Some(self.outcome(sequence.len()))
    }

    /// A coat before that, sprayed later, might let the air take a coat after a wait that it refuses here.
    ///
    /// The coats before start no sooner than here and end no later than the next begins. The index of a coat rises to
    /// one crest and falls, so over that range it is least at one of the two ends; if that is where it stands here, for
    /// every coat before, then the index at the moment the ceiling is passed cannot be less. The coat just before may
    /// still be rising then: all its places up to this one are tried in turn.
    ///
    /// `looked_at` counts those places; past [`MOST_LOOKED_AT`] the answer is of no use.
    fn doubted(&self, sequence: &[usize], place: usize, wait: Tick, looked_at: &mut u64) -> Option<usize> {
        let (kernel, nearest) = (self.network.air.as_ref()?, place.checked_sub(1)?);
        let (coat, before) = (sequence[place], sequence[nearest]);
        let begin = self.benches[place].free + wait;
        let earlier = &self.benches[nearest];
        let (first, spray) = (self.starts[before], self.network.operations[before].spray);
        let last = if self.held[before] { first } else { begin - spray };
        let refused = kernel.passes_ceiling_after(kernel.later(self.benches[place].air, wait), coat);
        let Some(delay) = refused else { return Some(before) };
        let settled = sequence[..place].iter().all(|other| {
            let end = self.starts[*other] + self.network.operations[*other].spray;
            let here = kernel.trace_after_end(*other, begin as f64 + delay - end as f64);
            self.held[*other] || here <= kernel.trace_after_end(*other, delay)
        });
        if settled {
            return None;
        }
        for start in first..=last {
            *looked_at += 1;
            if *looked_at > MOST_LOOKED_AT {
                break;
            }
            let sprayed = kernel.after(kernel.later(earlier.air, start - earlier.free), before);
            let air = kernel.later(sprayed, begin - start - spray);
            let Some(delay) = kernel.passes_ceiling_after(air, coat) else { return Some(before) };
            let passed = begin as f64 + delay;
            let doubted = sequence[..nearest].iter().copied().find(|other| {
                let end = self.starts[*other] + self.network.operations[*other].spray;
                let here = kernel.trace_after_end(*other, passed - end as f64);
                !self.held[*other] && here > kernel.trace_after_end(*other, passed - start as f64)
            });
            if doubted.is_some() {
                return doubted;
            }
        }
        None
    }

    /// Sends a coat one tick later than it stands.
    pub(super) fn put_off(&mut self, coat: usize) {
        self.floors[coat] = self.starts[coat] + 1;
    }

    /// The air when a length of the sequence is sprayed.
    pub(super) fn air(&self, length: usize) -> AirState {
        self.benches[length].air
    }

    /// What the sequence up to a length came to.
    pub(super) fn outcome(&self, length: usize) -> Outcome {
        Outcome { makespan: self.benches[length].end, ends: self.benches[length].ends }
    }

    /// Takes the departures of placed coats back.
    fn take_back(&mut self, placed: &[usize]) {
        for coat in placed.iter().filter(|coat| self.network.operations[**coat].last) {
            let leaves = self.starts[*coat] + self.network.operations[*coat].tail;
            if let Ok(at) = self.departures.binary_search(&leaves) {
                self.departures.remove(at);
            }
        }
    }

    fn departures_before(&mut self, sequence: &[usize], place: usize) {
        self.departures.clear();
        for coat in &sequence[..place] {
            let operation = &self.network.operations[*coat];
            if operation.last {
                self.departures.push(self.starts[*coat] + operation.tail);
            }
        }
        self.departures.sort_unstable();
    }
}
