//! Past runs: one JSON object a line, appended and never changed. A run comes first without an outcome; what became of
//! it follows on a line of its own, and the last word counts.

mod feedback;
mod outcome;
mod read;
mod run;

pub use feedback::{Heard, heard};
pub use outcome::{Effect, Outcome, Rating};
pub use read::{History, RatedRun, read};
pub use run::{Mishap, PastCoat, PastRun};

use serde::{Deserialize, Serialize};

/// One line of the history.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "entry", rename_all = "lowercase")]
pub enum Entry {
    /// A finished run.
    Run(PastRun),
    /// What became of one.
    Rating(Rating),
}

impl Entry {
    /// The entry as its line, without the line break.
    ///
    /// # Panics
    /// Never: texts, numbers and lists of them always have a JSON form.
    pub fn to_line(&self) -> String {
        serde_json::to_string(self).expect("texts and numbers have a JSON form")
    }
}

/// Something that keeps lines: the store's log, or a list in a test.
pub trait Lines {
    /// Why a line could not be kept.
    type Error;

    /// Keeps one more line, without a line break in it.
    ///
    /// # Errors
    /// If it cannot be kept.
    fn append(&mut self, line: &str) -> Result<(), Self::Error>;
}

impl Lines for Vec<String> {
    type Error = std::convert::Infallible;

    fn append(&mut self, line: &str) -> Result<(), Self::Error> {
        self.push(line.to_owned());
        Ok(())
    }
}

/// Appends a finished run.
///
/// # Errors
/// If the line cannot be kept.
pub fn append<L: Lines>(lines: &mut L, run: &PastRun) -> Result<(), L::Error> {
    lines.append(&Entry::Run(run.clone()).to_line())
}

/// Appends what became of a run.
///
/// # Errors
/// If the line cannot be kept.
pub fn append_rating<L: Lines>(lines: &mut L, rating: &Rating) -> Result<(), L::Error> {
    lines.append(&Entry::Rating(rating.clone()).to_line())
}

#[cfg(test)]
mod tests;
