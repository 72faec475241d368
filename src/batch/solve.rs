//! The engine: a problem in, a schedule, its measures and its bound out.

use super::bound::lower_bound;
use super::measure::{Measures, measure};
use super::network::Network;
use super::polish::shorten_waits;
use super::problem::{Page, Problem, Schedule, Tick};
use super::prove::prove;
use super::search::{Round, STREAMS, Solution, anneal_all, first_solution, worth_annealing};

/// How much work is spent. Work is counted, not timed, so the same problem has the same answer on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// First schedules and a short search.
    Quick,
    /// About a second for a batch of twenty pages on two cores.
    Normal,
    /// Up to a minute.
    Thorough,
}

impl Effort {
    /// The word on the command line and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Quick => "quick",
            Self::Normal => "normal",
            Self::Thorough => "thorough",
        }
    }

    /// The next less.
    fn less(self) -> Option<Self> {
        match self {
            Self::Quick => None,
            Self::Normal => Some(Self::Quick),
            Self::Thorough => Some(Self::Normal),
        }
    }

    /// Work of each stream, in coats placed; and of the proof.
    fn budgets(self) -> (u64, u64) {
        match self {
            Self::Quick => (1_000_000, 400_000),
            Self::Normal => (24_000_000, 4_000_000),
            Self::Thorough => (400_000_000, 40_000_000),
        }
    }
}

/// Coats up to which a proof is tried before any search.
const TINY: usize = 16;

/// Share of a search that goes into one with less effort.
const WITH_LESS: f64 = 0.05;

/// Least work of their proof.
const TINY_PROOF: u64 = 600_000;

/// The handles a caller holds while the engine works.
pub struct Control<'a> {
    /// Threads to use; the result does not depend on it.
    pub threads: usize,
    /// Asked at counted steps of the work, many times a second, from all threads: a flag that a signal sets will do,
    /// `&|| flag.load(Ordering::Relaxed)`. Once it says yes it must go on saying so; the best so far is handed out.
    pub stop: &'a (dyn Fn() -> bool + Sync),
    /// Told now and then, from all threads: the share of the work done, and the makespan before the round at work. The
    /// shares rise, but two threads may tell theirs in either order.
    pub progress: &'a (dyn Fn(f64, Tick) + Sync),
}

/// The best schedule found, and how good it can at most be.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The schedule.
    pub schedule: Schedule,
    /// What it comes to.
    pub measures: Measures,
    /// No schedule of the pages sprayed ends before, ticks.
    pub lower_bound: Tick,
    /// Whether it is proved that no schedule of these pages ends earlier.
    pub proved: bool,
    /// Whether it was told to stop before it was through. The schedule keeps every rule and the bound holds all the
    /// same; more work might have ended earlier.
    pub stopped: bool,
    /// Whether the dose the operator breathes is within the limit.
    pub dose_allowed: bool,
    /// Pages that do not fit, from 0 in the order of the problem, and why.
    pub unfit: Vec<Unfit>,
}

/// A page that does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfit {
    /// Page, from 0.
    pub page: usize,
    /// Why.
    pub reason: UnfitReason,
}

/// Why a page does not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnfitReason {
    /// Not even alone, whatever the end of the session: its windows clash with its own waits for air or with breaks.
    NeverAlone,
    /// Not even alone before the session ends; without that end it is done at this tick.
    SessionTooShort(Tick),
    /// Not besides the others before the session ends.
    NoRoom,
}

impl Answer {
    /// How far the schedule may at most be from the best, per cent of the bound.
    pub fn gap_pct(&self) -> f64 {
        if self.lower_bound <= 0 {
            return 0.0;
        }
        100.0 * (self.measures.makespan - self.lower_bound) as f64 / self.lower_bound as f64
    }
}

/// Schedules a faultless problem (see [`Problem::faults`]): least makespan, then less waiting of wet pages. The dose is
/// measured and judged; no order is looked for to lower it.
pub fn solve(problem: &Problem, effort: Effort, control: &Control<'_>) -> Answer {
    let network = Network::new(problem);
    let Found { bound, best, stopped } = search(&network, effort, control);
    if best.left_out() == 0 {
        return Answer { stopped, ..finish(&network, &best, bound, Vec::new()) };
    }
    // The bound of a part of the pages is that of the problem without the rest.
    let sprayed = network.schedule(&best.starts, &best.sprayed);
    let some = |page: usize| !sprayed.starts[page].is_empty();
    let pages =
        problem.pages.iter().enumerate().filter(|(page, _)| some(*page)).map(|(_, page)| page.clone()).collect();
    let bench = problem.without_pages();
    let part = Problem { pages, ..bench.clone() };
    let bound = if part.pages.is_empty() { 0 } else { lower_bound(&Network::of_part(&part, &network)) };
    let alike = network.alike();
    let mut reasons = vec![None; problem.pages.len()];
    let unfit = (0..problem.pages.len()).filter(|page| !some(*page)).map(|page| Unfit {
        page,
        reason: *reasons[alike[page]].get_or_insert_with(|| reason(&bench, &problem.pages[page], &network)),
    });
    let unfit = unfit.collect();
    Answer { stopped, ..finish(&network, &best, bound, unfit) }
}

fn finish(network: &Network, best: &Solution, bound: Tick, unfit: Vec<Unfit>) -> Answer {
    let mut starts = best.starts.clone();
    shorten_waits(network, &best.sequence, &mut starts);
    let measures = measure(network, &best.sequence, &starts);
    let dose_allowed = match (&network.dose, measures.dose) {
        (Some(limit), Some(dose)) => limit.allows(dose),
        _ => true,
    };
    Answer {
        schedule: network.schedule(&starts, &best.sprayed),
        measures,
        lower_bound: bound,
        proved: bound == measures.makespan,
        stopped: false,
        dose_allowed,
        unfit,
    }
}

/// What a search came to.
struct Found {
    bound: Tick,
    best: Solution,
    stopped: bool,
}

/// Whether nothing is better.
fn is_best(best: &Solution, bound: Tick) -> bool {
    best.left_out() == 0 && best.outcome.makespan <= bound
}

fn search(network: &Network, effort: Effort, control: &Control<'_>) -> Found {
    search_from(network, &first_solution(network, control.stop), lower_bound(network), effort, control)
}

/// Searches with less effort first: no more effort ends later than less.
fn search_from(network: &Network, start: &Solution, bound: Tick, effort: Effort, control: &Control<'_>) -> Found {
    let Some(less) = effort.less() else { return search_once(network, start, bound, effort, control) };
    let begun = |share, makespan| (control.progress)(WITH_LESS * share, makespan);
    let first = search_from(network, start, bound, less, &Control { progress: &begun, ..*control });
    if is_best(&first.best, first.bound) {
        return first;
    }
    if (control.stop)() {
        return Found { stopped: true, ..first };
    }
    let goes_on = |share, makespan| (control.progress)(WITH_LESS + (1.0 - WITH_LESS) * share, makespan);
    let found = search_once(network, start, bound, effort, &Control { progress: &goes_on, ..*control });
    if first.best.cost() < found.best.cost() { Found { best: first.best, ..found } } else { found }
}

/// Searches from a first schedule, whose problem ends no earlier than the bound.
fn search_once(network: &Network, start: &Solution, bound: Tick, effort: Effort, control: &Control<'_>) -> Found {
    let mut best = start.clone();
    let (budget, proof_budget) = effort.budgets();
    let done = |best: &Solution| is_best(best, bound);
    (control.progress)(0.0, best.outcome.makespan);
    // Tiny batches are settled by going through all orders.
    let mut tried = false;
    if network.operations.len() <= TINY && best.left_out() == 0 && !done(&best) {
        tried = true;
        let proof = prove(network, best.outcome.makespan, bound, proof_budget.max(TINY_PROOF), control.stop);
        best = proof.better.unwrap_or(best);
        if proof.complete {
            return Found { bound: best.outcome.makespan, best, stopped: false };
        }
    }
    // A first short round from the first schedule, then a proof if the batch is small, then long rounds.
    let shares = [0.08, 0.52, 0.4];
    let mut streams = vec![best.clone(); STREAMS];
    let mut spent = 0.0;
    for (number, share) in shares.into_iter().enumerate() {
        if done(&best) || !worth_annealing(budget, best.sequence.len()) || (control.stop)() {
            break;
        }
        let so_far = best.outcome.makespan;
        let round = Round {
            budget: (budget as f64 * share) as u64,
            number: number as u64,
            heat: if number + 1 == shares.len() { 0.5 } else { 1.0 },
            goal: bound,
            threads: control.threads,
            stop: control.stop,
            tell: &|done| (control.progress)(spent + share * done, so_far),
        };
        let found = anneal_all(network, &streams, &round);
        for found in &found {
            if found.cost() < best.cost() {
                best.clone_from(found);
            }
        }
        if !tried && best.left_out() == 0 && !done(&best) {
            tried = true;
            let proof = prove(network, best.outcome.makespan, bound, proof_budget, control.stop);
            if let Some(better) = proof.better {
                best = better;
            }
            if proof.complete {
                return Found { bound: best.outcome.makespan, best, stopped: false };
            }
        }
        // Half of the streams go on from the best of all, half from their own.
        for (stream, (start, found)) in streams.iter_mut().zip(found).enumerate() {
            let own = stream % 2 == 1 && number > 0 && found.left_out() == best.left_out();
            *start = if own { found } else { best.clone() };
        }
        spent += share;
        (control.progress)(spent, best.outcome.makespan);
    }
    let stopped = !done(&best) && (control.stop)();
    Found { bound, best, stopped }
}

/// Why a page was left out; `bench` is the problem without its pages, `whole` that with all of them.
fn reason(bench: &Problem, page: &Page, whole: &Network) -> UnfitReason {
    let fits = |problem: &Problem| {
        let found = first_solution(&Network::of_part(problem, whole), &|| false);
        (found.left_out() == 0).then_some(found.outcome.makespan)
    };
    let alone = Problem { pages: vec![page.clone()], ..bench.clone() };
    if fits(&alone).is_some() {
        return UnfitReason::NoRoom;
    }
    match fits(&Problem { session_end: None, ..alone }) {
        Some(end) => UnfitReason::SessionTooShort(end),
        None => UnfitReason::NeverAlone,
    }
}
