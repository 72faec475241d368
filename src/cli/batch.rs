//! `coatbell batch`: many pages at one bench.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::{Args, ValueEnum};

use super::common::Format;
use super::page_arguments::{MaskArguments, PageArguments};
use super::searching::Searching;
use super::{Context, Exit, Failure, evening, files, output, shelves};
use crate::batch::{Control, Effort, Problem, Tick, bench_document, solve};
use crate::report::{bench_text, evening_ics, evening_text};

const NAME: &str = "batch";

const EXAMPLES: &str = "\
Examples:
  coatbell batch evening.toml --room room.toml
  coatbell batch evening.toml --room room.toml --effort thorough --json
  coatbell batch evening.toml --room room.toml --format ics -o evening.ics
  coatbell batch --problem bench.json
";

/// What `batch` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct BatchArguments {
    /// Batch file (TOML), as `coatbell new batch` writes it; `-` reads standard input
    #[arg(value_name = "BATCH", required_unless_present = "problem", conflicts_with = "problem")]
    batch: Option<PathBuf>,

    /// Room: a file, or the name of a built-in room
    #[arg(long, value_name = "ROOM", help_heading = "Page, can and room", conflicts_with = "problem")]
    room: Option<String>,

    /// Temperature of the room, for instance "21 C"
    #[arg(long, value_name = "TEMPERATURE", help_heading = "Page, can and room", conflicts_with = "problem")]
    temperature: Option<String>,

    /// Relative humidity of the room, for instance "48 %"
    #[arg(long, value_name = "HUMIDITY", help_heading = "Page, can and room", conflicts_with = "problem")]
    humidity: Option<String>,

    #[command(flatten)]
    mask: MaskArguments,

    /// A bare bench problem in JSON, in ticks; `-` reads standard input
    #[arg(long, value_name = "FILE")]
    problem: Option<PathBuf>,

    /// How long to search: at once, about a second, up to a minute
    #[arg(
        long,
        value_enum,
        default_value = "normal",
        hide_possible_values = true,
        value_name = "quick|normal|thorough"
    )]
    effort: EffortChoice,
}

/// How long to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum EffortChoice {
    Quick,
    Normal,
    Thorough,
}

/// Schedules; ends with 4 if a page does not fit.
pub(super) fn run(arguments: &BatchArguments, context: &Context) -> Result<Exit, Failure> {
    let effort = match arguments.effort {
        EffortChoice::Quick => Effort::Quick,
        EffortChoice::Normal => Effort::Normal,
        EffortChoice::Thorough => Effort::Thorough,
    };
    let searching = Searching::new();
    let progress = |share: f64, _: Tick| searching.say(share);
    let stopped = stopped_by_the_person();
    let stop = || stopped.load(Ordering::Relaxed);
    let control = Control { threads: evening::threads(), stop: &stop, progress: &progress };
    match (&arguments.problem, &arguments.batch) {
        (Some(_), _) if context.calendar => {
            let message = "a bare problem has no clock times for a calendar";
            Err(Failure::usage("no-calendar", message, "give a batch file"))
        }
        (Some(problem), _) => bare(problem, effort, &control, context),
        (None, Some(batch)) => {
            let catalog = shelves::catalog(context, NAME)?;
            let room = PageArguments {
                room: arguments.room.clone(),
                temperature: arguments.temperature.clone(),
                humidity: arguments.humidity.clone(),
                ..PageArguments::default()
            };
            let mask = arguments.mask.kind();
            let (found, _) = evening::scheduled(batch, &room, mask, effort, &control, &catalog, context, NAME)?;
            match context.format {
                _ if context.calendar => {
                    output::raw(context, &evening_ics(&found, &context.look()).map_err(Failure::Refused)?)?;
                }
                Format::Json => output::json(context, &found)?,
                Format::Text => output::text(context, &evening_text(&found, &context.look()))?,
            }
            Ok(Exit::of(found.verdict, context.exit_zero))
        }
        (None, None) => Err(Failure::Help(NAME)),
    }
}

/// Set by Ctrl-C: the search then hands out the best it has. Pressed again, it ends the program as ever.
fn stopped_by_the_person() -> Arc<AtomicBool> {
    use signal_hook::consts::SIGINT;
    let stopped = Arc::new(AtomicBool::new(false));
    let interrupted = i32::from(Exit::Interrupted.code());
    // Where it cannot be heard, Ctrl-C ends the program as ever.
    if signal_hook::flag::register_conditional_shutdown(SIGINT, interrupted, Arc::clone(&stopped)).is_ok() {
        let _ = signal_hook::flag::register(SIGINT, Arc::clone(&stopped));
    }
    stopped
}

fn bare(path: &Path, effort: Effort, control: &Control<'_>, context: &Context) -> Result<Exit, Failure> {
    let source = files::read_text(path, context, NAME)?;
    let problem = Problem::from_json(&source)?;
    let answer = solve(&problem, effort, control);
    let document = bench_document(&problem, &answer, effort);
    match context.format {
        Format::Json => output::json(context, &document)?,
        Format::Text => output::text(context, &bench_text(&document, &context.look()))?,
    }
    Ok(Exit::of(document.verdict, context.exit_zero))
}
