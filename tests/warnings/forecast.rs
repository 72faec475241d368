//! What a review of a forecast is warned of.

use coatbell::diagnostic::SourceText;
use coatbell::finding::{Finding, Level};
use coatbell::input::{Follows, ForecastUnits, read_forecast};
use coatbell::page::Sheet;
use coatbell::weather::{WeatherRequest, review};
use jiff::tz::TimeZone;

use super::{Warning, seen_and_missed};
use crate::support::{CATALOG, now, page, room};

const HEAD: &str = "time,temperature (C),humidity (%),wind (m/s)\n";
const OLD: &str = "finished = \"60 days ago\"";

/// Eight hours of one air, from the moment of the tests on.
fn hours(head: &str, row: &str) -> String {
    let rows: Vec<String> = (18..=23).map(|hour| format!("2026-11-25 {hour}:00,{row}\n")).collect();
    format!("{head}{}", rows.concat())
}

/// The review of one layer for the open air, begun before so many hours of the day.
fn told(table: &str, finished: &str, follows: Follows, before_h: i8) -> Vec<Finding> {
    let forecast = read_forecast(&SourceText::new("table.csv", table), &TimeZone::UTC, ForecastUnits::default());
    let forecast = forecast.unwrap_or_else(|problems| panic!("{:#?}", problems.list));
    let text = format!("size = \"A6\"\npaper = \"cold-press\"\n[[layer]]\nmedium = \"watercolour\"\n{finished}\n");
    let (source, input) = page(&text);
    let sheet = Sheet::resolve(&input, &source, &CATALOG).expect("known names");
    let room = match follows {
        Follows::Outdoors => room("airflow = \"outdoors\"\n"),
        _ => room("volume = \"40 m3\"\nairflow = \"cross-draught\"\n"),
    };
    let now = now();
    let request = WeatherRequest {
        sheet: &sheet,
        sealer: Some(&CATALOG.sealers["acrylic-satin"]),
        room: &room,
        follows,
        forecast: &forecast,
        between_h: (0, before_h),
        now: &now,
        seed: 1,
    };
    review(&request, &CATALOG).findings
}

fn outdoors(table: &str) -> Vec<Finding> {
    told(table, OLD, Follows::Outdoors, 24)
}

fn fine() -> String {
    hours(HEAD, "20,50,2")
}

pub(super) const WARNINGS: [Warning; 6] = [
    Warning {
        code: "wind-not-given",
        level: Level::Care,
        called_for: || outdoors(&hours("time,temperature (C),humidity (%)\n", "20,50")),
        not_called_for: Some(|| outdoors(&fine())),
    },
    Warning {
        code: "garage-lag",
        level: Level::Care,
        called_for: || told(&fine(), OLD, Follows::Garage, 24),
        not_called_for: Some(|| outdoors(&fine())),
    },
    Warning {
        code: "layer-to-lay",
        level: Level::Care,
        called_for: || told(&fine(), "", Follows::Outdoors, 24),
        not_called_for: Some(|| outdoors(&fine())),
    },
    Warning {
        code: "ready-later",
        level: Level::Note,
        called_for: || told(&fine(), "finished = \"1 h ago\"", Follows::Outdoors, 24),
        not_called_for: Some(|| outdoors(&fine())),
    },
    Warning {
        code: "units-assumed",
        level: Level::Note,
        called_for: || outdoors(&hours("time,temperature,humidity,wind\n", "20,50,2")),
        not_called_for: Some(|| outdoors(&fine())),
    },
    // The last hours are asked for, or they are not.
    Warning {
        code: "forecast-ends",
        level: Level::Note,
        called_for: || outdoors(&fine()),
        not_called_for: Some(|| told(&fine(), OLD, Follows::Outdoors, 19)),
    },
];

#[test]
fn what_a_forecast_leaves_open() {
    seen_and_missed(&WARNINGS);
}
