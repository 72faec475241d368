//! From a key to what happened, or why not.

use jiff::Timestamp;

use super::entry::What;
use super::rescue::Mishap;
use super::state::State;

/// What a person asks for. Pages count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Command {
    /// The next coat of a page is sprayed.
    Sprayed {
        /// Page.
        page: usize,
        /// Although it is early.
        insist: bool,
    },
    /// The last coat was not sprayed after all.
    Undo,
    /// Something went wrong.
    Mishap {
        /// Page.
        page: usize,
        /// What.
        mishap: Mishap,
    },
    /// Leave out the next coat of a page.
    Skip {
        /// Page.
        page: usize,
    },
    /// Leave a page as it is for this evening, or go on with one that was left.
    TakeOut {
        /// Page.
        page: usize,
    },
    /// A new can is in hand.
    NewCan {
        /// Page.
        page: usize,
    },
    /// The pre-flight list is gone through; mask and ignition are confirmed.
    Checked,
    /// Give the run up.
    Cancel,
}

/// Why something asked for is not done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// The pre-flight list comes first.
    NotChecked,
    /// It is too early for this coat.
    Early {
        /// Page, from 0.
        page: usize,
        /// Coat.
        coat: usize,
        /// When it is due.
        due: Timestamp,
        /// Seconds until then.
        early_s: i64,
    },
    /// All coats are on.
    NothingLeft,
    /// No coat was sprayed yet.
    NothingToUndo,
    /// The first coat cannot be left out.
    FirstCoat,
    /// There is no such page.
    NoSuchPage,
    /// The run is over.
    Over,
}

impl State {
    /// What a command comes to at `now`.
    ///
    /// # Errors
    /// Why it is not done.
    pub fn decide(&self, command: Command, now: Timestamp) -> Result<What, Refusal> {
        if self.over() {
            return Err(Refusal::Over);
        }
        match command {
            Command::Sprayed { page, insist } => self.spray(page, insist, now),
            Command::Undo => {
                let (page, done) = self.last_coat().ok_or(Refusal::NothingToUndo)?;
                Ok(What::Undone { page: page + 1, coat: done.coat.number })
            }
            Command::Mishap { page, mishap } => {
                self.pages.get(page).ok_or(Refusal::NoSuchPage)?;
                Ok(What::Mishap { page: page + 1, mishap })
            }
            Command::Skip { page } => {
                let state = self.pages.get(page).ok_or(Refusal::NoSuchPage)?;
                let next = state.next().ok_or(Refusal::NothingLeft)?;
                // The first coat is what keeps the others from soaking in.
                if state.done.is_empty() {
                    Err(Refusal::FirstCoat)
                } else {
                    Ok(What::Skipped { page: page + 1, coat: next.number })
                }
            }
            Command::TakeOut { page } => {
                let state = self.pages.get(page).ok_or(Refusal::NoSuchPage)?;
                match state.out {
                    Some(_) => Ok(What::PutBack { page: page + 1 }),
                    None if state.next().is_none() => Err(Refusal::NothingLeft),
                    None => Ok(What::TakenOut { page: page + 1 }),
                }
            }
            Command::NewCan { page } => {
                self.pages.get(page).ok_or(Refusal::NoSuchPage)?;
                Ok(What::NewCan { page: page + 1 })
            }
            Command::Checked => Ok(What::Checked { by: "keys".to_owned() }),
            Command::Cancel => Ok(What::Cancelled {}),
        }
    }

    fn spray(&self, index: usize, insist: bool, now: Timestamp) -> Result<What, Refusal> {
        let page = self.pages.get(index).ok_or(Refusal::NoSuchPage)?;
        let (Some(next), Some(due)) = (page.next(), page.due_at()) else { return Err(Refusal::NothingLeft) };
        if !self.checked {
            return Err(Refusal::NotChecked);
        }
        // Half a second counts as early too: whole seconds, rounded up.
        let early_s = (due.as_millisecond() - now.as_millisecond() + 999).div_euclid(1000).max(0);
        if early_s > 0 && !insist {
            return Err(Refusal::Early { page: index, coat: next.number, due, early_s });
        }
        let sprayed_by = due.as_second() + self.step_s(index, next);
        let late_s = now.as_second() - sprayed_by;
        let late_s = if late_s >= self.pace().late_s { late_s } else { 0 };
        Ok(What::CoatDone { page: index + 1, coat: next.number, early_s, late_s })
    }

    /// What happens by the clock alone: a window that closed, the end of the run.
    pub fn automatic(&self, now: Timestamp) -> Option<What> {
        if self.over() {
            return None;
        }
        for (index, page) in self.pages.iter().enumerate() {
            if let (Some(next), Some(closes)) = (page.next(), page.window_closes_at())
                && now >= closes
            {
                return Some(What::WindowMissed { page: index + 1, coat: next.number });
            }
        }
        self.all_said().then_some(What::Finished {})
    }
}
