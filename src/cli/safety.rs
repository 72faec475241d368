//! `coatbell safety`: the air of a page's coats, or of an amount sprayed so many times; the safety notes.

use clap::Args;
use serde::Serialize;

use super::common::Format;
use super::inputs::{self, Inputs};
use super::page_arguments::{MaskArguments, OneSealer, PageArguments};
use super::{Context, Exit, Failure, output, shelves, typed};
use crate::air::{self, Note};
use crate::catalog::Catalog;
use crate::caution;
use crate::page::Sheet;
use crate::plan::{Amount, Safety, safety_of_amount, safety_of_page};
use crate::quantity::{Mass, TimeSpan};
use crate::report::{notes_text, safety_text};

const NAME: &str = "safety";

/// Most coats reviewed at once.
const MOST_COATS: usize = 200;
/// Most of one coat, g: more than any can holds.
const MOST_GRAMS: f64 = 1000.0;

const EXAMPLES: &str = "\
Examples:
  coatbell safety page.toml --room room.toml
  coatbell safety --sealer acrylic-gloss --room room.toml --amount \"8 g\" --coats 4 --every \"15 min\"
  coatbell safety page.toml --room window-open --mask full-apr
  coatbell safety --notes
";

/// What `safety` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct SafetyArguments {
    #[command(flatten)]
    page: PageArguments,

    #[command(flatten)]
    sealer: OneSealer,

    #[command(flatten)]
    mask: MaskArguments,

    /// Out of the can in each coat, for instance "8 g", instead of a page
    #[arg(
        long,
        value_name = "MASS",
        help_heading = "An amount instead of a page",
        requires = "sealer",
        conflicts_with_all = ["page", "media"]
    )]
    amount: Option<String>,

    /// Number of coats
    #[arg(long, value_name = "NUMBER", help_heading = "An amount instead of a page", requires = "amount")]
    coats: Option<usize>,

    /// From the start of one coat to the start of the next, for instance "15 min"
    #[arg(long, value_name = "TIME", help_heading = "An amount instead of a page", requires = "amount")]
    every: Option<String>,

    /// Print the safety notes: hazards, limits with their sources, what cannot be known
    #[arg(long, conflicts_with_all = ["page", "media", "amount", "sealer", "room"])]
    notes: bool,
}

/// Reviews the air; ends with 4 if nobody should spray there so.
pub(super) fn run(arguments: &SafetyArguments, context: &Context) -> Result<Exit, Failure> {
    if arguments.notes {
        return print_notes(context);
    }
    let catalog = shelves::catalog(context, NAME)?;
    let safety = match &arguments.amount {
        Some(amount) => of_amount(arguments, amount, &catalog, context)?,
        None => of_page(arguments, &catalog, context)?,
    };
    match context.format {
        Format::Json => output::json(context, &safety)?,
        Format::Text => output::text(context, &safety_text(&safety, &context.look()))?,
    }
    Ok(Exit::of(safety.verdict, context.exit_zero))
}

fn of_page(arguments: &SafetyArguments, catalog: &Catalog, context: &Context) -> Result<Safety, Failure> {
    let inputs = Inputs::load(&arguments.page, arguments.sealer.named()?, catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, catalog)?;
    let request = inputs.request(&sheet, arguments.mask.kind(), context);
    Ok(safety_of_page(&request, catalog))
}

fn of_amount(
    arguments: &SafetyArguments,
    amount: &str,
    catalog: &Catalog,
    context: &Context,
) -> Result<Safety, Failure> {
    let grams = 1000.0 * typed_amount(amount)?;
    let coats = arguments.coats.unwrap_or(1);
    if !(1..=MOST_COATS).contains(&coats) {
        let message = format!("`--coats`: {coats} coats cannot be reviewed");
        return Err(Failure::usage("coats-out-of-range", message, format!("write 1 to {MOST_COATS}")));
    }
    let every_min = match (&arguments.every, coats) {
        (Some(typed), _) => typed_every(typed)?,
        (None, 1) => 0.0,
        (None, _) => {
            let message = format!("{coats} coats, and nothing says how far apart");
            return Err(Failure::usage("no-interval", message, "add `--every \"15 min\"`"));
        }
    };
    let surroundings = inputs::surroundings(&arguments.page, arguments.sealer.named()?, catalog, context, NAME)?;
    let Some(sealer) = surroundings.sealers.first() else { return Err(Failure::Help(NAME)) };
    Ok(safety_of_amount(
        &Amount {
            sealer,
            grams,
            coats,
            every_min,
            room: surroundings.room.as_ref(),
            room_named: surroundings.room_named,
            respirator: arguments.mask.kind(),
        },
        catalog,
    ))
}

/// The mass of `--amount`, kg.
fn typed_amount(given: &str) -> Result<f64, Failure> {
    let mass = typed::quantity::<Mass>("--amount", given)?;
    if mass <= 0.0 || 1000.0 * mass > MOST_GRAMS {
        let message = format!("`--amount`: `{given}` is not what one coat takes from a can");
        let hint = "weigh the can before and after a coat; a coat of A4 takes about 3 g to 10 g";
        return Err(Failure::usage("amount-out-of-range", message, hint));
    }
    Ok(mass)
}

/// The minutes of `--every`.
fn typed_every(typed: &str) -> Result<f64, Failure> {
    let span = TimeSpan::parse(typed)
        .map_err(|error| Failure::usage("not-a-quantity", format!("`--every`: {error}"), error.hint()))?;
    if span.minutes() < 1.0 || span.hours() > 24.0 {
        let message = format!("`--every`: coats `{typed}` apart cannot be reviewed");
        return Err(Failure::usage("interval-out-of-range", message, "write from `1 min` to `24 h`"));
    }
    Ok(span.minutes())
}

fn print_notes(context: &Context) -> Result<Exit, Failure> {
    match context.format {
        Format::Json => output::json(context, &NotesDocument::new())?,
        Format::Text => output::text(context, &notes_text(&context.look()))?,
    }
    Ok(Exit::Done)
}

/// The safety notes as data.
#[derive(Serialize)]
struct NotesDocument {
    schema: &'static str,
    version: &'static str,
    cautions: Vec<String>,
    notes: Vec<Note>,
}

impl NotesDocument {
    fn new() -> Self {
        Self {
            schema: "coatbell.notes/1",
            version: env!("CARGO_PKG_VERSION"),
            cautions: caution::in_full(),
            notes: air::notes(),
        }
    }
}
