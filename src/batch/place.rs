//! Coats placed one by one in a given order, each as early as every rule allows.

use super::air::{AirKernel, AirState};
use super::problem::{Coat, Lag, Problem, Schedule, Tick};
use super::replan::Sprayed;

/// Turns after which a coat is taken as one that never fits.
const MOST_TURNS: Tick = 100_000;

/// The air of a room while coats are placed.
pub trait BenchAir {
    /// A coat is sprayed from this tick on.
    fn spray(&mut self, page: usize, coat: usize, start: Tick);

    /// The first tick, not before `from`, at which the air takes a coat; `None` if it never does.
    fn takes(&mut self, page: usize, coat: usize, from: Tick) -> Option<Tick>;
}

/// The air of a problem in closed form.
struct ProblemAir {
    kernel: AirKernel,
    /// Number of each page's first coat, and the spraying time of every coat.
    first: Vec<usize>,
    sprays: Vec<Tick>,
    state: AirState,
    at: Tick,
}

impl BenchAir for ProblemAir {
    fn spray(&mut self, page: usize, coat: usize, start: Tick) {
        let number = self.first[page] + coat;
        let before = self.kernel.later(self.state, (start - self.at).max(0));
        self.state = self.kernel.after(before, number);
        self.at = start + self.sprays[number];
    }

    fn takes(&mut self, page: usize, coat: usize, from: Tick) -> Option<Tick> {
        let number = self.first[page] + coat;
        let fits = |at: Tick| self.kernel.fits(self.kernel.later(self.state, (at - self.at).max(0)), number);
        (from..from + MOST_TURNS).find(|at| fits(*at))
    }
}

/// Air that never limits.
struct Unlimited;

impl BenchAir for Unlimited {
    fn spray(&mut self, _: usize, _: usize, _: Tick) {}

    fn takes(&mut self, _: usize, _: usize, from: Tick) -> Option<Tick> {
        Some(from)
    }
}

/// Clean air as the problem describes it.
pub(super) fn air_of(problem: &Problem) -> Box<dyn BenchAir> {
    let Some(air) = &problem.air else { return Box::new(Unlimited) };
    let coats: Vec<&Coat> = problem.pages.iter().flat_map(|page| &page.coats).collect();
    let mut first = Vec::with_capacity(problem.pages.len());
    let mut count = 0;
    for page in &problem.pages {
        first.push(count);
        count += page.coats.len();
    }
    Box::new(ProblemAir {
        kernel: AirKernel::new(air, problem.tick_min(), &coats),
        first,
        sprays: coats.iter().map(|coat| coat.spray).collect(),
        state: AirState::default(),
        at: 0,
    })
}

/// What stands already.
#[derive(Debug, Clone, Copy)]
pub(super) struct Given<'a> {
    /// The sprayed coats of each page, in order.
    pub(super) done: &'a [Vec<Sprayed>],
    /// Nothing is placed before.
    pub(super) now: Tick,
    /// For each page the earliest start of each of its coats; missing ones are not bounded.
    pub(super) bounds: &'a [Vec<Tick>],
}

/// A page that cannot go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stranded {
    /// The page, from 0.
    pub(super) page: usize,
    /// Its coat that could not be placed, from 0.
    pub(super) coat: usize,
    /// If its window had closed: the first start it could have had.
    pub(super) late: Option<Tick>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Placed {
    /// All coats, those given included.
    pub(super) coats: Vec<Vec<Sprayed>>,
    /// Pages that do not end.
    pub(super) stranded: Vec<Stranded>,
}

impl Placed {
    /// The starts.
    pub(super) fn schedule(&self) -> Schedule {
        Schedule { starts: self.coats.iter().map(|page| page.iter().map(|coat| coat.start).collect()).collect() }
    }

    /// When the last whole page is dry.
    pub(super) fn makespan(&self, problem: &Problem) -> Tick {
        let whole = self.coats.iter().zip(&problem.pages).filter(|(coats, page)| coats.len() == page.coats.len());
        whole.filter_map(|(coats, page)| Some(coats.last()?.end + page.final_dry)).max().unwrap_or(0)
    }
}

/// The bench while coats are placed.
struct Bench<'a> {
    problem: &'a Problem,
    bounds: &'a [Vec<Tick>],
    air: &'a mut dyn BenchAir,
    free: Tick,
    can: usize,
    /// When the finished pages leave the rack, in order, and how many pages are begun and not finished.
    leaving: Vec<Tick>,
    open: usize,
}

/// Places coats in an order. A page that cannot go on keeps what it has; its further coats are passed over.
pub(super) fn place(problem: &Problem, order: &[(usize, usize)], given: &Given<'_>, air: &mut dyn BenchAir) -> Placed {
    let mut bench = Bench {
        problem,
        bounds: given.bounds,
        air,
        free: given.now,
        can: problem.initial_can,
        leaving: Vec::new(),
        open: 0,
    };
    let mut coats: Vec<Vec<Sprayed>> = given.done.to_vec();
    coats.resize(problem.pages.len(), Vec::new());
    bench.take_over(&coats);
    let mut stranded: Vec<Stranded> = Vec::new();
    let mut out = vec![false; problem.pages.len()];
    for &(page, coat) in order {
        if out[page] {
            continue;
        }
        match bench.next(page, coat, &coats[page]) {
            Ok(sprayed) => coats[page].push(sprayed),
            Err(late) => {
                stranded.push(Stranded { page, coat, late });
                out[page] = true;
                // A page that cannot go on holds its slot until what is on it has dried.
                if let Some(last) = coats[page].last() {
                    bench.leave(last.end + problem.pages[page].final_dry);
                }
            }
        }
    }
    Placed { coats, stranded }
}

impl Bench<'_> {
    /// Takes over the air, the can and the rack that the sprayed coats leave.
    fn take_over(&mut self, done: &[Vec<Sprayed>]) {
        let mut past: Vec<(Sprayed, usize, usize)> = Vec::new();
        for (page, sprayed) in done.iter().enumerate() {
            past.extend(sprayed.iter().enumerate().map(|(coat, sprayed)| (*sprayed, page, coat)));
            let Some(last) = sprayed.last() else { continue };
            if sprayed.len() == self.problem.pages[page].coats.len() {
                self.leaving.push(last.end + self.problem.pages[page].final_dry);
            } else {
                self.open += 1;
            }
        }
        self.leaving.sort_unstable();
        past.sort_by_key(|(sprayed, ..)| sprayed.start);
        for (sprayed, page, coat) in past {
            self.air.spray(page, coat, sprayed.start);
            self.can = self.problem.pages[page].coats[coat].can;
            self.free = self.free.max(sprayed.end);
        }
    }

    /// Places the next coat of a page as early as every rule allows. If it cannot follow any more: the start it could
    /// have had but for its window.
    fn next(&mut self, page: usize, coat: usize, before: &[Sprayed]) -> Result<Sprayed, Option<Tick>> {
        let sheet = &self.problem.pages[page];
        let operation = &sheet.coats[coat];
        let change = self.problem.setup[self.can][operation.can];
        let bound = self.bounds.get(page).and_then(|bounds| bounds.get(coat)).copied().unwrap_or(0);
        let mut earliest = (self.free + change).max(sheet.release).max(bound);
        let lag = coat.checked_sub(1).and_then(|last| Some((before.last()?.end, sheet.coats[last].lag?)));
        if let Some((end, lag)) = lag {
            earliest = earliest.max(end + lag.resume.map_or(lag.min, |resume| resume.min(lag.min)));
        } else {
            earliest = earliest.max(self.rack_free().ok_or(None)?);
        }
        // Each turn moves the start forward past one rule; a day of ticks is more than any evening needs.
        for _ in 0..MOST_TURNS {
            let start = self.moved(earliest, change, (page, coat), lag)?;
            if start == earliest {
                let end = start + operation.spray;
                if self.problem.session_end.is_some_and(|stop| end > stop) {
                    return Err(None);
                }
                self.air.spray(page, coat, start);
                self.can = operation.can;
                self.free = end;
                self.open += usize::from(coat == 0);
                if coat + 1 == sheet.coats.len() {
                    self.leave(end + sheet.final_dry);
                }
                return Ok(Sprayed { start, end });
            }
            earliest = start;
        }
        Err(None)
    }

    /// The same start, or a later one that the first broken rule asks for. If the window has closed for good, the
    /// start that came too late.
    fn moved(
        &mut self,
        start: Tick,
        change: Tick,
        (page, coat): (usize, usize),
        lag: Option<(Tick, Lag)>,
    ) -> Result<Tick, Option<Tick>> {
        let end = start + self.problem.pages[page].coats[coat].spray;
        if let Some(pause) = self.problem.pauses.iter().find(|pause| start - change < pause.end && end > pause.start) {
            return Ok(pause.end + change);
        }
        if let Some((before, lag)) = lag
            && !lag.allows(start - before)
        {
            let gap = start - before;
            let opens = Some(lag.min).filter(|min| gap < *min && lag.max.is_none_or(|max| *min <= max));
            return opens.or(lag.resume).map(|gap| before + gap).ok_or(Some(start));
        }
        self.air.takes(page, coat, start).ok_or(None)
    }

    /// A page that was begun leaves the rack at a tick.
    fn leave(&mut self, leaves: Tick) {
        self.open -= 1;
        let at = self.leaving.partition_point(|other| *other <= leaves);
        self.leaving.insert(at, leaves);
    }

    /// When a slot of the rack is free; `None` if all are held by pages whose end is not known.
    fn rack_free(&self) -> Option<Tick> {
        let pages = self.leaving.len() + self.open;
        let Some(slots) = self.problem.rack_slots.filter(|slots| *slots <= pages) else { return Some(0) };
        // With n pages on r slots, a slot is free once n − r + 1 of them have left.
        self.leaving.get(pages - slots).copied()
    }
}
