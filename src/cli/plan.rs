//! `coatbell plan`: the sealing plan of one page.

use clap::Args;

use super::common::Format;
use super::inputs::Inputs;
use super::page_arguments::{PageArguments, SealerArguments};
use super::{Context, Exit, Failure, output, shelves};
use crate::catalog::{Catalog, Sealer};
use crate::page::Sheet;
use crate::plan::{Plan, Request, make};
use crate::report::{compare_text, plan_ics, plan_json, plan_text};

const NAME: &str = "plan";

/// The seed of every plan: the same files at the same moment give the same bytes.
const SEED: u64 = 1;

const EXAMPLES: &str = "\
Examples:
  coatbell plan page.toml --room room.toml
  coatbell plan page.toml --room room.toml --sealer acrylic-gloss --why
  coatbell plan --media \"watercolour:wet-on-dry, alcohol-marker, wax-pencil\" --paper cardstock
";

/// What `plan` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct PlanArguments {
    #[command(flatten)]
    page: PageArguments,

    #[command(flatten)]
    sealer: SealerArguments,
}

/// Plans the sealing; ends with 4 if the answer is `hold` (of several sealers: if all are).
pub(super) fn run(arguments: &PlanArguments, context: &Context) -> Result<Exit, Failure> {
    let catalog = shelves::catalog(context, NAME)?;
    let inputs = Inputs::load(&arguments.page, &arguments.sealer.sealer, &catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, &catalog)?;
    let plans = plans(&inputs, &sheet, &catalog, context);
    match (context.format, &plans[..]) {
        (_, [plan]) if context.calendar => {
            output::raw(context, &plan_ics(plan, &context.look()).map_err(Failure::Refused)?)?;
        }
        (..) if context.calendar => {
            let message = "several sealers do not go into one calendar";
            return Err(Failure::usage("no-calendar", message, "name one sealer"));
        }
        (Format::Json, [plan]) => output::raw(context, &plan_json(plan))?,
        (Format::Json, several) => output::json(context, &several)?,
        (Format::Text, [plan]) => output::text(context, &plan_text(plan, &context.look()))?,
        (Format::Text, several) => output::text(context, &compare_text(several, &context.look()))?,
    }
    let mildest = plans.iter().map(|plan| plan.verdict).min().unwrap_or(crate::finding::Level::Hold);
    Ok(Exit::of(mildest, context.exit_zero))
}

/// One plan for every sealer named, or one with the best-ranked sealer.
fn plans(inputs: &Inputs, sheet: &Sheet<'_>, catalog: &Catalog, context: &Context) -> Vec<Plan> {
    let with = |sealer: Option<&Sealer>| {
        let request = Request {
            sheet,
            sealer,
            room: inputs.room.as_ref(),
            room_named: inputs.room_named,
            respirator: None,
            start: &inputs.start,
            now: &context.now,
            seed: SEED,
            why: context.why,
        };
        make(&request, catalog)
    };
    if inputs.sealers.is_empty() {
        return vec![with(None)];
    }
    inputs.sealers.iter().map(|sealer| with(Some(sealer))).collect()
}
