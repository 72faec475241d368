//! The state of a run: the fold of its journal.

use std::collections::{BTreeMap, BTreeSet};

use jiff::{SignedDuration, Timestamp};

use super::bells::{BellKey, BellKind};
use super::entry::{Entry, What};
use super::pace::Pace;
use super::page::{DoneCoat, Out, PageState, later};
use super::rescue::{Mishap, Rest};
use super::spec::{CoatSpec, RunSpec};

/// What a run took out of the cans of one sealer.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CanUse {
    /// Out of the can in hand, g.
    pub used_g: f64,
    /// New cans begun in this run.
    pub new_cans: u32,
    /// It died: what is in it does not come out.
    pub dead: bool,
}

/// A run.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    history: Vec<Entry>,
    pace: Pace,
    /// What the run is about, its moments as the clock shows now.
    pub spec: RunSpec,
    /// When it began.
    pub started_at: Timestamp,
    /// Mask and ignition were confirmed.
    pub checked: bool,
    /// The pages.
    pub pages: Vec<PageState>,
    /// The cans by sealer.
    pub cans: BTreeMap<String, CanUse>,
    /// Reminders given.
    pub(super) rung: BTreeSet<BellKey>,
    /// Seconds by which coats came too early, all in all: the air needs them too.
    pub(super) owed_s: i64,
    /// Seconds that the air takes longer than planned because the rest was planned anew.
    pub(super) air_s: i64,
    /// By how much the clock was set since the run began, s.
    pub(super) clock_set_s: i64,
    /// Something happened that the plan of the evening does not know of yet.
    pub(super) stale: bool,
    /// Begun pages end only after the quitting time.
    pub overtime: bool,
    /// It was given up.
    pub cancelled: bool,
    /// It is over.
    pub finished: bool,
    /// The moment of the last entry.
    pub last_at: Timestamp,
}

impl State {
    /// The state a journal says. `None` if it does not begin with a start.
    pub fn fold(entries: &[Entry], pace: &Pace) -> Option<Self> {
        let Some(Entry { what: What::Started { spec }, at, .. }) = entries.first() else { return None };
        let shifts = shifts(entries);
        let mut spec = (**spec).clone();
        for page in &mut spec.pages {
            page.first_at = moved(page.first_at, shifts[0]);
            for coat in &mut page.coats {
                coat.not_before = coat.not_before.map(|at| moved(at, shifts[0]));
            }
        }
        let pages = spec.pages.iter().map(PageState::new).collect();
        let cans = spec.pages.iter().map(|page| (page.sealer.clone(), CanUse::default())).collect();
        let started_at = moved(*at, shifts[0]);
        let mut state = Self {
            history: entries.to_vec(),
            pace: *pace,
            spec,
            started_at,
            checked: false,
            pages,
            cans,
            rung: BTreeSet::new(),
            owed_s: 0,
            air_s: 0,
            clock_set_s: shifts[0],
            stale: false,
            overtime: false,
            cancelled: false,
            finished: false,
            last_at: started_at,
        };
        let kept = kept(entries);
        for (number, entry) in entries.iter().enumerate() {
            let at = moved(entry.at, shifts[number]);
            state.last_at = state.last_at.max(at);
            if kept[number] {
                state.happen(at, &entry.what, shifts[number]);
            }
        }
        Some(state)
    }

    /// The state after one more entry.
    #[must_use]
    pub fn after(&self, entry: Entry) -> Self {
        let mut history = self.history.clone();
        history.push(entry);
        // The first entry is still the start.
        Self::fold(&history, &self.pace).unwrap_or_else(|| self.clone())
    }

    /// The journal.
    pub fn history(&self) -> &[Entry] {
        &self.history
    }

    /// The thresholds it goes by.
    pub fn pace(&self) -> &Pace {
        &self.pace
    }

    /// Whether every page has its coats.
    pub fn all_sprayed(&self) -> bool {
        self.pages.iter().all(PageState::sprayed)
    }

    /// Whether nothing more will happen in it.
    pub fn over(&self) -> bool {
        self.cancelled || self.finished
    }

    /// Whether it is a rehearsal.
    pub fn rehearsal(&self) -> bool {
        self.spec.rehearsal.is_some()
    }

    /// The page whose coat is due first, and when.
    pub fn next_coat(&self) -> Option<(usize, Timestamp)> {
        let due = self.pages.iter().enumerate().filter_map(|(number, page)| Some((number, page.due_at()?)));
        due.min_by_key(|(number, at)| (*at, *number))
    }

    /// The last coat sprayed on any page: its page and the coat.
    pub fn last_coat(&self) -> Option<(usize, &DoneCoat)> {
        let coats = self.pages.iter().enumerate().filter_map(|(number, page)| Some((number, page.done.last()?)));
        coats.max_by_key(|(_, coat)| coat.at)
    }

    /// The name of the run for people: the title of its page, and how many more there are.
    pub fn title(&self) -> String {
        let first = self.pages.first().map(|page| page.spec.title.clone()).unwrap_or_default();
        match self.pages.len() {
            0 | 1 => first,
            2 => format!("{first} and 1 more page"),
            more => format!("{first} and {} more pages", more - 1),
        }
    }

    /// Whether a coat that ends at this moment ends later than its step was to.
    fn off_plan(&self, index: usize, at: Timestamp) -> bool {
        let (Some(next), Some(due)) = (self.pages[index].next(), self.pages[index].due_at()) else { return false };
        self.spec.bench.is_some() && at > later(due, self.step_s(index, next))
    }

    /// How long a coat takes once it is due, s: its spraying, at a bench of many pages with taking the sheet and the can.
    pub fn step_s(&self, index: usize, coat: &CoatSpec) -> i64 {
        let spray_s = coat.spray_s.ceil() as i64;
        let step_s = self.spec.bench.as_ref().and_then(|bench| bench.step_s(index, coat.number.saturating_sub(1)));
        step_s.map_or(spray_s, |step_s| step_s.max(spray_s))
    }

    /// Seconds by which the air takes longer than planned: for coats that came too early, and for an evening planned anew.
    pub fn air_later_s(&self) -> i64 {
        self.owed_s + self.air_s
    }

    fn happen(&mut self, at: Timestamp, what: &What, shift_s: i64) {
        match what {
            What::Checked { .. } => self.checked = true,
            What::CoatDone { page, coat, early_s, late_s } => {
                let Some(index) = page.checked_sub(1).filter(|index| *index < self.pages.len()) else { return };
                self.stale |= self.off_plan(index, at) || *early_s > 0 || *late_s > 0;
                let page = &mut self.pages[index];
                if page.spray(*coat, at, *early_s, *late_s) {
                    self.stale |= page.extra_s > 0;
                    self.owed_s += (*early_s).max(0);
                    let can = self.cans.entry(page.spec.sealer.clone()).or_default();
                    can.used_g += page.done.last().map_or(0.0, |done| done.coat.sealer_g);
                }
            }
            What::Undone { page, coat } => {
                if let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) {
                    page.undone.push(*coat);
                    self.stale = true;
                }
            }
            What::Mishap { page, mishap } => {
                let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) else { return };
                page.mishap(*mishap, at, &self.pace);
                self.stale |= mishap.rest() != Rest::Unchanged;
                if *mishap == Mishap::Empty {
                    self.cans.entry(page.spec.sealer.clone()).or_default().dead = true;
                }
            }
            What::WindowMissed { page, coat } => {
                if let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) {
                    page.miss_window(*coat);
                    self.stale = true;
                }
            }
            What::Skipped { page, coat } => {
                if let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) {
                    page.skip(*coat);
                    self.stale = true;
                }
            }
            What::TakenOut { page } | What::PutBack { page } => {
                if let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) {
                    page.out = matches!(what, What::TakenOut { .. }).then_some(Out::Taken);
                    page.changed += 1;
                    self.stale = true;
                }
            }
            What::Replanned { starts, postponed, overtime, air_s, .. } => {
                self.stale = false;
                self.overtime = *overtime;
                self.air_s = (*air_s).max(0);
                for (index, page) in self.pages.iter_mut().enumerate() {
                    let round = page.undone_of(page.done.len()) + page.changed;
                    let given = |key: &&BellKey| {
                        (key.bell, key.page, key.round) == (BellKind::CoatDue, index + 1, round)
                            && page.next().is_some_and(|next| next.number == key.coat)
                    };
                    let rung = self.rung.iter().any(|key| given(&key));
                    if let Some(starts) = starts.get(index) {
                        page.replan(starts, shift_s, rung);
                    }
                    if postponed.contains(&(index + 1)) {
                        page.out = Some(Out::Postponed);
                    }
                }
            }
            What::NewCan { page } => {
                if let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get(index)) {
                    let can = self.cans.entry(page.spec.sealer.clone()).or_default();
                    *can = CanUse { used_g: 0.0, new_cans: can.new_cans + 1, dead: false };
                }
            }
            What::Rung { bell, .. } => {
                self.rung.insert(bell.clone());
            }
            What::Cancelled {} => self.cancelled = true,
            What::Finished {} => self.finished = true,
            What::ClockSet { .. } => self.stale = self.spec.bench.is_some(),
            What::Started { .. } | What::Paused {} | What::Resumed {} => {}
        }
    }
}

/// By how much each entry's moment is moved: by every setting of the clock after it.
fn shifts(entries: &[Entry]) -> Vec<i64> {
    let mut shifts = vec![0; entries.len()];
    let mut by = 0;
    for (number, entry) in entries.iter().enumerate().rev() {
        shifts[number] = by;
        if let What::ClockSet { by_s } = entry.what {
            by += by_s;
        }
    }
    shifts
}

/// Which entries count: a coat that was taken back does not.
fn kept(entries: &[Entry]) -> Vec<bool> {
    let mut kept = vec![true; entries.len()];
    for (number, entry) in entries.iter().enumerate() {
        let What::Undone { page, coat } = entry.what else { continue };
        let taken_back = entries[..number].iter().enumerate().rev().find(|(at, before)| {
            kept[*at]
                && matches!(before.what, What::CoatDone { page: its_page, coat: its_coat, .. }
                    if its_page == page && its_coat == coat)
        });
        if let Some((at, _)) = taken_back {
            kept[at] = false;
        }
    }
    kept
}

fn moved(at: Timestamp, by_s: i64) -> Timestamp {
    let clamp = if by_s < 0 { Timestamp::MIN } else { Timestamp::MAX };
    at.checked_add(SignedDuration::from_secs(by_s)).unwrap_or(clamp)
}
