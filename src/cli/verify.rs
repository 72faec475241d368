//! `coatbell verify`: published check values, recomputed on this machine.

use std::path::PathBuf;

use clap::Args;

use super::common::Format;
use super::{Context, Exit, Failure, files, output};
use crate::catalog::Catalog;
use crate::diagnostic::SourceText;
use crate::verify::{BUILT_IN_CHECKS, BUILT_IN_NAME, checks_text, read_checks, run as recompute};

const EXAMPLES: &str = "\
Examples:
  coatbell verify                       every built-in check value beside its source
  coatbell verify --quiet               only whether all agree, and what does not
  coatbell verify --checks mine.csv     a file of your own in the same form
";

/// What `verify` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct VerifyArguments {
    /// A check file of your own; `-` reads standard input
    #[arg(long, value_name = "FILE")]
    checks: Option<PathBuf>,
}

/// Recomputes the checks; ends with 1 if one disagrees.
pub(super) fn run(arguments: &VerifyArguments, context: &Context) -> Result<Exit, Failure> {
    let source = match &arguments.checks {
        Some(path) => files::read_text(path, context, "verify")?,
        None => SourceText::new(BUILT_IN_NAME, BUILT_IN_CHECKS),
    };
    let checks = read_checks(&source)?;
    let report = recompute(&checks, &source, &Catalog::builtin())?;
    match context.format {
        Format::Json => output::json(context, &report)?,
        Format::Text => output::text(context, &checks_text(&report, &context.look()))?,
    }
    Ok(if report.failed == 0 { Exit::Done } else { Exit::Failed })
}
