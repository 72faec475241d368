//! The past runs: from the journals of runs that are over and from the history's own lines.

use super::super::seal::{HISTORY_FILE, RunShelf, run_id};
use super::super::{Context, Failure, shelves};
use super::NAME;
use crate::record::history::{Entry, History, PastRun, RatedRun, read};
use crate::run::{Pace, State, past_run};
use crate::store::read_lines;

/// Runs that are over, with what was said of them. A run told by its journal and by the history counts once.
pub(super) fn gather(context: &Context) -> Result<History, Failure> {
    let folders = context.folders()?;
    let (found, bad) = RunShelf::of(&folders, false).all(&pace(context)?);
    let mut lines: Vec<String> = Vec::new();
    for one in found.iter().filter(|one| one.state.over()) {
        lines.extend(runs(&one.state, &one.path, context).into_iter().map(|run| Entry::Run(run).to_line()));
    }
    lines.extend(read_lines(&folders.of(HISTORY_FILE))?.lines);
    let mut history = read(lines.iter().map(String::as_str));
    history.runs.sort_by(|one, other| one.run.started_at.cmp(&other.run.started_at));
    history.unreadable.extend(bad.iter().map(|_| 0));
    Ok(history)
}

fn pace(context: &Context) -> Result<Pace, Failure> {
    Ok(Pace::of(&shelves::unmeasured(context, NAME)?.rules))
}

/// The pages of a run that have a coat on, as the history keeps them.
fn runs(state: &State, journal: &std::path::Path, context: &Context) -> Vec<PastRun> {
    let pages = state.pages.iter().enumerate();
    let past = pages.filter_map(|(index, page)| {
        past_run(state, page, &run_id(journal, state, index), context.now.time_zone())
            .and_then(|past| serde_json::from_value(past).ok())
    });
    past.collect()
}

/// The past run a person means.
pub(super) fn wanted<'h>(history: &'h History, written: &str) -> Result<&'h RatedRun, Failure> {
    history.find(written).ok_or_else(|| {
        let message = format!("there is no past run `{written}`");
        Failure::usage("unknown-run", message, "`coatbell history list` numbers them; 1 is the newest")
    })
}

/// A run by its number or id, or with `now` the page under way.
///
/// # Errors
/// If there is none, or more than one page is under way.
pub(in crate::cli) fn run_named(written: &str, context: &Context) -> Result<PastRun, Failure> {
    if written.trim() != "now"
        && let history = gather(context)?
        && let Some(found) = history.find(written)
    {
        return Ok(found.run.clone());
    }
    let folders = context.folders()?;
    let (found, _) = RunShelf::of(&folders, false).all(&pace(context)?);
    let open = found.iter().filter(|one| !one.state.over());
    let mut under_way: Vec<PastRun> = open.flat_map(|one| runs(&one.state, &one.path, context)).collect();
    if written.trim() != "now" {
        under_way.retain(|run| run.id == written.trim());
    }
    match (under_way.len(), under_way.pop()) {
        (1, Some(only)) => Ok(only),
        (0 | 1, _) if written.trim() == "now" => {
            let hint = "`coatbell history list` numbers those that are over; 1 is the newest";
            Err(Failure::usage("unknown-run", "no run with a coat on is under way", hint))
        }
        (0 | 1, _) => wanted(&History::default(), written).map(|found| found.run.clone()),
        (many, last) => {
            let names: Vec<String> = under_way.iter().chain(&last).map(|run| format!("`{}`", run.id)).collect();
            let message = format!("{many} pages are under way");
            Err(Failure::usage("which-run", message, format!("name one: {}", names.join(", "))))
        }
    }
}
