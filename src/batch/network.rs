//! A problem laid flat for the search: coats numbered page by page, pages in an order that does not depend on the file.

use super::air::AirKernel;
use super::problem::{Coat, Page, Presence, Problem, Schedule, Tick};

/// No limit.
pub(super) const NEVER: Tick = Tick::MAX / 4;

/// A coat, laid flat.
#[derive(Debug, Clone)]
pub(super) struct Operation {
    pub(super) page: usize,
    pub(super) spray: Tick,
    pub(super) can: usize,
    /// Whether it is its page's first.
    pub(super) first: bool,
    /// Whether it is its page's last.
    pub(super) last: bool,
    /// Least gap since the coat before.
    pub(super) gap_min: Tick,
    /// Greatest gap since the coat before, or [`NEVER`].
    pub(super) gap_max: Tick,
    /// Gap from which the coat before may be followed again, or [`NEVER`].
    pub(super) gap_resume: Tick,
    /// Least time from its start to the page leaving the rack.
    pub(super) tail: Tick,
}

/// A problem laid flat.
#[derive(Debug, Clone)]
pub(super) struct Network {
    pub(super) operations: Vec<Operation>,
    /// Coats of each page.
    pub(super) coats: Vec<std::ops::Range<usize>>,
    pub(super) release: Vec<Tick>,
    pub(super) final_dry: Vec<Tick>,
    /// Pages that are alike have the same number, and alike pages are neighbours.
    pub(super) kind: Vec<usize>,
    /// Number of the page in the problem.
    original: Vec<usize>,
    cans: usize,
    setup: Vec<Tick>,
    pub(super) initial_can: usize,
    /// Disjoint, in order.
    pub(super) pauses: Vec<(Tick, Tick)>,
    pub(super) session_end: Tick,
    /// Slots of the rack; `usize::MAX` where it never binds.
    pub(super) rack: usize,
    pub(super) air: Option<AirKernel>,
    pub(super) dose: Option<Dose>,
    /// Whether any gap has an upper limit.
    pub(super) has_windows: bool,
    /// Whether any closed window opens again.
    pub(super) has_resumes: bool,
    /// Longest changeover of the table.
    pub(super) longest_changeover: Tick,
    /// Most coats of a page.
    pub(super) longest_page: usize,
}

/// What the operator breathes.
#[derive(Debug, Clone)]
pub(super) struct Dose {
    pub(super) presence: Presence,
    pub(super) limit: f64,
    /// Air changes per tick.
    pub(super) exchange_per_tick: f64,
    /// Ticks of the eight hours the dose is taken over.
    pub(super) shift_ticks: f64,
    /// Share of the exposure limit released by each coat while spraying, and afterwards, per room volume.
    pub(super) released: Vec<(f64, f64)>,
    /// Evaporation per tick.
    pub(super) evaporation_per_tick: f64,
}

impl Network {
    /// Lays a faultless problem flat.
    pub(super) fn new(problem: &Problem) -> Self {
        Self::in_air(problem, None)
    }

    /// The same for a part of the pages of a network, whose room is known.
    pub(super) fn of_part(part: &Problem, whole: &Self) -> Self {
        Self::in_air(part, whole.air.as_ref())
    }

    fn in_air(problem: &Problem, room: Option<&AirKernel>) -> Self {
        let mut original: Vec<usize> = (0..problem.pages.len()).collect();
        original.sort_by(|left, right| order(&problem.pages[*left], &problem.pages[*right]));
        let mut network = Self {
            operations: Vec::new(),
            coats: Vec::new(),
            release: Vec::new(),
            final_dry: Vec::new(),
            kind: Vec::new(),
            cans: problem.setup.len(),
            setup: problem.setup.iter().flatten().copied().collect(),
            initial_can: problem.initial_can,
            pauses: merged(problem),
            session_end: problem.session_end.unwrap_or(NEVER),
            rack: problem.rack_slots.filter(|slots| *slots < problem.pages.len()).unwrap_or(usize::MAX),
            air: None,
            dose: None,
            has_windows: false,
            has_resumes: false,
            longest_changeover: problem.setup.iter().flatten().copied().max().unwrap_or(0),
            longest_page: problem.pages.iter().map(|page| page.coats.len()).max().unwrap_or(1),
            original,
        };
        let mut flat: Vec<&Coat> = Vec::new();
        for at in 0..network.original.len() {
            let page = &problem.pages[network.original[at]];
            let alike = at > 0 && order(&problem.pages[network.original[at - 1]], page).is_eq();
            network.kind.push(match network.kind.last() {
                Some(kind) if alike => *kind,
                Some(kind) => kind + 1,
                None => 0,
            });
            network.add(page);
            flat.extend(&page.coats);
        }
        if let Some(air) = &problem.air {
            network.air = Some(match room {
                Some(room) => room.for_coats(air, &flat),
                None => AirKernel::new(air, problem.tick_min(), &flat),
            });
            network.dose = Some(Dose {
                presence: air.presence,
                limit: air.dose_limit,
                exchange_per_tick: air.air_changes_per_h / 60.0 * problem.tick_min(),
                shift_ticks: 480.0 / problem.tick_min(),
                released: flat
                    .iter()
                    .map(|coat| {
                        let whole = coat.vapour_m3 / air.volume_m3;
                        (coat.flash_share * whole, (1.0 - coat.flash_share) * whole)
                    })
                    .collect(),
                evaporation_per_tick: air.evaporation_per_min * problem.tick_min(),
            });
        }
        network
    }

    fn add(&mut self, page: &Page) {
        let (number, begin) = (self.coats.len(), self.operations.len());
        for (index, coat) in page.coats.iter().enumerate() {
            let lag = index.checked_sub(1).and_then(|before| page.coats[before].lag);
            let resume = lag.and_then(|lag| lag.resume).unwrap_or(NEVER);
            let mut max = lag.and_then(|lag| lag.max).unwrap_or(NEVER);
            let mut min = lag.map_or(0, |lag| lag.min);
            if max < min || resume <= min {
                // The window never opens, or is never closed: what remains is one lower limit.
                min = if max < min { resume } else { resume.min(min) };
                max = NEVER;
            } else if resume <= max.saturating_add(1) {
                max = NEVER;
            }
            let gap_resume = if max == NEVER { NEVER } else { resume };
            self.has_windows |= max < NEVER;
            self.has_resumes |= gap_resume < NEVER;
            self.operations.push(Operation {
                page: number,
                spray: coat.spray,
                can: coat.can,
                first: index == 0,
                last: index + 1 == page.coats.len(),
                gap_min: min,
                gap_max: max,
                gap_resume,
                tail: 0,
            });
        }
        let mut tail = page.final_dry;
        for index in (begin..self.operations.len()).rev() {
            tail += self.operations[index].spray;
            self.operations[index].tail = tail;
            tail += self.operations[index].gap_min;
        }
        self.coats.push(begin..self.operations.len());
        self.release.push(page.release);
        self.final_dry.push(page.final_dry);
    }

    /// For each page of the problem the number it shares with those alike.
    pub(super) fn alike(&self) -> Vec<usize> {
        let mut alike = vec![0; self.page_count()];
        for (page, original) in self.original.iter().enumerate() {
            alike[*original] = self.kind[page];
        }
        alike
    }

    /// Number of pages.
    pub(super) fn page_count(&self) -> usize {
        self.coats.len()
    }

    /// Number of cans.
    pub(super) fn can_count(&self) -> usize {
        self.cans
    }

    /// Ticks of a changeover.
    pub(super) fn changeover(&self, from: usize, to: usize) -> Tick {
        self.setup[from * self.cans + to]
    }

    /// First start, not before `start`, whose changeover and coat touch no break.
    pub(super) fn clear_of_pauses(&self, start: Tick, changeover: Tick, spray: Tick) -> Tick {
        let mut start = start;
        let past = self.pauses.partition_point(|(_, end)| *end <= start - changeover);
        for (begin, end) in &self.pauses[past..] {
            if start + spray <= *begin {
                break;
            }
            if start - changeover < *end {
                start = end + changeover;
            }
        }
        start
    }

    /// The same schedule in the order of the problem; pages without starts are not sprayed.
    pub(super) fn schedule(&self, starts: &[Tick], sprayed: &[bool]) -> Schedule {
        let mut all = vec![Vec::new(); self.page_count()];
        for (page, coats) in self.coats.iter().enumerate() {
            if sprayed[page] {
                all[self.original[page]] = starts[coats.clone()].to_vec();
            }
        }
        Schedule { starts: all }
    }
}

/// An order of pages that depends on nothing but what they are.
fn order(left: &Page, right: &Page) -> std::cmp::Ordering {
    let shape = |page: &Page| (page.release, page.final_dry, page.coats.len());
    let coat = |coat: &Coat| (coat.spray, coat.can, coat.lag.map(|lag| (lag.min, lag.max, lag.resume)));
    shape(left)
        .cmp(&shape(right))
        .then_with(|| left.coats.iter().map(coat).cmp(right.coats.iter().map(coat)))
        .then_with(|| {
            let pairs = left.coats.iter().zip(&right.coats);
            pairs
                .map(|(left, right)| {
                    let vapour = left.vapour_m3.total_cmp(&right.vapour_m3);
                    vapour.then(left.flash_share.total_cmp(&right.flash_share))
                })
                .find(|order| order.is_ne())
                .unwrap_or(std::cmp::Ordering::Equal)
        })
}

/// The breaks as disjoint stretches in order, empty ones left out.
fn merged(problem: &Problem) -> Vec<(Tick, Tick)> {
    let mut all: Vec<(Tick, Tick)> =
        problem.pauses.iter().filter(|pause| pause.end > pause.start).map(|pause| (pause.start, pause.end)).collect();
    all.sort_unstable();
    let mut disjoint: Vec<(Tick, Tick)> = Vec::new();
    for (start, end) in all {
        match disjoint.last_mut() {
            Some((_, last)) if start <= *last => *last = (*last).max(end),
            _ => disjoint.push((start, end)),
        }
    }
    disjoint
}
