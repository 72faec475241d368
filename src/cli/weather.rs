//! `coatbell weather`: the hours of a forecast in which a page can be sealed.

use std::path::PathBuf;

use clap::Args;
use clap::builder::PossibleValuesParser;

use super::common::Format;
use super::inputs::Inputs;
use super::page_arguments::{OneSealer, PageArguments};
use super::{Context, Exit, Failure, files, output, shelves};
use crate::diagnostic::{Problem, Problems};
use crate::input::{Airflow, Follows, ForecastUnits, RoomInput, TemperatureUnit, WindUnit, read_forecast};
use crate::page::Sheet;
use crate::plan::SEED;
use crate::report::{plan_ics, weather_text};
use crate::weather::{WeatherRequest, review};

const NAME: &str = "weather";

const EXAMPLES: &str = "\
Examples:
  coatbell weather page.toml --forecast forecast.csv
  coatbell weather page.toml --forecast forecast.csv --room garage.toml --between 8-20
  coatbell weather page.toml --forecast forecast.csv --sealer acrylic-satin --format ics -o best.ics

A forecast is a table of hours with the columns time, temperature, humidity and, if you have them, wind and rain:
  time,temperature (C),humidity (%),wind (m/s)
  2026-11-28 14:00,18.5,55,2.1
Its times are of the clock here, unless the header names another, as `time (UTC)` or
`time (Europe/Oslo)`, or they carry an offset.
";

/// What `weather` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
// What the forecast says is refused, so it is not offered.
#[command(mut_arg("start", |said| said.hide(true)), mut_arg("temperature", |said| said.hide(true)))]
#[command(mut_arg("humidity", |said| said.hide(true)))]
pub(super) struct WeatherArguments {
    #[command(flatten)]
    page: PageArguments,

    #[command(flatten)]
    sealer: OneSealer,

    /// The forecast: a table (CSV) of hours
    #[arg(long, value_name = "FILE", help_heading = "The forecast")]
    forecast: PathBuf,

    /// Hours of the day in which you would begin, for instance `8-20`; any hour if not given
    #[arg(long, value_name = "FROM-TO", help_heading = "The forecast")]
    between: Option<String>,

    /// Unit of the temperatures where the file names none
    #[arg(long, value_name = "C|F|K", help_heading = "The forecast", hide_possible_values = true,
        ignore_case = true, value_parser = PossibleValuesParser::new(["c", "f", "k"]))]
    temperature_unit: Option<String>,

    /// Unit of the wind where the file names none
    #[arg(long, value_name = "m/s|km/h|mph|kn", help_heading = "The forecast", hide_possible_values = true,
        ignore_case = true, value_parser = PossibleValuesParser::new(["m/s", "km/h", "mph", "kn"]))]
    wind_unit: Option<String>,
}

/// Reviews a forecast; ends with 4 if no hour suits.
pub(super) fn run(arguments: &WeatherArguments, context: &Context) -> Result<Exit, Failure> {
    if arguments.page.temperature.is_some() || arguments.page.humidity.is_some() || arguments.page.start.is_some() {
        let message = "`--temperature`, `--humidity` and `--start` come from the forecast here";
        return Err(Failure::usage(
            "forecast-says",
            message,
            "leave them out; a heated room's file says its temperature",
        ));
    }
    let named = arguments.sealer.named()?;
    let between_h = between(arguments.between.as_deref())?;
    let catalog = shelves::catalog(context, NAME)?;
    let units = ForecastUnits {
        temperature: known(&TemperatureUnit::WORDS, arguments.temperature_unit.as_deref()),
        wind: known(&WindUnit::WORDS, arguments.wind_unit.as_deref()),
    };
    let source = files::read_text(&arguments.forecast, context, NAME)?;
    let forecast = read_forecast(&source, context.now.time_zone(), units)?;
    if forecast.hours.last().is_some_and(|last| last.at < context.now) {
        let last =
            forecast.hours.last().map(|hour| hour.at.strftime("%-d %b %Y %H:%M").to_string()).unwrap_or_default();
        let problem = Problem::new("forecast-past", format!("the forecast is over: its last hour is {last}"))
            .with_hint("fetch a new one, or set COATBELL_NOW to look back");
        return Err(Problems::whole(&source.name, problem).into());
    }
    let inputs = Inputs::load(&arguments.page, named, &catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, &catalog)?;
    let room = inputs.room.unwrap_or_else(|| open_air(&catalog));
    let follows = follows(&room)?;
    let request = WeatherRequest {
        sheet: &sheet,
        sealer: inputs.sealers.first(),
        room: &room,
        follows,
        forecast: &forecast,
        between_h,
        now: &context.now,
        seed: SEED,
    };
    let weather = review(&request, &catalog);
    if context.calendar {
        let Some(plan) = &weather.best_plan else {
            let problem =
                Problem::new("no-hour", weather.answer.clone()).with_hint("without `--format ics` it says why");
            return Err(Failure::Refused(Box::new(problem)));
        };
        output::raw(context, &plan_ics(plan, &context.look()).map_err(Failure::Refused)?)?;
        return Ok(Exit::of(weather.verdict, context.exit_zero));
    }
    match context.format {
        Format::Json => output::json(context, &weather)?,
        Format::Text => output::text(context, &weather_text(&weather, &context.look()))?,
    }
    Ok(Exit::of(weather.verdict, context.exit_zero))
}

fn known<T: Copy>(words: &[(&'static str, T)], typed: Option<&str>) -> Option<T> {
    let typed = typed?.to_lowercase();
    words.iter().find(|(word, _)| *word == typed).map(|(_, unit)| *unit)
}

/// The bench where no room is named: outdoors, which is what one asks a forecast for.
fn open_air(catalog: &crate::catalog::Catalog) -> RoomInput {
    let outdoors = catalog.room("outdoors").cloned();
    outdoors.expect("a built-in room outdoors")
}

/// How a room goes with the weather: as its file says; else outdoors is the weather, and a room with a temperature keeps
/// it.
fn follows(room: &RoomInput) -> Result<Follows, Failure> {
    let missing = |message: String| {
        let hint = "write `temperature = \"20 C\"` into the room file, or `follows = \"garage\"` if it is not heated";
        Err(Failure::usage("room-and-weather", message, hint))
    };
    match room.follows {
        Some(Follows::Heated) if room.temperature_c.is_none() => {
            missing(format!("{} is heated, but to which temperature?", room.name))
        }
        Some(follows) => Ok(follows),
        None if room.airflow == Some(Airflow::Outdoors) => Ok(Follows::Outdoors),
        None if room.temperature_c.is_some() => Ok(Follows::Heated),
        None => missing(format!("nothing says how the air of {} goes with the weather", room.name)),
    }
}

/// The hours of `--between`.
fn between(typed: Option<&str>) -> Result<(i8, i8), Failure> {
    let Some(typed) = typed else { return Ok((0, 24)) };
    let wrong = || {
        let message = format!("`--between`: `{typed}` is not two hours of the day");
        Failure::usage("not-hours", message, "write `8-20`: from eight in the morning up to eight in the evening")
    };
    let hour = |text: &str| -> Option<i8> {
        let text = text.trim();
        let whole = text.strip_suffix(":00").unwrap_or(text);
        whole.parse::<i8>().ok().filter(|hour| (0..=24).contains(hour))
    };
    let (from, until) = typed.split_once(['-', '–']).ok_or_else(wrong)?;
    match (hour(from), hour(until)) {
        (Some(from), Some(until)) if from != until && from < 24 => Ok((from, until)),
        _ => Err(wrong()),
    }
}
