//! `coatbell plan`: the sealing plan of one page.

use clap::{Args, ValueEnum};
use jiff::ZonedDateTime;

use super::common::Format;
use super::inputs::Inputs;
use super::page_arguments::{MaskArguments, PageArguments, SealerArguments};
use super::{Context, Exit, Failure, evening, output, shelves, typed};
use crate::air::RespiratorKind;
use crate::catalog::{Catalog, Sealer};
use crate::page::Sheet;
use crate::plan::{Plan, Request, make};
use crate::report::{
    Drawing, FinishByDocument, compare_text, evening_ics, finish_by_text, plan_ics, plan_json, plan_svg, plan_text,
    to_json,
};

const NAME: &str = "plan";

const EXAMPLES: &str = "\
Examples:
  coatbell plan page.toml --room room.toml
  coatbell plan page.toml --room room.toml --sealer acrylic-gloss --why
  coatbell plan page.toml --sealer acrylic-satin,acrylic-matte --finish-by 18:00
  coatbell plan page.toml --format ics -o page.ics
  coatbell plan page.toml --format svg --drawing passes -o passes.svg
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

    #[command(flatten)]
    mask: MaskArguments,

    /// Say which finish is possible by then: `18:00`, `2026-11-29 18:00`, `in 3 h`
    #[arg(long, value_name = "TIME", help_heading = "Page, can and room")]
    finish_by: Option<String>,

    /// Which drawings `--format svg` gives; all if not given
    #[arg(
        long,
        value_enum,
        value_delimiter = ',',
        help_heading = "Output",
        hide_possible_values = true,
        value_name = "passes|timeline|air|film"
    )]
    drawing: Vec<DrawingChoice>,
}

/// A drawing as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum DrawingChoice {
    Passes,
    Timeline,
    Air,
    Film,
}

impl DrawingChoice {
    fn drawing(self) -> Drawing {
        match self {
            Self::Passes => Drawing::Passes,
            Self::Timeline => Drawing::Timeline,
            Self::Air => Drawing::Air,
            Self::Film => Drawing::Film,
        }
    }
}

/// Plans the sealing; ends with 4 if the answer is `hold` (of several sealers: if all are).
pub(super) fn run(arguments: &PlanArguments, context: &Context) -> Result<Exit, Failure> {
    if !arguments.drawing.is_empty() && !context.drawn {
        let message = "`--drawing` names drawings, but none are asked for";
        return Err(Failure::usage("no-drawing", message, "add `--format svg`"));
    }
    let catalog = shelves::catalog(context, NAME)?;
    if let Some(path) = arguments.page.page.as_deref().filter(|path| context.calendar && evening::is_batch(Some(path)))
    {
        let (found, _) = evening::scheduled_as_usual(
            path,
            &arguments.page,
            &arguments.sealer.sealer,
            &arguments.mask,
            &catalog,
            context,
            NAME,
        )?;
        output::raw(context, &evening_ics(&found, &context.look()).map_err(Failure::Refused)?)?;
        return Ok(Exit::of(found.verdict, context.exit_zero));
    }
    let inputs = Inputs::load(&arguments.page, &arguments.sealer.sealer, &catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, &catalog)?;
    let by = arguments.finish_by.as_deref().map(|given| deadline(given, context)).transpose()?;
    let plans = plans(arguments.mask.kind(), &inputs, &sheet, &catalog, context);
    match (context.format, &plans[..]) {
        (_, [plan]) if context.calendar => {
            output::raw(context, &plan_ics(plan, &context.look()).map_err(Failure::Refused)?)?;
        }
        (..) if context.calendar => {
            let message = "several sealers do not go into one calendar";
            return Err(Failure::usage("no-calendar", message, "name one sealer"));
        }
        (_, [plan]) if context.drawn => {
            let chosen: Vec<Drawing> = arguments.drawing.iter().map(|choice| choice.drawing()).collect();
            let drawings = if chosen.is_empty() { &Drawing::ALL[..] } else { &chosen };
            output::raw(context, &plan_svg(plan, &context.look(), drawings).map_err(Failure::Refused)?)?;
        }
        (..) if context.drawn => {
            let message = "several sealers do not go into one drawing";
            return Err(Failure::usage("no-drawing", message, "name one sealer"));
        }
        (Format::Json, [plan]) => match &by {
            Some(by) => output::raw(context, &to_json(&FinishByDocument::of(plan, by, &context.look())))?,
            None => output::raw(context, &plan_json(plan))?,
        },
        (Format::Json, several) => match &by {
            Some(by) => {
                let each = several.iter().map(|plan| FinishByDocument::of(plan, by, &context.look()));
                output::raw(context, &to_json(&each.collect::<Vec<_>>()))?;
            }
            None => output::json(context, &several)?,
        },
        (Format::Text, several) => {
            let look = context.look();
            let first = by.map(|by| finish_by_text(several, &by, &look)).unwrap_or_default();
            let rest = match several {
                [plan] => plan_text(plan, &look),
                several => compare_text(several, &look),
            };
            output::text(context, &(first + &rest))?;
        }
    }
    let mildest = plans.iter().map(|plan| plan.verdict).min().unwrap_or(crate::finding::Level::Hold);
    Ok(Exit::of(mildest, context.exit_zero))
}

/// The moment of `--finish-by`, which has to lie ahead.
fn deadline(given: &str, context: &Context) -> Result<ZonedDateTime, Failure> {
    let hint = "write `18:00`, `2026-11-29 18:00` or `in 3 h`";
    let by = typed::moment("--finish-by", given, &context.now, hint)?;
    if by <= context.now {
        let message = format!("`--finish-by`: `{given}` has passed already");
        let hint = "write the day too, as `2026-11-29 18:00`, or `in 3 h`";
        return Err(Failure::usage("time-passed", message, hint));
    }
    Ok(by)
}

/// One plan for every sealer named, or one with the best-ranked sealer.
fn plans(
    respirator: Option<RespiratorKind>,
    inputs: &Inputs,
    sheet: &Sheet<'_>,
    catalog: &Catalog,
    context: &Context,
) -> Vec<Plan> {
    let with =
        |sealer: Option<&Sealer>| make(&Request { sealer, ..inputs.request(sheet, respirator, context) }, catalog);
    if inputs.sealers.is_empty() {
        return vec![with(None)];
    }
    inputs.sealers.iter().map(|sealer| with(Some(sealer))).collect()
}
