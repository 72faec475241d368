//! Closing runs that are over though nobody watched their end.

use jiff::ZonedDateTime;

use super::history;
use super::journal::Journal;
use super::shelf::{Found, RunShelf};
use crate::run::{BellKind, Entry, State, What};
use crate::store::Folders;

/// Whether everything that keeps a run open lies behind: sprayed, dry and aired.
pub(in crate::cli) fn lies_behind(state: &State, now: &ZonedDateTime) -> bool {
    let now = now.timestamp();
    !state.over()
        && state.all_sprayed()
        && state.bells().iter().all(|bell| bell.key.bell == BellKind::Milestone || bell.at <= now)
}

/// Writes the end of such a run, unless somebody is at it. What is due in it has been said before.
pub(in crate::cli) fn close(shelf: &RunShelf, found: &Found, folders: &Folders, now: &ZonedDateTime) -> Option<State> {
    let _locks = shelf.take(&found.state, now).ok()?;
    let (mut journal, _) = Journal::open(&found.path).ok()?;
    let mut state = found.state.clone();
    let mut write = |state: &mut State, what: What| {
        let entry = Entry::new(now.timestamp(), what);
        *state = state.after(entry.clone());
        journal.write(entry).is_ok()
    };
    for due in found.state.due(now.timestamp()) {
        for key in due.instead_of.into_iter().chain([due.bell.key]) {
            write(&mut state, What::Rung { bell: key, late_s: due.late_s });
        }
    }
    let ended = write(&mut state, What::Finished {});
    // A history that cannot be written is told again by the next who can: the journal holds everything.
    let _ = history::tell(folders, &state, &found.path, now);
    ended.then_some(state)
}
