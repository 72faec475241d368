//! `coatbell layers`: whether the layers of a page go together, in which order, with which waits.

use clap::Args;

use super::common::Format;
use super::inputs::Inputs;
use super::page_arguments::PageArguments;
use super::{Context, Exit, Failure, output, shelves};
use crate::conditions::BenchAir;
use crate::finding::{Finding, Level};
use crate::page::{Sheet, layers_document, review};
use crate::report::layers_text;

const NAME: &str = "layers";

const EXAMPLES: &str = "\
Examples:
  coatbell layers page.toml
  coatbell layers page.toml --room room.toml --why
  coatbell layers --media \"wax-pencil, watercolour:wet-on-dry\" --paper cardstock
";

/// What `layers` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct LayersArguments {
    #[command(flatten)]
    page: PageArguments,
}

/// Reviews the layers; ends with 4 if one must not be laid so.
pub(super) fn run(arguments: &LayersArguments, context: &Context) -> Result<Exit, Failure> {
    let catalog = shelves::catalog(context, NAME)?;
    let inputs = Inputs::load(&arguments.page, &[], &catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, &catalog)?;
    let bench = BenchAir::from_room(inputs.room.as_ref(), &catalog.rules);
    let review = review(&sheet, &catalog, &bench.air, &inputs.start);
    let mut document = layers_document(&sheet, &review, &bench.air, &inputs.start);
    // Only the waits hang on the air, so what is assumed about it is a note here and not a judgement of the stack.
    let assumed = bench.assumed(&catalog.rules).into_iter();
    document.findings.extend(assumed.map(|finding| Finding { level: Level::Note, ..finding }));
    match context.format {
        Format::Json => output::json(context, &document)?,
        Format::Text => output::text(context, &layers_text(&document, &context.look()))?,
    }
    Ok(Exit::of(document.verdict, context.exit_zero))
}
