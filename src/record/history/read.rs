//! Reading the history back: every line that can be read counts, every other one is told.

use super::{Entry, PastRun, Rating};

/// A run with the last word on how it turned out.
#[derive(Debug, Clone, PartialEq)]
pub struct RatedRun {
    /// The run.
    pub run: PastRun,
    /// What became of it; `None` if nobody has said yet.
    pub rating: Option<Rating>,
}

/// The whole history.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct History {
    /// Runs, oldest first.
    pub runs: Vec<RatedRun>,
    /// Numbers, from 1, of lines that are no entry: a torn last line, or damage.
    pub unreadable: Vec<usize>,
}

/// Reads the lines of a history. A run told twice counts once, with its last telling; a rating of an unknown run is
/// passed over.
pub fn read<'t>(lines: impl IntoIterator<Item = &'t str>) -> History {
    let mut history = History::default();
    for (place, line) in lines.into_iter().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        match serde_json::from_str::<Entry>(line) {
            Ok(Entry::Run(run)) => match history.runs.iter_mut().find(|known| known.run.id == run.id) {
                Some(known) => known.run = run,
                None => history.runs.push(RatedRun { run, rating: None }),
            },
            Ok(Entry::Rating(rating)) => {
                if let Some(known) = history.runs.iter_mut().find(|known| known.run.id == rating.run) {
                    known.rating = Some(rating);
                }
            }
            Err(_) => history.unreadable.push(place + 1),
        }
    }
    history
}

impl History {
    /// The run a person means: its number in the list (from 1, the newest), its id, or the beginning of its id if no
    /// other begins so.
    pub fn find(&self, written: &str) -> Option<&RatedRun> {
        let written = written.trim();
        if let Some(exact) = self.runs.iter().find(|known| known.run.id == written) {
            return Some(exact);
        }
        if let Ok(number) = written.parse::<usize>()
            && let Some(place) = self.runs.len().checked_sub(number)
            && number > 0
        {
            return self.runs.get(place);
        }
        let mut begins = self.runs.iter().filter(|known| !written.is_empty() && known.run.id.starts_with(written));
        match (begins.next(), begins.next()) {
            (Some(only), None) => Some(only),
            _ => None,
        }
    }
}
