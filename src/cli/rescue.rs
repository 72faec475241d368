//! `coatbell rescue`: something went wrong, what now.

use clap::Args;
use serde::Serialize;

use super::common::Format;
use super::{Context, Exit, Failure, output};
use crate::caution;
use crate::report::{rescue_text, rescues_text};
use crate::run::{Rescue, rescue_for, rescues};

const EXAMPLES: &str = "\
Examples:
  coatbell rescue pooled
  coatbell rescue hair
  coatbell rescue                       lists what can go wrong
";

/// What `rescue` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct RescueArguments {
    /// What went wrong: bled, dripped, pooled, blushed, dust, spits, empty
    #[arg(value_name = "WHAT")]
    what: Option<String>,
}

#[derive(Serialize)]
struct Document<'r> {
    schema: &'static str,
    version: &'static str,
    rescues: Vec<&'r Rescue>,
    cautions: Vec<String>,
}

/// Says what to do.
pub(super) fn run(arguments: &RescueArguments, context: &Context) -> Result<Exit, Failure> {
    let one = arguments.what.as_deref().map(|what| rescue_for(what).ok_or_else(|| unknown(what))).transpose()?;
    if context.format == Format::Json {
        let document = Document {
            schema: "coatbell.rescue/1",
            version: env!("CARGO_PKG_VERSION"),
            rescues: one.map_or_else(|| rescues().iter().collect(), |one| vec![one]),
            cautions: caution::in_full(),
        };
        output::json(context, &document)?;
    } else {
        let look = context.look();
        output::text(context, &one.map_or_else(|| rescues_text(&look), |one| rescue_text(one, &look)))?;
    }
    Ok(Exit::Done)
}

fn unknown(what: &str) -> Failure {
    let words: Vec<&str> = rescues().iter().map(|rescue| rescue.word).collect();
    let message = format!("nothing is known about `{what}`");
    Failure::usage("unknown-mishap", message, format!("one of: {}", words.join(", ")))
}
