//! `coatbell measure drying`: a thumb on a coat of a page, or of a run that is kept.

use clap::Args;
use jiff::ZonedDateTime;

use super::super::cans::{self, Can};
use super::super::history;
use super::super::inputs::Inputs;
use super::super::page_arguments::PageArguments;
use super::super::{Context, Failure, typed};
use super::{Insist, NAME, refused};
use crate::catalog::{Catalog, Sealer};
use crate::diagnostic::Problem;
use crate::estimate::Quantiles;
use crate::page::Sheet;
use crate::plan::{Request, SEED, make};
use crate::record::history::{PastCoat, PastRun};
use crate::record::{Reading, ThumbReading, read_thumb, tune};

/// How the moment of a thumb is written.
const WRITE: &str = "write `14:08`, `14:02:30`, `2026-11-24 16:00` or `now`";
/// Minutes of a second.
const SECOND_MIN: f64 = 1.0 / 60.0;

/// Which coat, and when the thumb said touch-dry.
#[derive(Debug, Args)]
#[command(
    before_help = super::EXAMPLES,
    help_template = super::super::arguments::HELP_TEMPLATE,
    mut_arg("page", |page| page.required_unless_present("run"))
)]
pub(super) struct DryingArguments {
    #[command(flatten)]
    page: PageArguments,
    /// Instead of a page: a run as `history list` numbers it (1 is the newest), or `now` for the one under way
    #[arg(long, value_name = "RUN", conflicts_with_all = ["page", "media", "room", "start", "temperature", "humidity"])]
    run: Option<String>,
    /// The sealer: a name, or the file of your own can
    #[arg(long, value_name = "SEALER", required_unless_present = "run", conflicts_with = "run")]
    sealer: Option<String>,
    /// Which coat, from 1; of a run the last one sprayed before the touch
    #[arg(long, value_name = "NUMBER")]
    coat: Option<usize>,
    /// When the coat was sprayed: `14:00`, or with seconds for a coat that dries fast
    #[arg(long, value_name = "TIME", required_unless_present = "run", conflicts_with = "run")]
    sprayed: Option<String>,
    /// When it was touch-dry: `14:08`, `14:02:30`, `now`
    #[arg(long, value_name = "TIME")]
    touched: String,
    #[command(flatten)]
    pub(super) insist: Insist,
}

/// The can a thumb is about, and what it says.
pub(super) fn thumb(
    arguments: &DryingArguments,
    plain: &Catalog,
    context: &Context,
) -> Result<(Can, Reading), Failure> {
    match (&arguments.run, &arguments.sealer, &arguments.sprayed) {
        (Some(run), ..) => of_run(arguments, run, plain, context),
        (None, Some(sealer), Some(sprayed)) => of_page(arguments, (sealer, sprayed), plain, context),
        _ => Err(Failure::Help(NAME)),
    }
}

/// Whether a time was written to the second.
fn to_the_second(typed: &str) -> bool {
    typed.matches(':').count() >= 2 || typed.trim().eq_ignore_ascii_case("now")
}

/// A clock without a day.
fn bare_clock(typed: &str) -> bool {
    let lower = typed.to_lowercase();
    !lower.contains('-') && !lower.contains("ago") && !lower.starts_with("in ") && lower.trim() != "now"
}

fn minutes(from: &ZonedDateTime, to: &ZonedDateTime) -> f64 {
    to.timestamp().duration_since(from.timestamp()).as_secs_f64() / 60.0
}

/// A coat of a page: the plan of this can says what was to be expected in that room, but for what thumbs said before.
fn of_page(
    arguments: &DryingArguments,
    (sealer, sprayed): (&str, &str),
    plain: &Catalog,
    context: &Context,
) -> Result<(Can, Reading), Failure> {
    let can = cans::named(sealer, plain, context, NAME)?;
    let from = typed::moment("--sprayed", sprayed, &context.now, WRITE)?;
    let to = typed::moment("--touched", &arguments.touched, &context.now, WRITE)?;
    let inputs = Inputs::load(&arguments.page, &[], plain, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, plain)?;
    let mut tuned: Sealer = tune(&can.sealer, &can.record, &plain.model);
    tuned.can.drying = None;
    let request = Request {
        sheet: &sheet,
        sealer: Some(&tuned),
        room: inputs.room.as_ref(),
        room_named: inputs.room_named,
        respirator: None,
        start: &inputs.start,
        now: &context.now,
        seed: SEED,
        why: false,
    };
    let plan = make(&request, plain);
    let number = arguments.coat.unwrap_or(1);
    let Some(coat) = plan.coats.iter().find(|one| one.number == number) else {
        let message = format!("the plan has no coat {number}");
        return Err(Failure::usage("no-such-coat", message, format!("it has {} coats", plan.coats.len())));
    };
    let modelled = coat.touch_dry_min.ok_or_else(|| not_modelled(&can.sealer.name))?;
    let to_second = to_the_second(sprayed) && to_the_second(&arguments.touched);
    let of = format!("{}, coat {number}", plan.page.title);
    Ok((can, read(of, minutes(&from, &to), to_second, modelled, plain)?))
}

/// A coat of a run that is over or under way: it knows when it was sprayed, and what was to be expected.
fn of_run(
    arguments: &DryingArguments,
    named: &str,
    plain: &Catalog,
    context: &Context,
) -> Result<(Can, Reading), Failure> {
    let run = history::run_named(named, context)?;
    let zone = context.now.time_zone().clone();
    let parsed = |at: &str| at.parse::<jiff::Timestamp>().ok().map(|at| at.to_zoned_datetime(zone.clone()));
    let day = parsed(&run.started_at).filter(|_| bare_clock(&arguments.touched));
    let touched = typed::moment("--touched", &arguments.touched, day.as_ref().unwrap_or(&context.now), WRITE)?;
    let sprayed = |coat: &PastCoat| coat.sprayed_at.as_deref().and_then(parsed);
    let coat = match arguments.coat {
        Some(number) => run.coat(number),
        None => run.coats.iter().rfind(|coat| sprayed(coat).is_some_and(|at| at <= touched)),
    };
    let Some(coat) = coat.or(run.coats.first().filter(|_| arguments.coat.is_none())) else {
        let number = arguments.coat.unwrap_or(1);
        let message = format!("the run of {} has no coat {number}", run.title);
        return Err(Failure::usage("no-such-coat", message, format!("it has {} coats", run.coats.len())));
    };
    let Some(from) = sprayed(coat) else {
        let message = format!("coat {} of {} was not sprayed", coat.number, run.title);
        return Err(Failure::usage("not-sprayed", message, sprayed_coats(&run)));
    };
    let can = cans::of_id(&run.sealer, plain, context, NAME)?.ok_or_else(|| {
        let message = format!("nothing is known any more of the can of that run, `{}`", run.sealer);
        refused(Problem::new("unknown-can", message).with_hint("measure with `--sealer` and the page instead"))
    })?;
    let modelled = coat.touch_dry_modelled_min.or(coat.touch_dry_min);
    let modelled = modelled.ok_or_else(|| not_modelled(&can.sealer.name))?;
    let of = format!("{}, coat {}", run.title, coat.number);
    let to_second = to_the_second(&arguments.touched);
    Ok((can, read(of, minutes(&from, &touched), to_second, modelled, plain)?))
}

fn sprayed_coats(run: &PastRun) -> String {
    let numbers: Vec<String> =
        run.coats.iter().filter(|coat| coat.sprayed_at.is_some()).map(|coat| coat.number.to_string()).collect();
    format!("sprayed so far: {}", numbers.join(", "))
}

fn not_modelled(sealer: &str) -> Failure {
    let message = format!("how {sealer} dries is not modelled: its label and the waits of the trade decide");
    let hint = "there is nothing a thumb could narrow; `coatbell measure can` narrows the film";
    refused(Problem::new("not-modelled", message).with_hint(hint))
}

fn read(of: String, minutes: f64, to_second: bool, modelled: Quantiles, plain: &Catalog) -> Result<Reading, Failure> {
    let figures = &plain.model.measure;
    let clock_step_min = if to_second { SECOND_MIN } else { figures.clock_step_min.get() };
    read_thumb(&ThumbReading { of, minutes, clock_step_min, modelled }, figures).map_err(refused)
}
