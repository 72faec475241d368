//! Handing a run that is over to the history. A run told twice counts once there, so telling it again is no harm.

use std::path::Path;

use jiff::ZonedDateTime;

use crate::record::history::{self, Lines, PastRun};
use crate::run::{State, past_run};
use crate::store::{Folders, Holder, Lock, Log, StoreError};

/// The file of the history below the state.
pub(in crate::cli) const HISTORY_FILE: &str = "history.jsonl";

/// The history open for writing, alone.
pub(in crate::cli) struct Kept {
    log: Log,
    _alone: Lock,
}

impl Lines for Kept {
    type Error = StoreError;

    fn append(&mut self, line: &str) -> Result<(), StoreError> {
        self.log.append(line)
    }
}

/// Tells the history of every page of a real run that has a coat on.
pub(in crate::cli) fn tell(
    folders: &Folders,
    state: &State,
    journal: &Path,
    now: &ZonedDateTime,
) -> Result<(), StoreError> {
    if state.rehearsal() || !state.over() {
        return Ok(());
    }
    let runs = state.pages.iter().enumerate().filter_map(|(index, page)| {
        // A run begun by a program that kept less of its plan has no past run.
        let past = past_run(state, page, &run_id(journal, state, index), now.time_zone())?;
        serde_json::from_value::<PastRun>(past).ok()
    });
    let runs: Vec<PastRun> = runs.collect();
    if runs.is_empty() {
        return Ok(());
    }
    let mut kept = open(folders, "a run that ends", now)?;
    runs.iter().try_for_each(|run| history::append(&mut kept, run))
}

/// The id of a page of a run in the history: the name of its journal, with the page's number where there are more.
pub(in crate::cli) fn run_id(journal: &Path, state: &State, index: usize) -> String {
    let stem = journal.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    if state.pages.len() > 1 { format!("{stem}-{}", index + 1) } else { stem }
}

/// Opens the history for writing, alone.
pub(in crate::cli) fn open(folders: &Folders, what: &str, now: &ZonedDateTime) -> Result<Kept, StoreError> {
    let holder =
        Holder { what: what.to_owned(), process: std::process::id(), since: now.strftime("%H:%M").to_string() };
    let alone = Lock::wait_for(&folders.of("history.lock"), &holder)?;
    let (log, _) = Log::open(&folders.of(HISTORY_FILE))?;
    Ok(Kept { log, _alone: alone })
}
