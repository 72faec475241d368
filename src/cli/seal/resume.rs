//! Taking up a run that was left or cut off, or giving it up.

use std::path::Path;

use super::begin::{file_of, page_key};
use super::conduct::{Options, Stagehands, conduct};
use super::journal::Journal;
use super::shelf::{Found, RunShelf, entries, lock_words};
use super::{CanShelf, NAME, SealArguments};
use crate::cli::evening::is_batch;
use crate::cli::{Context, Exit, Failure, output, shelves};
use crate::diagnostic::Problem;
use crate::input::iso;
use crate::report::identity;
use crate::run::{Conductor, Entry, Pace, State, What};

/// Resumes the run of the page named, or the only one under way.
pub(super) fn run(arguments: &SealArguments, speed: Option<f64>, context: &Context) -> Result<Exit, Failure> {
    let pace = Pace::of(&shelves::catalog(context, NAME)?.rules);
    let folders = context.folders()?;
    let (shelf, found) = choose(arguments, speed.is_some(), &pace, context)?;
    if !arguments.run.as_begun {
        unedited(&found.state)?;
    }
    let more = !found.state.all_sprayed();
    if more && !arguments.run.confirmed() && !super::conduct::can_ask(context) {
        let message = "nobody can be asked here whether the mask is on and the flames are out";
        let hint = "see to it, then add `--yes --masked --no-flames`; or resume it in a terminal";
        return Err(Failure::usage("not-confirmed", message, hint));
    }
    let locks = shelf.take(&found.state, &context.now).map_err(lock_words)?;
    let (journal, lines) = Journal::open(&found.path)?;
    let entries = entries(&found.path, &lines.lines)?;
    let Some(state) = State::fold(&entries, &pace) else {
        let message = format!("`{}` holds no run", found.path.display());
        return Err(Failure::Refused(Box::new(Problem::new("journal-damaged", message))));
    };
    let conductor = Conductor::new(state, context.now.time_zone().clone(), context.units);
    let hands = Stagehands { journal, cans: CanShelf::of(&folders), folders, locks, journal_trouble: None };
    conduct(conductor, hands, &Options::of(arguments), true, context)
}

/// Gives up the run of the page named, or the only one under way.
pub(super) fn cancel(arguments: &SealArguments, rehearsals: bool, context: &Context) -> Result<Exit, Failure> {
    let pace = Pace::of(&shelves::catalog(context, NAME)?.rules);
    let (shelf, found) = choose(arguments, rehearsals, &pace, context)?;
    let _locks = shelf.take(&found.state, &context.now).map_err(lock_words)?;
    let (mut journal, _) = Journal::open(&found.path)?;
    journal.write(Entry::new(context.now.timestamp(), What::Cancelled {}))?;
    let cancelled = found.state.after(Entry::new(context.now.timestamp(), What::Cancelled {}));
    let _ = super::history::tell(&context.folders()?, &cancelled, &found.path, &context.now);
    let on: usize = found.state.pages.iter().map(|page| page.done.len()).sum();
    let coats = if on == 1 { "1 coat stays".to_owned() } else { format!("{on} coats stay") };
    let text = format!("{}: the run is given up; {coats} noted", found.state.title());
    if context.format == crate::cli::common::Format::Json {
        let event = serde_json::json!({
            "schema": "coatbell.seal/1",
            "event": "cancelled",
            "at": iso(&context.now),
            "title": found.state.title(),
            "coats_on": on,
            "rehearsal": found.state.rehearsal(),
        });
        output::to_stdout(&event.to_string())?;
    } else {
        output::text(context, &text)?;
    }
    Ok(Exit::Done)
}

/// The run meant: of the page named, or the only one; a rehearsal only if there is no real one or one is asked for.
fn choose(
    arguments: &SealArguments,
    rehearsals: bool,
    pace: &Pace,
    context: &Context,
) -> Result<(RunShelf, Found), Failure> {
    let folders = context.folders()?;
    let wanted = wanted(arguments);
    let shelves = if rehearsals { vec![true] } else { vec![false, true] };
    let mut unreadable = Vec::new();
    for rehearsal in shelves {
        let shelf = RunShelf::of(&folders, rehearsal);
        let (mut found, bad) = shelf.all(pace);
        found.retain(|found| !found.state.over());
        if let Some(wanted) = &wanted {
            found.retain(|found| found.state.pages.iter().any(|page| file_of(&page.spec.file) == wanted));
        }
        if rehearsal {
            // Of rehearsals the last one is meant.
            found.drain(..found.len().saturating_sub(1));
        }
        unreadable.extend(bad);
        match found.len() {
            0 => {}
            1 => return found.pop().map(|found| (shelf, found)).ok_or_else(nothing),
            _ => {
                let titles: Vec<String> = found.iter().map(|found| format!("\"{}\"", found.state.title())).collect();
                let message = format!("several runs are under way: {}", titles.join(", "));
                let problem = Problem::new("several-runs", message).with_hint("name the page file of the one you mean");
                return Err(Failure::Refused(Box::new(problem)));
            }
        }
    }
    match unreadable.pop() {
        Some(unreadable) => Err(unreadable.why),
        None => Err(nothing()),
    }
}

fn nothing() -> Failure {
    let problem = Problem::new("no-run", "no run is under way").with_hint("begin one with `coatbell seal PAGE`");
    Failure::Refused(Box::new(problem))
}

fn wanted(arguments: &SealArguments) -> Option<String> {
    // The run of an evening is known by its pages; by the evening's own file only the one run under way can be meant.
    let page = arguments.page.page.as_deref().filter(|path| !is_batch(Some(path)));
    page.map(|path| page_key(Some(path), ""))
}

/// A page that was edited since is not what the coats were planned for.
fn unedited(state: &State) -> Result<(), Failure> {
    for page in &state.pages {
        let Ok(text) = std::fs::read_to_string(Path::new(file_of(&page.spec.file))) else { continue };
        if identity([&*text]) != page.spec.fingerprint {
            let message = format!("`{}` was edited since the run began; nothing was changed", page.spec.file);
            let hint = "`--resume --as-begun` goes on with the coats planned then; `--cancel` gives the run up";
            return Err(Failure::Refused(Box::new(Problem::new("page-edited", message).with_hint(hint))));
        }
    }
    Ok(())
}
