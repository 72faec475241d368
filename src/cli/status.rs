//! `coatbell status`: what is due now, in every run under way.

use std::io::{IsTerminal, Write};
use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::common::Format;
use super::seal::{CanShelf, Found, Notifier, RunShelf, close, lies_behind, write_calendar};
use super::{Context, Exit, Failure, output, shelves};
use crate::caution;
use crate::diagnostic::Problem;
use crate::report::{RunLine, status_text};
use crate::run::{BellKind, Pace, State, bell_words, instructions};

const NAME: &str = "status";

const EXAMPLES: &str = "\
Examples:
  coatbell status
  coatbell status --json
  coatbell status --calendar after.ics  the days after the last run
";

/// Days for which a run that is over is still looked at: the last of what it allows lies that far ahead.
const REMEMBERED_DAYS: i64 = 21;

/// What `status` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct StatusArguments {
    /// Write the calendar of the days after the last run here
    #[arg(long, value_name = "FILE")]
    calendar: Option<PathBuf>,
}

#[derive(Serialize)]
struct Document<'r> {
    schema: &'static str,
    version: &'static str,
    runs: Vec<&'r RunLine>,
    unreadable: Vec<String>,
    cautions: Vec<String>,
}

/// Says what is due, and rings for what is overdue.
pub(super) fn run(arguments: &StatusArguments, context: &Context) -> Result<Exit, Failure> {
    let pace = Pace::of(&shelves::catalog(context, NAME)?.rules);
    let folders = context.folders()?;
    let cans = CanShelf::of(&folders);
    let now = context.now.timestamp();
    let mut found: Vec<(Found, RunShelf, Option<u32>)> = Vec::new();
    let mut unreadable = Vec::new();
    for rehearsals in [false, true] {
        let shelf = RunShelf::of(&folders, rehearsals);
        let (all, bad) = shelf.all(&pace);
        unreadable.extend(bad.into_iter().map(|bad| bad.path.display().to_string()));
        for run in all {
            let recent = now.as_second() - run.state.last_at.as_second() < REMEMBERED_DAYS * 86_400;
            let holder = run.state.pages.first().and_then(|page| shelf.holder(&page.spec.file));
            // A rehearsal counts only while somebody is at it.
            let counts = if rehearsals { holder.is_some() && !run.state.over() } else { recent };
            if counts {
                found.push((run, shelf.clone(), holder.map(|holder| holder.process)));
            }
        }
    }
    if let Some(path) = &arguments.calendar {
        return calendar(&found, path, context);
    }
    let mut overdue = Vec::new();
    let mut lines: Vec<(RunLine, &State)> = Vec::new();
    for (Found { state, .. }, _, process) in &found {
        let due = due(state, context, &mut overdue);
        if state.cancelled || (state.finished && due.is_empty()) {
            continue;
        }
        lines.push((RunLine::of(state, &context.now, *process, due, &|sealer| cans.left_g(sealer)), state));
    }
    if context.format == Format::Json {
        let document = Document {
            schema: "coatbell.status/1",
            version: env!("CARGO_PKG_VERSION"),
            runs: lines.iter().map(|(line, _)| line).collect(),
            unreadable,
            cautions: caution::in_full(),
        };
        output::json(context, &document)?;
    } else {
        let mut text = status_text(&lines, &context.look());
        for path in unreadable {
            text = text + "\nA run that cannot be read: " + &path + "\n";
        }
        output::text(context, &text)?;
        ring(&overdue, &pace);
    }
    // What has been said of a run whose end nobody watched is over with that.
    for (found, shelf, process) in &found {
        if process.is_none() && lies_behind(&found.state, &context.now) {
            close(shelf, found, &folders, &context.now);
        }
    }
    Ok(Exit::Done)
}

/// What is due at this moment: coats whose time has come, rooms that cleared, what is allowed since.
fn due(state: &State, context: &Context, overdue: &mut Vec<(String, String)>) -> Vec<String> {
    let now = context.now.timestamp();
    let mut due = Vec::new();
    for page in &state.pages {
        if state.over() {
            break;
        }
        if let (Some(at), Some(next)) = (page.due_at(), page.next())
            && at <= now
        {
            overdue.push((
                format!("{}: coat {} of {} is due", page.spec.title, next.number, page.coats.len()),
                format!("Mask on. {}", instructions(next, context.units)),
            ));
            let late = crate::run::span_words(now.as_second() - at.as_second());
            due.push(format!("{}: coat {} of {} is due since {late}", page.spec.title, next.number, page.coats.len()));
        }
    }
    for one in state.due(now) {
        if !matches!(one.bell.key.bell, BellKind::CoatDue | BellKind::Overdue | BellKind::LeaveRoom) {
            let said = bell_words(state, &one, &context.now, context.units);
            due.push(format!("{} ({} late)", said.title, crate::run::span_words(one.late_s)));
        }
    }
    if state.finished {
        // What was allowed within the last day, and what comes.
        for page in &state.pages {
            for (_, text, at) in page.later() {
                let past_s = now.as_second() - at.as_second();
                let name = text.split(':').next().unwrap_or(text);
                if past_s <= 86_400 {
                    let clock = crate::run::clock_words(at, &context.now);
                    let word = if past_s >= 0 { "since" } else { "from" };
                    due.push(format!("{}: {name} {word} {clock}", page.spec.title));
                }
            }
        }
    }
    due
}

fn calendar(
    found: &[(Found, RunShelf, Option<u32>)],
    path: &std::path::Path,
    context: &Context,
) -> Result<Exit, Failure> {
    let last = found.iter().map(|(found, ..)| &found.state).rfind(|state| !state.rehearsal() && state.all_sprayed());
    let Some(state) = last else {
        let problem = Problem::new("no-run", "no run of the last days has all its coats on")
            .with_hint("a plan that lies ahead goes into a calendar with `coatbell plan PAGE --format ics -o FILE`");
        return Err(Failure::Refused(Box::new(problem)));
    };
    let said = write_calendar(state, path, &context.look())
        .map_err(|why| Failure::Refused(Box::new(Problem::new("cannot-write", why))))?;
    output::text(context, &said)?;
    Ok(Exit::Done)
}

/// Rings for what is overdue, with the bell and on the desktop; a desktop that is not there is no news here.
fn ring(overdue: &[(String, String)], pace: &Pace) {
    if overdue.is_empty() {
        return;
    }
    let mut error = std::io::stderr();
    if error.is_terminal() {
        let _ = error.write_all(b"\x07").and_then(|()| error.flush());
    }
    let mut desktop = Notifier::new(std::time::Duration::from_secs_f64(pace.service_s.clamp(0.1, 60.0)));
    for (title, body) in overdue {
        desktop.show(title, body);
    }
    let _ = desktop.drain();
}
