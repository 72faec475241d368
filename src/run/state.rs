//! The state of a run: the fold of its journal.

use std::collections::{BTreeMap, BTreeSet};

use jiff::{SignedDuration, Timestamp};

use super::bells::BellKey;
use super::entry::{Entry, What};
use super::pace::Pace;
use super::rescue::{Mishap, Rest};
use super::spec::{CoatSpec, PageSpec, RunSpec};

/// A coat that was sprayed.
#[derive(Debug, Clone, PartialEq)]
pub struct DoneCoat {
    /// As it was to be sprayed.
    pub coat: CoatSpec,
    /// When it was finished.
    pub at: Timestamp,
    /// So much before its time, s.
    pub early_s: i64,
    /// So much after its time, s.
    pub late_s: i64,
}

/// One page.
#[derive(Debug, Clone, PartialEq)]
pub struct PageState {
    /// What it is about.
    pub spec: PageSpec,
    /// The coats as they are planned by now.
    pub coats: Vec<CoatSpec>,
    /// The coats sprayed.
    pub done: Vec<DoneCoat>,
    /// What went wrong, when, and after how many coats.
    pub mishaps: Vec<(Mishap, Timestamp, usize)>,
    /// Added to the wait before the next coat, or before handling, s.
    pub extra_s: i64,
    /// The band of the label was missed: the next coat waits until its end.
    pub missed_window: bool,
    /// No further coat may be sprayed.
    pub ended: bool,
    /// The coats taken back: the reminders after each ring anew.
    pub(super) undone: Vec<usize>,
    /// How often the plan changed: what is due rings anew.
    pub(super) changed: u32,
}

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
            cancelled: false,
            finished: false,
            last_at: started_at,
        };
        let kept = kept(entries);
        for (number, entry) in entries.iter().enumerate() {
            let at = moved(entry.at, shifts[number]);
            state.last_at = state.last_at.max(at);
            if kept[number] {
                state.happen(at, &entry.what);
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

    fn happen(&mut self, at: Timestamp, what: &What) {
        match what {
            What::Checked { .. } => self.checked = true,
            What::CoatDone { page, coat, early_s, late_s } => {
                let Some(index) = page.checked_sub(1).filter(|index| *index < self.pages.len()) else { return };
                let page = &mut self.pages[index];
                if page.spray(*coat, at, *early_s, *late_s) {
                    self.owed_s += (*early_s).max(0);
                    let can = self.cans.entry(page.spec.sealer.clone()).or_default();
                    can.used_g += page.done.last().map_or(0.0, |done| done.coat.sealer_g);
                }
            }
            What::Undone { page, coat } => {
                if let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) {
                    page.undone.push(*coat);
                }
            }
            What::Mishap { page, mishap } => {
                let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) else { return };
                page.mishap(*mishap, at, &self.pace);
                if *mishap == Mishap::Empty {
                    self.cans.entry(page.spec.sealer.clone()).or_default().dead = true;
                }
            }
            What::WindowMissed { page, coat } => {
                if let Some(page) = page.checked_sub(1).and_then(|index| self.pages.get_mut(index)) {
                    page.miss_window(*coat);
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
            What::Started { .. } | What::ClockSet { .. } | What::Paused {} | What::Resumed {} => {}
        }
    }
}

impl PageState {
    fn new(spec: &PageSpec) -> Self {
        Self {
            spec: spec.clone(),
            coats: spec.coats.clone(),
            done: Vec::new(),
            mishaps: Vec::new(),
            extra_s: 0,
            missed_window: false,
            ended: false,
            undone: Vec::new(),
            changed: 0,
        }
    }

    /// How often that coat was taken back.
    pub(super) fn undone_of(&self, coat: usize) -> u32 {
        self.undone.iter().filter(|undone| **undone == coat).count() as u32
    }

    /// Whether it has all its coats, or may have no more.
    pub fn sprayed(&self) -> bool {
        self.ended || self.done.len() >= self.coats.len()
    }

    /// The coat to be sprayed next.
    pub fn next(&self) -> Option<&CoatSpec> {
        if self.ended { None } else { self.coats.get(self.done.len()) }
    }

    /// When the next coat is due.
    pub fn due_at(&self) -> Option<Timestamp> {
        let next = self.next()?;
        let Some(last) = self.done.last() else {
            return Some(later(self.spec.first_at, self.extra_s));
        };
        let dry = later(last.at, i64::from(last.coat.wait_min) * 60 + self.extra_s);
        let ordinary = next.not_before.map_or(dry, |at| at.max(dry));
        match last.coat.window_min {
            Some((_, Some(until_min))) if self.missed_window => Some(ordinary.max(later(last.at, seconds(until_min)))),
            _ => Some(ordinary),
        }
    }

    /// When the label's window for the next coat closes, if it is open now.
    pub fn window_closes_at(&self) -> Option<Timestamp> {
        self.next()?;
        let last = self.done.last()?;
        let (from_min, _) = last.coat.window_min.filter(|_| !self.missed_window)?;
        Some(later(last.at, seconds(from_min)))
    }

    /// When it may be handled, if all its coats are on.
    pub fn handle_at(&self) -> Option<Timestamp> {
        let last = self.done.last().filter(|_| self.sprayed())?;
        Some(later(last.at, self.spec.handle_after_s + self.extra_s))
    }

    /// What becomes allowed later, once all its coats are on.
    pub fn later(&self) -> Vec<(&str, &str, Timestamp)> {
        let Some(last) = self.done.last().filter(|_| self.sprayed()) else { return Vec::new() };
        let all = self.spec.later.iter();
        all.map(|later_on| (&*later_on.id, &*later_on.text, later(last.at, later_on.after_s + self.extra_s))).collect()
    }

    fn spray(&mut self, coat: usize, at: Timestamp, early_s: i64, late_s: i64) -> bool {
        // A coat that is not the next one was written twice: it does not count again.
        let Some(next) = self.coats.get(self.done.len()).filter(|next| next.number == coat && !self.ended) else {
            return false;
        };
        self.done.push(DoneCoat { coat: next.clone(), at, early_s, late_s });
        // What was not waited before this coat is waited after it.
        self.extra_s = early_s.max(0);
        self.missed_window = false;
        true
    }

    fn mishap(&mut self, mishap: Mishap, at: Timestamp, pace: &Pace) {
        self.mishaps.push((mishap, at, self.done.len()));
        let rest = mishap.rest();
        let wait_s = self.done.last().map_or(0, |done| i64::from(done.coat.wait_min) * 60);
        let extra_s = match rest {
            Rest::Unchanged => 0,
            Rest::DryLongerThenMists => (wait_s as f64 * pace.mishap_wait_factor).round() as i64,
            Rest::AirFirstThenMists => pace.blush_wait_s,
        };
        if rest == Rest::Unchanged {
            return;
        }
        self.extra_s = self.extra_s.max(extra_s);
        self.changed += 1;
        if let Some(mist) = self.spec.coats.iter().find(|coat| coat.mist).cloned() {
            for coat in self.coats.iter_mut().skip(self.done.len()).filter(|coat| !coat.mist) {
                *coat = coat.as_mist(&mist);
            }
        }
    }

    fn miss_window(&mut self, coat: usize) {
        if self.next().is_none_or(|next| next.number != coat) {
            return;
        }
        self.changed += 1;
        match self.done.last().and_then(|last| last.coat.window_min) {
            Some((_, Some(_))) => self.missed_window = true,
            Some((_, None)) => self.ended = true,
            None => {}
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

/// A moment some seconds later; at the end of time it stays there.
pub(super) fn later(at: Timestamp, by_s: i64) -> Timestamp {
    at.checked_add(SignedDuration::from_secs(by_s)).unwrap_or(Timestamp::MAX)
}

fn moved(at: Timestamp, by_s: i64) -> Timestamp {
    let clamp = if by_s < 0 { Timestamp::MIN } else { Timestamp::MAX };
    at.checked_add(SignedDuration::from_secs(by_s)).unwrap_or(clamp)
}

fn seconds(minutes: f64) -> i64 {
    (minutes * 60.0).round() as i64
}
