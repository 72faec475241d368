//! The bench problem: pages, coats, one operator, one rack, one room, in whole ticks.
//!
//! This is the model the engine schedules. It knows no files and no physics: a batch of planned pages is mapped onto
//! it (waits become lags, a masked return is part of the least lag), and a bare problem file is read into it.

use serde::{Deserialize, Serialize};

use super::fault::{Fault, faults};

/// Time at the bench in whole ticks from the start of the session.
pub type Tick = i64;

/// A count as ticks or places.
pub(super) fn ticks(count: usize) -> Tick {
    Tick::try_from(count).unwrap_or(Tick::MAX)
}

/// A whole evening at one bench.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Problem {
    /// Name it is reported under.
    pub name: String,
    /// Length of a tick, s.
    pub tick_s: f64,
    /// Pages, in the order of the file.
    pub pages: Vec<Page>,
    /// Pages the rack holds at once; `None` is no limit.
    pub rack_slots: Option<usize>,
    /// Can in the hand at the start.
    pub initial_can: usize,
    /// `setup[from][to]`: ticks of a changeover immediately before a coat.
    pub setup: Vec<Vec<Tick>>,
    /// Breaks: nothing is sprayed or changed over.
    pub pauses: Vec<Pause>,
    /// Every coat ends by then; `None` is no limit.
    pub session_end: Option<Tick>,
    /// Air of the room; `None` where it never limits.
    pub air: Option<RoomAir>,
}

/// One sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Page {
    /// Name it is reported under.
    pub label: String,
    /// Not before this tick.
    pub release: Tick,
    /// Ticks on the rack after the last coat.
    pub final_dry: Tick,
    /// Coats in order; at least one.
    pub coats: Vec<Coat>,
}

/// One coat of a page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Coat {
    /// Ticks the operator is busy: handling and spraying.
    pub spray: Tick,
    /// Can it is sprayed from.
    pub can: usize,
    /// Wait before the next coat; `None` on the last.
    pub lag: Option<Lag>,
    /// Vapour it releases over its exposure limit, m³ of air filled to the limit.
    pub vapour_m3: f64,
    /// Share of the vapour released while spraying; the rest evaporates afterwards.
    pub flash_share: f64,
}

/// Allowed gaps between the end of a coat and the start of the next: `[min, max]`, or at least `resume`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lag {
    /// Least gap, ticks.
    pub min: Tick,
    /// Greatest gap of the window; `None` is no limit.
    pub max: Option<Tick>,
    /// Gap from which it is allowed again after the window has closed.
    pub resume: Option<Tick>,
}

impl Lag {
    /// Whether a gap is allowed.
    pub fn allows(&self, gap: Tick) -> bool {
        gap >= self.min && self.max.is_none_or(|max| gap <= max) || self.resume.is_some_and(|resume| gap >= resume)
    }
}

/// A break, from its start up to but not including its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pause {
    /// First tick of the break.
    pub start: Tick,
    /// First tick after it.
    pub end: Tick,
}

/// A well-mixed room whose air must stay below a ceiling at every moment.
///
/// `V dI/dt = released(t) − a V I` with the index `I` (share of the exposure limit), volume `V` and air changes `a`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RoomAir {
    /// Volume, m³.
    pub volume_m3: f64,
    /// Air changes, 1/h.
    pub air_changes_per_h: f64,
    /// First-order evaporation from the wet page, 1/min.
    pub evaporation_per_min: f64,
    /// Greatest index allowed at any moment.
    pub ceiling: f64,
    /// Greatest mean index over eight hours the operator may breathe.
    pub dose_limit: f64,
    /// When the operator breathes the room's air.
    pub presence: Presence,
}

/// When the operator breathes the room's air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Presence {
    /// Only while spraying or changing over.
    AtWork,
    /// From the start to the end of the last coat.
    Throughout,
}

impl Problem {
    /// Everything that makes the problem one that cannot be scheduled, each with the page and the cure.
    pub fn faults(&self) -> Vec<Fault> {
        faults(self)
    }

    /// The bench with no page on it.
    pub(super) fn without_pages(&self) -> Self {
        Self {
            name: self.name.clone(),
            tick_s: self.tick_s,
            pages: Vec::new(),
            rack_slots: self.rack_slots,
            initial_can: self.initial_can,
            setup: self.setup.clone(),
            pauses: self.pauses.clone(),
            session_end: self.session_end,
            air: self.air.clone(),
        }
    }

    /// Number of coats.
    pub fn coat_count(&self) -> usize {
        self.pages.iter().map(|page| page.coats.len()).sum()
    }

    /// Length of a tick, min.
    pub fn tick_min(&self) -> f64 {
        self.tick_s / 60.0
    }
}

/// When every coat starts: for each page, in the order of the problem, the start ticks of its coats; a page that is
/// not sprayed in this session has none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Schedule {
    /// Start ticks.
    pub starts: Vec<Vec<Tick>>,
}
