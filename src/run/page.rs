//! The state of one page of a run.

use jiff::{SignedDuration, Timestamp};

use super::pace::Pace;
use super::rescue::{Mishap, Rest};
use super::spec::{CoatSpec, PageSpec};

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
    /// The first coat is not due before, as planned by now.
    pub first_at: Timestamp,
    /// The coats as they are planned by now.
    pub coats: Vec<CoatSpec>,
    /// The coats sprayed.
    pub done: Vec<DoneCoat>,
    /// What went wrong, when, and after how many coats.
    pub mishaps: Vec<(Mishap, Timestamp, usize)>,
    /// Added to the wait before the next coat, or before handling, s.
    pub extra_s: i64,
    /// Until when what went wrong since the last coat is to be waited for.
    mishap_until: Option<Timestamp>,
    /// The band of the label was missed: the next coat waits until its end.
    pub missed_window: bool,
    /// No further coat may be sprayed.
    pub ended: bool,
    /// It is left as it is, for now.
    pub out: Option<Out>,
    /// The coats taken back: the reminders after each ring anew.
    pub(super) undone: Vec<usize>,
    /// How often the plan changed: what is due rings anew.
    pub(super) changed: u32,
}

/// Why a page is not sprayed any further in this run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Out {
    /// It was taken out by hand.
    Taken,
    /// It was not begun, and no time is left for it before the quitting time.
    Postponed,
}

impl PageState {
    pub(super) fn new(spec: &PageSpec) -> Self {
        Self {
            spec: spec.clone(),
            first_at: spec.first_at,
            coats: spec.coats.clone(),
            done: Vec::new(),
            mishaps: Vec::new(),
            extra_s: 0,
            mishap_until: None,
            missed_window: false,
            ended: false,
            out: None,
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
        self.ended || self.out.is_some() || self.done.len() >= self.coats.len()
    }

    /// The coat to be sprayed next.
    pub fn next(&self) -> Option<&CoatSpec> {
        if self.ended || self.out.is_some() { None } else { self.coats.get(self.done.len()) }
    }

    /// When the next coat is due.
    pub fn due_at(&self) -> Option<Timestamp> {
        let next = self.next()?;
        let Some(dry) = self.dry_at() else {
            return Some(later(self.first_at, self.extra_s));
        };
        Some(next.not_before.map_or(dry, |at| at.max(dry)))
    }

    /// From when the coat that is on takes another, whatever was planned.
    pub(super) fn dry_at(&self) -> Option<Timestamp> {
        let last = self.done.last()?;
        let dry = later(last.at, i64::from(last.coat.wait_min) * 60 + self.extra_s);
        match last.coat.window_min {
            Some((_, Some(until_min))) if self.missed_window => Some(dry.max(later(last.at, seconds(until_min)))),
            _ => Some(dry),
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

    pub(super) fn spray(&mut self, coat: usize, at: Timestamp, early_s: i64, late_s: i64) -> bool {
        // A coat that is not the next one was written twice: it does not count again.
        let Some(next) = self.coats.get(self.done.len()).filter(|next| next.number == coat && !self.ended) else {
            return false;
        };
        self.done.push(DoneCoat { coat: next.clone(), at, early_s, late_s });
        // What was not waited before this coat is waited after it: it went wrong while it was sprayed, or was too early.
        let unwaited_s = self.mishap_until.take().map_or(0, |until| until.as_second() - at.as_second());
        self.extra_s = early_s.max(unwaited_s).max(0);
        self.missed_window = false;
        true
    }

    pub(super) fn mishap(&mut self, mishap: Mishap, at: Timestamp, pace: &Pace) {
        self.mishaps.push((mishap, at, self.done.len()));
        let rest = mishap.rest();
        // Before the first coat is noted it is that coat which went wrong.
        let coat = self.done.last().map(|done| &done.coat).or(self.coats.first());
        let wait_s = coat.map_or(0, |coat| i64::from(coat.wait_min) * 60);
        let extra_s = match rest {
            Rest::Unchanged => 0,
            Rest::DryLongerThenMists => (wait_s as f64 * pace.mishap_wait_factor).round() as i64,
            Rest::AirFirstThenMists => pace.blush_wait_s,
        };
        if rest == Rest::Unchanged {
            return;
        }
        self.mishap_until = self.mishap_until.max(Some(later(at, extra_s)));
        // Nothing that would have to dry lies below the first coat; better air is waited for all the same.
        if !self.done.is_empty() || rest == Rest::AirFirstThenMists {
            self.extra_s = self.extra_s.max(extra_s);
        }
        self.changed += 1;
        if let Some(mist) = self.spec.coats.iter().find(|coat| coat.mist).cloned() {
            for coat in self.coats.iter_mut().skip(self.done.len()).filter(|coat| !coat.mist) {
                *coat = coat.as_mist(&mist);
            }
        }
    }

    /// Leaves out the next coat.
    pub(super) fn skip(&mut self, coat: usize) {
        let at = self.done.len();
        if self.next().is_some_and(|next| next.number == coat) && at > 0 {
            self.coats.remove(at);
            self.changed += 1;
        }
    }

    /// Takes over when the coats still to come were planned anew. Waits stand above it: see [`Self::due_at`].
    pub(super) fn replan(&mut self, starts: &[(usize, Timestamp)], shift_s: i64, rung: bool) {
        let due = self.due_at();
        let begun = self.done.len();
        for coat in self.coats.iter_mut().skip(begun) {
            if let Some((_, at)) = starts.iter().find(|(number, _)| *number == coat.number) {
                coat.not_before = Some(later(*at, shift_s));
            }
        }
        if begun == 0
            && let Some((_, at)) = starts.first()
        {
            self.first_at = later(*at, shift_s);
        }
        // A reminder that was given for a moment that is not the right one any more is given again.
        if rung && self.due_at() > due {
            self.changed += 1;
        }
    }

    pub(super) fn miss_window(&mut self, coat: usize) {
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

/// A moment some seconds later; at the end of time it stays there.
pub(super) fn later(at: Timestamp, by_s: i64) -> Timestamp {
    at.checked_add(SignedDuration::from_secs(by_s)).unwrap_or(Timestamp::MAX)
}

fn seconds(minutes: f64) -> i64 {
    (minutes * 60.0).round() as i64
}
