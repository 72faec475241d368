//! `coatbell batch`: many pages at one bench.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::common::Format;
use super::{Context, Exit, Failure, files, output};
use crate::batch::{Control, Effort, Problem, bench_document, solve};
use crate::report::bench_text;

const NAME: &str = "batch";

const EXAMPLES: &str = "\
Examples:
  coatbell batch --problem bench.json
  coatbell batch --problem bench.json --effort thorough --json
";

/// What `batch` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct BatchArguments {
    /// A bare bench problem in JSON, in ticks; `-` reads standard input
    #[arg(long, value_name = "FILE", required = true)]
    problem: PathBuf,

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
    let source = files::read_text(&arguments.problem, context, NAME)?;
    let problem = Problem::from_json(&source)?;
    let effort = match arguments.effort {
        EffortChoice::Quick => Effort::Quick,
        EffortChoice::Normal => Effort::Normal,
        EffortChoice::Thorough => Effort::Thorough,
    };
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let control = Control { threads, stop: &|| false, progress: &|_, _| {} };
    let answer = solve(&problem, effort, &control);
    let document = bench_document(&problem, &answer, effort);
    match context.format {
        Format::Json => output::json(context, &document)?,
        Format::Text => output::text(context, &bench_text(&document, &context.look()))?,
    }
    Ok(Exit::of(document.verdict, context.exit_zero))
}
