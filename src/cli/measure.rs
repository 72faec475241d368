//! `coatbell measure`: narrows a can to what was measured of it.

use clap::{Args, Subcommand};
use serde::Serialize;

use super::common::Format;
use super::inputs::{self, Inputs};
use super::page_arguments::PageArguments;
use super::{Context, Exit, Failure, output, shelves};
use crate::catalog::{Catalog, Sealer};
use crate::caution;
use crate::diagnostic::Problem;
use crate::input::{parse_size, parse_when};
use crate::page::Sheet;
use crate::plan::{Request, SEED, make};
use crate::quantity::{self, Length, Mass, Quantity, Temperature};
use crate::record::{
    CanRecord, CanWeighing, CardWeighing, ConeReading, Known, Measurement, Reading, ThumbReading, expected, posteriors,
    questioned, read_can, read_card, read_cone, read_thumb, solids_share, tune,
};
use crate::report::{Paragraph, paragraphs};
use crate::spray::Spray;
use crate::store::replace_file;
use crate::vapour::MoistAir;

const NAME: &str = "measure";

const EXAMPLES: &str = "\
Examples:
  coatbell measure can --sealer acrylic-gloss --before \"312 g\" --after \"303 g\" --seconds 10
  coatbell measure cone --sealer acrylic-gloss --distance \"30 cm\" --width \"13 cm\"
  coatbell measure drying page.toml --sealer acrylic-gloss --coat 1 --sprayed 14:00 --touched 14:08
  coatbell measure show --sealer acrylic-gloss
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
        #[arg(long, value_name = "NUMBER", default_value_t = 1)]
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
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Drying {
        #[command(flatten)]
        page: PageArguments,
        #[command(flatten)]
        can: CanArgument,
        /// Which coat, from 1
        #[arg(long, value_name = "NUMBER", default_value_t = 1)]
        coat: usize,
        /// When the coat was sprayed
        #[arg(long, value_name = "TIME")]
        sprayed: String,
        /// When it was touch-dry
        #[arg(long, value_name = "TIME")]
        touched: String,
        #[command(flatten)]
        insist: Insist,
    },
    /// Show what was measured of a can, and what it says
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Show {
        #[command(flatten)]
        can: CanArgument,
    },
    /// Take the last measurement of a can back
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Undo {
        #[command(flatten)]
        can: CanArgument,
    },
}

#[derive(Debug, Serialize)]
struct Document<'r> {
    schema: &'static str,
    version: &'static str,
    sealer: &'r str,
    file: String,
    answer: String,
    known: Vec<Known>,
    measurements: &'r [Measurement],
    cautions: Vec<String>,
}

/// Takes a measurement, or shows or takes back.
pub(super) fn run(arguments: &MeasureArguments, context: &Context) -> Result<Exit, Failure> {
    let plain = shelves::unmeasured(context, NAME)?;
    let named = match &arguments.action {
        Action::Can { can, .. }
        | Action::Cone { can, .. }
        | Action::Transfer { can, .. }
        | Action::Drying { can, .. }
        | Action::Show { can }
        | Action::Undo { can } => &can.sealer,
    };
    let found = inputs::sealer(named, &plain, context, NAME)?;
    let sealer = found.unmeasured.as_deref().unwrap_or(&found).clone();
    let before = shelves::can_record(&sealer.id, context, NAME)?;
    let mut record = before.clone().unwrap_or_else(|| CanRecord::new(&sealer.id));
    let answer = match &arguments.action {
        Action::Show { .. } if record.measurements.is_empty() => {
            format!("Nothing was measured of {} yet", sealer.name)
        }
        Action::Show { .. } => format!("What was measured of {}", sealer.name),
        Action::Undo { .. } => match record.measurements.pop() {
            Some(last) => format!("The last measurement ({}) of {} is taken back", last.reading.word(), sealer.name),
            None => {
                let message = format!("nothing was measured of {}", sealer.name);
                let problem = Problem::new("nothing-to-undo", message);
                return Err(Failure::Refused(Box::new(problem.with_hint("`coatbell measure show` lists what was"))));
            }
        },
        action => {
            let reading = take(action, &sealer, &tune(&sealer, &record, &plain.model), &plain, context)?;
            let insisted = insist(action);
            if let Some(question) = question(&reading, &record, &sealer, &plain)
                && !insisted
            {
                return Err(refused(question));
            }
            let answer = format!("Kept: {} of {}", said(&reading), sealer.name);
            record.measurements.push(Measurement { at: now(context), insisted, reading });
            answer
        }
    };
    if before.as_ref() != Some(&record) && !matches!(arguments.action, Action::Show { .. }) {
        keep(&record, &sealer, &plain, context)?;
    }
    show(&answer, &record, &sealer, &plain, context)
}

/// The moment as it is kept.
pub(super) fn now(context: &Context) -> String {
    context.now.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

/// Writes the file of a can.
///
/// # Errors
/// If the disk does not take it.
pub(super) fn keep(record: &CanRecord, sealer: &Sealer, plain: &Catalog, context: &Context) -> Result<(), Failure> {
    let path = shelves::can_path(&sealer.id, context)?;
    let text = record.to_text(&posteriors(record, sealer, &plain.model));
    replace_file(&path, &text)
        .map_err(|error| refused(Problem::new(error.code(), error.to_string()).with_hint(error.remedy())))
}

pub(super) fn refused(problem: impl Into<Box<Problem>>) -> Failure {
    Failure::Refused(problem.into())
}

/// A quantity of a flag, in its base unit.
///
/// # Errors
/// If it is none.
pub(super) fn typed<Q: Quantity>(flag: &str, typed: &str) -> Result<f64, Failure> {
    quantity::parse::<Q>(typed)
        .map(Quantity::si)
        .map_err(|error| Failure::usage("not-a-quantity", format!("`{flag}`: {error}"), error.hint()))
}

fn area(flag: &str, typed: &str) -> Result<f64, Failure> {
    parse_size(typed)
        .map(|(width, height)| width * height)
        .map_err(|(message, hint)| Failure::usage("not-a-size", format!("`{flag}`: {message}"), hint))
}

fn insist(action: &Action) -> bool {
    match action {
        Action::Can { insist, .. }
        | Action::Cone { insist, .. }
        | Action::Transfer { insist, .. }
        | Action::Drying { insist, .. } => insist.insist,
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

fn take(
    action: &Action,
    sealer: &Sealer,
    tuned: &Sealer,
    plain: &Catalog,
    context: &Context,
) -> Result<Reading, Failure> {
    let figures = &plain.model.measure;
    let factor = |temperature_c: f64| {
        let air = MoistAir { temperature_c, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        Spray::new(sealer, &air, plain).discharge_factor
    };
    let grams = |flag: &str, given: &str| typed::<Mass>(flag, given).map(|kilograms| 1000.0 * kilograms);
    let centimetres = |flag: &str, given: &str| typed::<Length>(flag, given).map(|metres| 100.0 * metres);
    let taken = match action {
        Action::Can { before, after, seconds: given, bursts, scale, temperature, .. } => {
            let temperature_c = typed::<Temperature>("--temperature", temperature)?;
            let weighing = CanWeighing {
                before_g: grams("--before", before)?,
                after_g: grams("--after", after)?,
                seconds: seconds(*given)?,
                bursts: (*bursts).clamp(1, 1000),
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
            let rate = tuned.discharge_at_22c_g_s().at(0.5);
            read_card(&weighing, rate, 1.0, &plain.model.spray, figures)
        }
        Action::Drying { page, coat, sprayed, touched, .. } => {
            return thumb((page, *coat), (sprayed, touched), sealer, plain, context);
        }
        Action::Show { .. } | Action::Undo { .. } => Err(Box::new(
            Problem::new("nothing-measured", "nothing was measured").with_hint("see `coatbell measure --help`"),
        )),
    };
    taken.map_err(refused)
}

/// A thumb on a coat of a page: the plan says what was to be expected in that room.
fn thumb(
    (page, coat): (&PageArguments, usize),
    (sprayed, touched): (&str, &str),
    sealer: &Sealer,
    plain: &Catalog,
    context: &Context,
) -> Result<Reading, Failure> {
    let when = |flag: &str, typed: &str| {
        parse_when(typed, &context.now)
            .map_err(|hint| Failure::usage("not-a-time", format!("`{flag}`: `{typed}` is not a time"), hint))
    };
    let (from, to) = (when("--sprayed", sprayed)?, when("--touched", touched)?);
    let minutes = to.timestamp().duration_since(from.timestamp()).as_secs_f64() / 60.0;
    let inputs = Inputs::load(page, &[], plain, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, plain)?;
    let request = Request {
        sheet: &sheet,
        sealer: Some(sealer),
        room: inputs.room.as_ref(),
        room_named: inputs.room_named,
        respirator: None,
        start: &inputs.start,
        now: &context.now,
        seed: SEED,
        why: false,
    };
    let plan = make(&request, plain);
    let Some(modelled) = plan.coats.iter().find(|one| one.number == coat).and_then(|one| one.touch_dry_min) else {
        let message = format!("the plan has no coat {coat} whose drying is modelled");
        let hint = format!("it has {} coats; those of water-borne sealers are not modelled", plan.coats.len());
        return Err(Failure::usage("no-such-coat", message, hint));
    };
    let of = format!("{}, coat {coat}", plan.page.title);
    read_thumb(
        &ThumbReading { of, minutes, clock_step_min: plain.model.measure.clock_step_min.get(), modelled },
        &plain.model.measure,
    )
    .map_err(refused)
}

/// What a reading raises against what is known by now.
fn question(reading: &Reading, record: &CanRecord, sealer: &Sealer, plain: &Catalog) -> Option<Box<Problem>> {
    questioned(expected(reading, record, sealer, &plain.model)?, reading, &plain.model.measure)
}

fn said(reading: &Reading) -> String {
    match reading {
        Reading::Can { rate_g_s, relative_sd, .. } => {
            format!("{rate_g_s:.2} g/s at 22 °C, give or take {:.0} %,", 100.0 * relative_sd)
        }
        Reading::Cone { half_angle_deg, relative_sd, .. } => {
            format!("a half angle of {half_angle_deg:.1}°, give or take {:.0} %,", 100.0 * relative_sd)
        }
        Reading::Transfer { share_at_15cm, relative_sd, .. } => {
            format!("{:.0} % stays at 15 cm, give or take {:.0} %,", 100.0 * share_at_15cm, 100.0 * relative_sd)
        }
        Reading::Drying { minutes, modelled_p50_min, of, .. } => {
            format!("touch-dry after {minutes:.0} min where the model says {modelled_p50_min:.0} min ({of}),")
        }
        Reading::Scrap { medium, wet_um, held, .. } => {
            format!("{medium} {} under {wet_um:.1} µm wet,", if *held { "held" } else { "did not hold" })
        }
    }
}

fn figure_words(figure: &str) -> (&'static str, &'static str) {
    match figure {
        "discharge_g_s" => ("rate at 22 °C", "g/s"),
        "cone_half_angle_deg" => ("half angle of the cone", "°"),
        "transfer_at_15cm" => ("share that stays at 15 cm", ""),
        _ => ("drying time over the model's", "times"),
    }
}

/// Prints what is known of a can.
///
/// # Errors
/// If it cannot be written.
pub(super) fn show(
    answer: &str,
    record: &CanRecord,
    sealer: &Sealer,
    plain: &Catalog,
    context: &Context,
) -> Result<Exit, Failure> {
    let known = posteriors(record, sealer, &plain.model);
    let file = shelves::can_path(&sealer.id, context)?.display().to_string();
    if context.format == Format::Json {
        output::json(
            context,
            &Document {
                schema: "coatbell.measure/1",
                version: env!("CARGO_PKG_VERSION"),
                sealer: &sealer.id,
                file,
                answer: answer.to_owned(),
                known,
                measurements: &record.measurements,
                cautions: caution::in_full(),
            },
        )?;
        return Ok(Exit::Done);
    }
    let mut all = vec![Paragraph::Text(answer.trim_end_matches(',').to_owned())];
    if !known.is_empty() {
        all.push(Paragraph::Head("What is known now".to_owned()));
        for one in &known {
            let (what, unit) = figure_words(one.figure);
            all.push(Paragraph::Bullet(format!(
                "{what}: {:.2} {unit}, could be {:.2} to {:.2}; before: {:.2} to {:.2}",
                one.now.p50, one.now.p10, one.now.p90, one.before.p10, one.before.p90
            )));
        }
    }
    if !record.measurements.is_empty() {
        all.push(Paragraph::Head("Measurements".to_owned()));
        for one in &record.measurements {
            let day = one.at.get(..16).unwrap_or(&one.at).replace('T', " ");
            let insisted = if one.insisted { " (insisted on)" } else { "" };
            all.push(Paragraph::Bullet(format!("{day}  {}{insisted}", said(&one.reading).trim_end_matches(','))));
        }
        all.push(Paragraph::Head("Where".to_owned()));
        all.push(Paragraph::Text(file));
        let note = "Plans with this sealer use it from now on; no warning becomes milder by it";
        all.push(Paragraph::Text(note.to_owned()));
    }
    all.push(Paragraph::Text(caution::IN_ONE_LINE.to_owned()));
    output::text(context, &paragraphs(&all, &context.look()))?;
    Ok(Exit::Done)
}
