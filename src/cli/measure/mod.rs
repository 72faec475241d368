//! `coatbell measure`: narrows a can to what was measured of it.

mod show;
mod thumb;

pub(super) use show::show;

use clap::{Args, Subcommand};

use super::cans::{self, Can};
use super::{Context, Exit, Failure, shelves, typed};
use crate::catalog::Catalog;
use crate::diagnostic::{Problem, sentence_start};
use crate::input::{iso, parse_size};
use crate::plan::SEED;
use crate::quantity::{Length, Mass, Temperature};
use crate::record::{
    CanWeighing, CardWeighing, ConeReading, Measurement, Reading, expected, questioned, read_can, read_card, read_cone,
    solids_share, tune,
};
use crate::spray::Spray;
use crate::vapour::MoistAir;

const NAME: &str = "measure";

const EXAMPLES: &str = "\
Examples:
  coatbell measure can --sealer acrylic-gloss --before \"312 g\" --after \"303 g\" --seconds 10
  coatbell measure cone --sealer acrylic-gloss --distance \"30 cm\" --width \"13 cm\"
  coatbell measure transfer --sealer acrylic-gloss --card A4 --swept \"45 cm x 35 cm\" --before \"15.60 g\"
                            --after \"15.82 g\" --seconds 8 --distance \"20 cm\"
  coatbell measure drying --run 1 --touched 14:26:30   a coat of the newest run
  coatbell measure drying page.toml --sealer acrylic-gloss --coat 2 --sprayed 14:10:00 --touched 14:13:30
  coatbell measure show                                all cans, or one with --sealer
  coatbell measure undo --sealer acrylic-gloss
";

/// What `measure` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct MeasureArguments {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, Args)]
struct CanArgument {
    /// The sealer: a name, or the file of your own can
    #[arg(long, value_name = "SEALER")]
    sealer: String,
}

#[derive(Debug, Args)]
struct Insist {
    /// Count a reading far from what was expected
    #[arg(long)]
    insist: bool,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// How fast the can empties: weighed before and after a burst
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Can {
        #[command(flatten)]
        can: CanArgument,
        /// Weight before, for instance "312 g"
        #[arg(long, value_name = "MASS")]
        before: String,
        /// Weight after
        #[arg(long, value_name = "MASS")]
        after: String,
        /// Seconds of one burst
        #[arg(long, value_name = "SECONDS")]
        seconds: f64,
        /// Bursts between the two weighings
        #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
        bursts: u32,
        /// Step of the scale
        #[arg(long, value_name = "MASS", default_value = "1 g")]
        scale: String,
        /// Temperature of the can
        #[arg(long, value_name = "TEMPERATURE", default_value = "22 C")]
        temperature: String,
        #[command(flatten)]
        insist: Insist,
    },
    /// How wide the cone is: the spot of a short burst
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Cone {
        #[command(flatten)]
        can: CanArgument,
        /// Nozzle to sheet
        #[arg(long, value_name = "LENGTH")]
        distance: String,
        /// Visible width of the spot
        #[arg(long, value_name = "LENGTH")]
        width: String,
        #[command(flatten)]
        insist: Insist,
    },
    /// How much stays on a sheet: a card weighed before it was sprayed, and dry again
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Transfer {
        #[command(flatten)]
        can: CanArgument,
        /// Size of the card: `A4`, "20 cm x 30 cm"
        #[arg(long, value_name = "SIZE")]
        card: String,
        /// Size of what the passes went over, the card in it
        #[arg(long, value_name = "SIZE")]
        swept: String,
        /// Weight of the card before
        #[arg(long, value_name = "MASS")]
        before: String,
        /// Weight of the card dry again
        #[arg(long, value_name = "MASS")]
        after: String,
        /// Seconds the nozzle was open
        #[arg(long, value_name = "SECONDS")]
        seconds: f64,
        /// Nozzle to card
        #[arg(long, value_name = "LENGTH")]
        distance: String,
        /// Step of the scale
        #[arg(long, value_name = "MASS", default_value = "0.01 g")]
        scale: String,
        #[command(flatten)]
        insist: Insist,
    },
    /// How fast it dries: when the thumb said touch-dry
    Drying(Box<thumb::DryingArguments>),
    /// Show what was measured, of one can or of all, and what it says
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Show {
        /// The sealer: a name, or the file of your own can; all if not given
        #[arg(long, value_name = "SEALER")]
        sealer: Option<String>,
    },
    /// Take the last measurement of a can back
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Undo {
        #[command(flatten)]
        can: CanArgument,
    },
}

/// Takes a measurement, or shows or takes back.
pub(super) fn run(arguments: &MeasureArguments, context: &Context) -> Result<Exit, Failure> {
    let plain = shelves::unmeasured(context, NAME)?;
    let shows = matches!(arguments.action, Action::Show { .. });
    let _alone = (!shows).then(|| cans::alone(context)).transpose()?;
    let (mut can, reading) = match &arguments.action {
        Action::Show { sealer: None } => return show::show_all(&cans::all(&plain, context, NAME)?, &plain, context),
        Action::Show { sealer: Some(sealer) } => {
            let can = cans::named(sealer, &plain, context, NAME)?;
            let answer = match can.record.measurements.len() {
                0 => format!("Nothing was measured of {} yet", can.sealer.name),
                _ => format!("What was measured of {}", can.sealer.name),
            };
            return show(&answer, &can, &plain, context);
        }
        Action::Undo { can } => {
            return undo(cans::named(&can.sealer, &plain, context, NAME)?, &plain, context);
        }
        Action::Drying(arguments) => thumb::thumb(arguments, &plain, context)?,
        Action::Can { can, .. } | Action::Cone { can, .. } | Action::Transfer { can, .. } => {
            let can = cans::named(&can.sealer, &plain, context, NAME)?;
            let reading = take(&arguments.action, &can, &plain)?;
            (can, reading)
        }
    };
    let figures = &plain.model.measure;
    let question = expected(&reading, &can.record, &can.sealer, &plain.model)
        .and_then(|expected| questioned(expected, &reading, figures));
    let insisted = question.is_some();
    if let Some(question) = question
        && !insist(&arguments.action)
    {
        return Err(refused(question));
    }
    let answer = format!("Kept for {}. {}", can.sealer.name, sentence_start(&show::said(&reading)));
    can.record.measurements.push(Measurement { at: now(context), insisted, reading });
    can.keep(&plain, context)?;
    show(&answer, &can, &plain, context)
}

fn undo(mut can: Can, plain: &Catalog, context: &Context) -> Result<Exit, Failure> {
    let Some(last) = can.record.measurements.pop() else {
        let message = format!("nothing was measured of {}", can.sealer.name);
        let problem = Problem::new("nothing-to-undo", message);
        return Err(refused(problem.with_hint("`coatbell measure show` lists what was measured")));
    };
    can.keep(plain, context)?;
    show(
        &format!("Taken back for {}. {}", can.sealer.name, sentence_start(&show::said(&last.reading))),
        &can,
        plain,
        context,
    )
}

/// The moment as it is kept.
pub(super) fn now(context: &Context) -> String {
    iso(&context.now)
}

pub(super) fn refused(problem: impl Into<Box<Problem>>) -> Failure {
    Failure::Refused(problem.into())
}

fn area(flag: &str, typed: &str) -> Result<f64, Failure> {
    parse_size(typed)
        .map(|(width, height)| width * height)
        .map_err(|(message, hint)| Failure::usage("not-a-size", format!("`{flag}`: {message}"), hint))
}

fn insist(action: &Action) -> bool {
    match action {
        Action::Can { insist, .. } | Action::Cone { insist, .. } | Action::Transfer { insist, .. } => insist.insist,
        Action::Drying(arguments) => arguments.insist.insist,
        Action::Show { .. } | Action::Undo { .. } => false,
    }
}

fn seconds(given: f64) -> Result<f64, Failure> {
    if given.is_finite() && (0.0..=3600.0).contains(&given) {
        return Ok(given);
    }
    Err(Failure::usage(
        "not-seconds",
        format!("`--seconds`: {given} s is no burst"),
        "write the seconds, as `--seconds 10`",
    ))
}

fn take(action: &Action, can: &Can, plain: &Catalog) -> Result<Reading, Failure> {
    let sealer = &can.sealer;
    let figures = &plain.model.measure;
    let factor = |temperature_c: f64| {
        let air = MoistAir { temperature_c, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        Spray::new(sealer, &air, plain).discharge_factor
    };
    let grams = |flag: &str, given: &str| typed::quantity::<Mass>(flag, given).map(|kilograms| 1000.0 * kilograms);
    let centimetres = |flag: &str, given: &str| typed::quantity::<Length>(flag, given).map(|metres| 100.0 * metres);
    let taken = match action {
        Action::Can { before, after, seconds: given, bursts, scale, temperature, .. } => {
            let temperature_c = typed::quantity::<Temperature>("--temperature", temperature)?;
            let weighing = CanWeighing {
                before_g: grams("--before", before)?,
                after_g: grams("--after", after)?,
                seconds: seconds(*given)?,
                bursts: *bursts,
                scale_g: grams("--scale", scale)?.max(0.001),
                temperature_c,
                discharge_factor: factor(temperature_c),
            };
            read_can(&weighing, sealer, figures)
        }
        Action::Cone { distance, width, .. } => {
            let (distance_cm, width_cm) = (centimetres("--distance", distance)?, centimetres("--width", width)?);
            read_cone(&ConeReading { distance_cm, width_cm }, figures)
        }
        Action::Transfer { card, swept, before, after, seconds: given, distance, scale, .. } => {
            let weighing = CardWeighing {
                before_g: grams("--before", before)?,
                after_g: grams("--after", after)?,
                card_m2: area("--card", card)?,
                swept_m2: area("--swept", swept)?,
                seconds: seconds(*given)?,
                distance_cm: centimetres("--distance", distance)?,
                scale_g: grams("--scale", scale)?.max(0.0001),
                solids: solids_share(sealer, plain, SEED),
            };
            let rate = tune(sealer, &can.record, &plain.model).discharge_at_22c_g_s().at(0.5);
            read_card(&weighing, rate, 1.0, &plain.model.spray, figures)
        }
        Action::Drying(_) | Action::Show { .. } | Action::Undo { .. } => Err(Box::new(
            Problem::new("nothing-measured", "nothing was measured").with_hint("see `coatbell measure --help`"),
        )),
    };
    taken.map_err(refused)
}
