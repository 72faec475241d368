//! Handing a run that is over to the history. A run told twice counts once there, so telling it again is no harm.

use std::path::Path;
use std::time::Duration;

use jiff::ZonedDateTime;

use crate::record::history::{self, Lines, PastRun};
use crate::run::{State, past_run};
use crate::store::{Folders, Holder, Lock, Log, StoreError};

/// The file of the history below the state.
pub(in crate::cli) const HISTORY_FILE: &str = "history.jsonl";

/// How often, and how long in between, a history that somebody else writes is tried again.
const TRIES: u32 = 20;
const BETWEEN: Duration = Duration::from_millis(50);

/// The history open for writing, alone.
struct Kept {
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
    let stem = journal.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let many = state.pages.len() > 1;
    let runs = state.pages.iter().enumerate().filter_map(|(index, page)| {
        let id = if many { format!("{stem}-{}", index + 1) } else { stem.clone() };
        // A run begun by a program that kept less of its plan has no past run.
        serde_json::from_value::<PastRun>(past_run(state, page, &id, now.time_zone())?).ok()
    });
    let runs: Vec<PastRun> = runs.collect();
    if runs.is_empty() {
        return Ok(());
    }
    let mut kept = open(folders, now)?;
    runs.iter().try_for_each(|run| history::append(&mut kept, run))
}

fn open(folders: &Folders, now: &ZonedDateTime) -> Result<Kept, StoreError> {
    let holder = Holder {
        what: "a run that ends".to_owned(),
        process: std::process::id(),
        since: now.strftime("%H:%M").to_string(),
    };
    let mut tries = 0;
    let alone = loop {
        match Lock::take(&folders.of("history.lock"), &holder) {
            Err(StoreError::Held { .. }) if tries < TRIES => {
                tries += 1;
                std::thread::sleep(BETWEEN);
            }
            taken => break taken?,
        }
    };
    let (log, _) = Log::open(&folders.of(HISTORY_FILE))?;
    Ok(Kept { log, _alone: alone })
}
