//! The journal of a run: what happened, one JSON object a line.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::bells::BellKey;
use super::rescue::Mishap;
use super::spec::RunSpec;

/// Version of the journal this program writes, and the newest it reads.
pub const JOURNAL_VERSION: u32 = 1;

/// One line of the journal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Version of the line.
    pub v: u32,
    /// When, by the clock of the run.
    pub at: Timestamp,
    /// What happened.
    #[serde(flatten)]
    pub what: What,
}

/// What happened. Pages and coats count from 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case")]
pub enum What {
    /// The run began.
    Started {
        /// All it is about.
        spec: Box<RunSpec>,
    },
    /// The pre-flight list was gone through.
    Checked {
        /// Mask and ignition were confirmed.
        by: String,
    },
    /// A coat was sprayed.
    CoatDone {
        /// Page.
        page: usize,
        /// Coat.
        coat: usize,
        /// So many seconds before its time, insisted on.
        early_s: i64,
        /// So many seconds after its time.
        late_s: i64,
    },
    /// The last coat of a page was not sprayed after all.
    Undone {
        /// Page.
        page: usize,
        /// Coat.
        coat: usize,
    },
    /// Something went wrong.
    Mishap {
        /// Page.
        page: usize,
        /// What.
        mishap: Mishap,
    },
    /// The label's recoat window closed before the coat was sprayed.
    WindowMissed {
        /// Page.
        page: usize,
        /// The coat that was not sprayed.
        coat: usize,
    },
    /// A coat is left out.
    Skipped {
        /// Page.
        page: usize,
        /// Coat.
        coat: usize,
    },
    /// A page is left as it is, for this evening.
    TakenOut {
        /// Page.
        page: usize,
    },
    /// A page that was left goes on.
    PutBack {
        /// Page.
        page: usize,
    },
    /// The rest of the evening was planned anew.
    Replanned {
        /// For each page the coats to come with their starts.
        starts: Vec<Vec<(usize, Timestamp)>>,
        /// Pages that are left for another day.
        postponed: Vec<usize>,
        /// Pages that cannot go on in time and keep what was planned.
        stuck: Vec<usize>,
        /// Begun pages end only after the quitting time.
        overtime: bool,
        /// After the last coat the air takes so much longer than in the first plan, s.
        air_s: i64,
    },
    /// A new can of the page's sealer is in hand.
    NewCan {
        /// Page.
        page: usize,
    },
    /// A reminder was given.
    Rung {
        /// Which.
        #[serde(flatten)]
        bell: BellKey,
        /// So late, s.
        late_s: i64,
    },
    /// The clock was set by so many seconds while the run was watched.
    ClockSet {
        /// Forward is positive.
        by_s: i64,
    },
    /// The program was left; the run goes on.
    Paused {},
    /// The program is back.
    Resumed {},
    /// The run was given up.
    Cancelled {},
    /// Everything is sprayed, dry and aired.
    Finished {},
}

impl Entry {
    /// A line of this version.
    pub fn new(at: Timestamp, what: What) -> Self {
        Self { v: JOURNAL_VERSION, at, what }
    }

    /// The line without its end.
    ///
    /// # Panics
    /// Never: every part of an entry can be written as JSON.
    pub fn line(&self) -> String {
        serde_json::to_string(self).expect("an entry holds only texts, numbers and lists")
    }
}

/// Why a journal cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// A newer program wrote it.
    #[error("it was written by a newer coatbell (journal version {0})")]
    FutureVersion(u32),
    /// A line is no entry.
    #[error("line {0} is not an entry of a run")]
    NotAnEntry(usize),
    /// It does not begin with the start of a run.
    #[error("it does not begin with the start of a run")]
    NoStart,
}

/// Reads the lines of a journal. Nothing is ever skipped: a line that is not understood may be a coat.
///
/// # Errors
/// If a newer program wrote a line, or a line is not understood.
pub fn read_entries<S: AsRef<str>>(lines: &[S]) -> Result<Vec<Entry>, ReadError> {
    #[derive(Deserialize)]
    struct Version {
        v: u32,
    }
    let read = |(at, line): (usize, &S)| {
        let version: Version = serde_json::from_str(line.as_ref()).map_err(|_| ReadError::NotAnEntry(at + 1))?;
        if version.v > JOURNAL_VERSION {
            return Err(ReadError::FutureVersion(version.v));
        }
        serde_json::from_str(line.as_ref()).map_err(|_| ReadError::NotAnEntry(at + 1))
    };
    let entries: Vec<Entry> = lines.iter().enumerate().map(read).collect::<Result<_, _>>()?;
    match entries.first() {
        None | Some(Entry { what: What::Started { .. }, .. }) => Ok(entries),
        Some(_) => Err(ReadError::NoStart),
    }
}
