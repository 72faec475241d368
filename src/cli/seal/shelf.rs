//! Where the journals of runs are, and who holds which page.

use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;

use crate::diagnostic::Problem;
use crate::report::identity;
use crate::run::{Entry, Pace, ReadError, State, read_entries};
use crate::store::{Folders, Holder, Lock, StoreError, read_lines};

use super::super::Failure;
use super::super::files::{file_stem, free_path};

/// The folder of the journals: real runs and rehearsals apart.
#[derive(Debug, Clone)]
pub(in crate::cli) struct RunShelf {
    folder: PathBuf,
}

/// A journal and what it says.
#[derive(Debug)]
pub(in crate::cli) struct Found {
    /// Its file.
    pub(in crate::cli) path: PathBuf,
    /// The run.
    pub(in crate::cli) state: State,
}

/// A journal that cannot be read.
#[derive(Debug)]
pub(in crate::cli) struct Unreadable {
    /// Its file.
    pub(in crate::cli) path: PathBuf,
    /// Why.
    pub(in crate::cli) why: Failure,
}

impl RunShelf {
    /// The shelf of real runs, or of rehearsals.
    pub(in crate::cli) fn of(folders: &Folders, rehearsals: bool) -> Self {
        Self { folder: folders.of(if rehearsals { "rehearsals" } else { "runs" }) }
    }

    /// Every journal, oldest first, and those that cannot be read.
    pub(in crate::cli) fn all(&self, pace: &Pace) -> (Vec<Found>, Vec<Unreadable>) {
        let mut paths: Vec<PathBuf> = std::fs::read_dir(&self.folder)
            .map(|all| all.filter_map(|entry| Some(entry.ok()?.path())).collect())
            .unwrap_or_default();
        paths.retain(|path| path.extension().is_some_and(|ending| ending == "jsonl"));
        paths.sort();
        let mut found = Vec::new();
        let mut unreadable = Vec::new();
        for path in paths {
            match read(&path, pace) {
                Ok(Some(state)) => found.push(Found { path, state }),
                Ok(None) => {}
                Err(why) => unreadable.push(Unreadable { path, why }),
            }
        }
        (found, unreadable)
    }

    /// The place of a new journal: named by its moment and the page, so that the folder reads like a diary. The file of
    /// the page is in the name too: who holds the page is alone with that name.
    pub(in crate::cli) fn new_journal(&self, title: &str, file: &str, now: &ZonedDateTime) -> PathBuf {
        let called = file_stem(&title.replace(|letter: char| !letter.is_ascii(), "-"), "");
        let page = identity([file]);
        free_path(&self.folder, &format!("{}-{called}-{}", now.strftime("%Y-%m-%d-%H%M%S"), &page[..6]), "jsonl")
    }

    /// Takes the pages of a run for this process; the first that is taken already says who has it.
    pub(in crate::cli) fn take(&self, state: &State, now: &ZonedDateTime) -> Result<Vec<Lock>, StoreError> {
        let holder = Holder {
            what: format!("the run of \"{}\"", state.title()),
            process: std::process::id(),
            since: now.strftime("%H:%M").to_string(),
        };
        state.pages.iter().map(|page| Lock::take(&self.lock_of(&page.spec.file), &holder)).collect()
    }

    /// Who conducts a page at this moment.
    pub(in crate::cli) fn holder(&self, file: &str) -> Option<Holder> {
        Lock::holder(&self.lock_of(file))
    }

    fn lock_of(&self, file: &str) -> PathBuf {
        self.folder.join("locks").join(format!("{}.lock", identity([file])))
    }
}

/// Reads one journal; `None` if it holds nothing.
pub(super) fn read(path: &Path, pace: &Pace) -> Result<Option<State>, Failure> {
    let lines = read_lines(path)?;
    let entries = entries(path, &lines.lines)?;
    Ok(State::fold(&entries, pace))
}

/// The entries of a journal's lines.
pub(super) fn entries(path: &Path, lines: &[String]) -> Result<Vec<Entry>, Failure> {
    read_entries(lines).map_err(|error| {
        let (code, hint) = match error {
            ReadError::FutureVersion(_) => {
                ("journal-too-new", "use the newer coatbell for this run; nothing was changed")
            }
            _ => ("journal-damaged", "nothing was changed; what is in it can be read with any editor"),
        };
        let message = format!("cannot take up the run in `{}`: {error}", path.display());
        Failure::Refused(Box::new(Problem::new(code, message).with_hint(hint)))
    })
}

/// The failure of a page that another process conducts.
pub(in crate::cli) fn lock_words(error: StoreError) -> Failure {
    match error {
        StoreError::Held { .. } => {
            let hint = "go to that window; or leave the run there with q, and then `coatbell seal --resume` here";
            Failure::Refused(Box::new(Problem::new("run-under-way", error.to_string()).with_hint(hint)))
        }
        other => other.into(),
    }
}
