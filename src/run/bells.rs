//! What rings, and when.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::page::{PageState, later};
use super::state::State;

/// Kinds of reminders, in the order in which those of one moment are given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BellKind {
    /// The pre-flight list before a first coat that lies ahead.
    Prepare,
    /// Leave the room now.
    LeaveRoom,
    /// Back with the mask on.
    ReturnMasked,
    /// A coat is due.
    CoatDue,
    /// The label's window closes soon.
    WindowClosing,
    /// A coat is overdue.
    Overdue,
    /// The room is clear without a mask.
    ClearUnmasked,
    /// The room is clear for the others.
    ClearOthers,
    /// A page may be handled.
    HandleDry,
    /// Something else became allowed.
    Milestone,
}

/// Which reminder: the same one is given once.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct BellKey {
    /// Kind.
    pub bell: BellKind,
    /// Page, from 1; 0 for the room.
    pub page: usize,
    /// Coat, from 1, that it is about or that it follows.
    pub coat: usize,
    /// Which time: a coat taken back or a plan changed makes it ring anew.
    #[serde(default)]
    pub round: u32,
    /// Number of an overdue reminder, or of a milestone, from 1.
    #[serde(default)]
    pub repeat: u32,
}

/// A reminder and its moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bell {
    /// Its moment.
    pub at: Timestamp,
    /// Which.
    pub key: BellKey,
}

/// A reminder to be given now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    /// The reminder.
    pub bell: Bell,
    /// How late it is, s.
    pub late_s: i64,
    /// Earlier ones of the same series that it stands for.
    pub instead_of: Vec<BellKey>,
}

/// Least time to the next coat for which leaving the room is worth a reminder, s.
const WORTH_LEAVING_S: i64 = 120;

impl State {
    /// Every reminder that is known by now, given or not.
    pub fn bells(&self) -> Vec<Bell> {
        if self.over() {
            return Vec::new();
        }
        let mut bells = self.all_bells();
        bells.sort_by_key(|bell| (bell.at, bell.key.bell, bell.key.page, bell.key.repeat));
        bells
    }

    /// Reminders to be given at `now`, in order. Of the reminders of one overdue coat only the last one counts.
    pub fn due(&self, now: Timestamp) -> Vec<Due> {
        let mut due: Vec<Due> = Vec::new();
        for bell in self.bells().into_iter().filter(|bell| bell.at <= now && !self.rung.contains(&bell.key)) {
            let series = |key: &BellKey| (key.bell, key.page, key.coat, key.round);
            let before = due
                .iter()
                .position(|due| bell.key.bell == BellKind::Overdue && series(&due.bell.key) == series(&bell.key));
            let mut instead_of = Vec::new();
            if let Some(before) = before {
                let earlier = due.remove(before);
                instead_of = earlier.instead_of;
                instead_of.push(earlier.bell.key);
            }
            let late_s = now.as_second() - bell.at.as_second();
            due.push(Due { bell, late_s, instead_of });
        }
        due
    }

    /// The next moment at which something rings or happens by itself, after `now`.
    pub fn next_moment(&self, now: Timestamp) -> Option<Timestamp> {
        if self.over() {
            return None;
        }
        let bells = self.all_bells().into_iter().map(|bell| bell.at);
        let windows = self.pages.iter().filter_map(PageState::window_closes_at);
        bells.chain(windows).filter(|at| *at > now).min()
    }

    /// Whether everything that keeps the program waiting has been said.
    pub(super) fn all_said(&self) -> bool {
        self.all_sprayed()
            && self.all_bells().iter().all(|bell| bell.key.bell == BellKind::Milestone || self.rung.contains(&bell.key))
    }

    fn all_bells(&self) -> Vec<Bell> {
        let mut bells = Vec::new();
        for (index, page) in self.pages.iter().enumerate() {
            self.bells_of_page(index + 1, page, &mut bells);
        }
        self.bells_of_room(&mut bells);
        bells
    }

    fn bells_of_page(&self, number: usize, page: &PageState, bells: &mut Vec<Bell>) {
        let round = page.undone_of(page.done.len()) + page.changed;
        let mut add = |kind, coat, repeat, at| {
            bells.push(Bell { at, key: BellKey { bell: kind, page: number, coat, round, repeat } });
        };
        if let (Some(next), Some(due)) = (page.next(), page.due_at()) {
            let prepare = later(due, -self.pace().prepare_s);
            if page.done.is_empty() && prepare > self.started_at {
                add(BellKind::Prepare, next.number, 0, prepare);
            }
            add(BellKind::CoatDue, next.number, 0, due);
            let sprayed = later(due, self.step_s(number - 1, next));
            let closes = page.window_closes_at();
            for (repeat, after_s) in self.pace().overdue_series().enumerate() {
                let at = later(sprayed, after_s);
                // Once the window is shut the coat is no longer wanted.
                if closes.is_none_or(|closes| at < closes) {
                    add(BellKind::Overdue, next.number, repeat as u32 + 1, at);
                }
            }
            if let Some(closes) = closes {
                add(BellKind::WindowClosing, next.number, 0, later(closes, -self.pace().window_warning_s).max(due));
            }
        }
        if let Some(handle) = page.handle_at() {
            add(BellKind::HandleDry, page.done.len(), 0, handle);
            for (place, (_, _, at)) in page.later().into_iter().enumerate() {
                add(BellKind::Milestone, page.done.len(), place as u32 + 1, at);
            }
        }
    }

    fn bells_of_room(&self, bells: &mut Vec<Bell>) {
        let Some((index, last)) = self.last_coat() else { return };
        let coat = last.coat.number;
        let round = self.pages[index].undone_of(coat);
        let mut add = |kind, page, at| {
            bells.push(Bell { at, key: BellKey { bell: kind, page, coat, round, repeat: 0 } });
        };
        let next = self.next_coat().map(|(_, at)| at);
        if next.is_none_or(|next| next > later(last.at, WORTH_LEAVING_S)) {
            add(BellKind::LeaveRoom, index + 1, last.at);
        }
        let after = |minutes: u32| later(last.at, i64::from(minutes) * 60 + self.air_later_s());
        if let Some(minutes) = self.return_min() {
            add(BellKind::ReturnMasked, index + 1, after(minutes));
        }
        if self.all_sprayed() {
            if let Some(minutes) = self.spec.clear_unmasked_min {
                add(BellKind::ClearUnmasked, index + 1, after(minutes));
            }
            if let Some(minutes) = self.spec.clear_others_min {
                add(BellKind::ClearOthers, index + 1, after(minutes));
            }
        }
    }

    /// Minutes after the last coat until one may come back with the mask; `None` if that is not known within a day.
    fn return_min(&self) -> Option<u32> {
        let (_, last) = self.last_coat()?;
        last.coat.return_masked_min
    }
}
