//! Which column is what, in which unit: read from the names in the header.

use jiff::tz::TimeZone;

use super::ForecastUnits;
use super::moments::clock_of;
use crate::diagnostic::{Problem, nearest};

/// A unit of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
    /// Kelvin.
    Kelvin,
}

impl TemperatureUnit {
    /// The spellings accepted.
    pub const WORDS: [(&'static str, Self); 9] = [
        ("c", Self::Celsius),
        ("f", Self::Fahrenheit),
        ("k", Self::Kelvin),
        ("°c", Self::Celsius),
        ("°f", Self::Fahrenheit),
        ("degc", Self::Celsius),
        ("degf", Self::Fahrenheit),
        ("celsius", Self::Celsius),
        ("fahrenheit", Self::Fahrenheit),
    ];

    /// A value of this unit in °C.
    pub fn celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - 273.15,
        }
    }
}

/// A unit of wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindUnit {
    /// Metres a second.
    MetresPerSecond,
    /// Kilometres an hour.
    KilometresPerHour,
    /// Miles an hour.
    MilesPerHour,
    /// Knots.
    Knots,
}

impl WindUnit {
    /// The spellings accepted.
    pub const WORDS: [(&'static str, Self); 10] = [
        ("m/s", Self::MetresPerSecond),
        ("km/h", Self::KilometresPerHour),
        ("mph", Self::MilesPerHour),
        ("kn", Self::Knots),
        ("ms", Self::MetresPerSecond),
        ("mps", Self::MetresPerSecond),
        ("kmh", Self::KilometresPerHour),
        ("kph", Self::KilometresPerHour),
        ("knots", Self::Knots),
        ("kt", Self::Knots),
    ];

    /// A value of this unit in m/s.
    pub fn metres_per_second(self, value: f64) -> f64 {
        match self {
            Self::MetresPerSecond => value,
            Self::KilometresPerHour => value / 3.6,
            Self::MilesPerHour => value * 0.447_04,
            Self::Knots => value * 0.514_444,
        }
    }
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    Time,
    Temperature,
    Humidity,
    Wind,
    Rain,
}

/// Names of columns, without units, spaces or underscores.
const NAMES: [(&str, What); 35] = [
    ("time", What::Time),
    ("when", What::Time),
    ("date", What::Time),
    ("datetime", What::Time),
    ("timestamp", What::Time),
    ("localtime", What::Time),
    ("hour", What::Time),
    ("validtime", What::Time),
    ("temperature", What::Temperature),
    ("temp", What::Temperature),
    ("t", What::Temperature),
    ("airtemperature", What::Temperature),
    ("airtemp", What::Temperature),
    ("drybulb", What::Temperature),
    ("temperature2m", What::Temperature),
    ("t2m", What::Temperature),
    ("humidity", What::Humidity),
    ("rh", What::Humidity),
    ("rhum", What::Humidity),
    ("hum", What::Humidity),
    ("relativehumidity", What::Humidity),
    ("relhumidity", What::Humidity),
    ("relativehumidity2m", What::Humidity),
    ("relhum", What::Humidity),
    ("wind", What::Wind),
    ("windspeed", What::Wind),
    ("wspd", What::Wind),
    ("windspeed10m", What::Wind),
    ("ws", What::Wind),
    ("rain", What::Rain),
    ("precipitation", What::Rain),
    ("precip", What::Rain),
    ("rainfall", What::Rain),
    ("wet", What::Rain),
    ("showers", What::Rain),
];

/// Units of humidity, with the factor that makes a fraction of a value.
const HUMIDITY: [(&str, f64); 10] = [
    ("%", 0.01),
    ("percent", 0.01),
    ("pct", 0.01),
    ("%rh", 0.01),
    ("share", 1.0),
    ("fraction", 1.0),
    ("0-1", 1.0),
    ("0..1", 1.0),
    ("1", 1.0),
    ("rh%", 0.01),
];

/// Units of rain, with the factor that makes millimetres of a value.
const RAIN: [(&str, f64); 9] = [
    ("mm", 1.0),
    ("mm/h", 1.0),
    ("l/m2", 1.0),
    ("kg/m2", 1.0),
    ("in", 25.4),
    ("inch", 25.4),
    ("inches", 25.4),
    ("in/h", 25.4),
    ("cm", 10.0),
];

/// Where each column stands, and in which unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    pub(super) time: usize,
    /// The clock of times without an offset, if the header names one: `time (UTC)`, `time (Europe/Oslo)`.
    pub(super) written_in: Option<TimeZone>,
    pub(super) temperature: (usize, TemperatureUnit),
    /// The factor makes a fraction of a value.
    pub(super) humidity: (usize, f64),
    pub(super) wind: Option<(usize, WindUnit)>,
    /// The factor makes millimetres of a value.
    pub(super) rain: Option<(usize, f64)>,
    pub(super) assumed: Vec<&'static str>,
}

/// A name in the header, cut into its word and its unit.
fn cut(name: &str) -> (String, Option<String>) {
    let lower = name.trim().to_lowercase();
    let (word, unit) = match lower.split_once(['(', '[']) {
        Some((word, rest)) => (word.to_owned(), Some(rest.trim_end_matches([')', ']', ' ']).to_owned())),
        None => (lower, None),
    };
    let plain = |word: &str| word.chars().filter(|letter| letter.is_alphanumeric()).collect::<String>();
    if unit.is_some() || NAMES.iter().any(|(known, _)| *known == plain(&word)) {
        return (plain(&word), unit.map(|unit| unit.trim().to_owned()));
    }
    // `temp_c`, `wind speed km/h`, `wind_m_s`: what stands behind a known name is its unit, if it is one. A column
    // `wind_direction` is another column.
    let cuts = word.match_indices([' ', '_', '-']).map(|(at, _)| (&word[..at], word[at + 1..].trim()));
    let found = cuts.rev().find_map(|(before, after)| {
        let (_, what) = NAMES.iter().find(|(known, _)| *known == plain(before))?;
        is_unit(*what, after).then(|| (plain(before), Some(after.to_owned())))
    });
    found.unwrap_or_else(|| (plain(&word), None))
}

/// Whether a text is a unit of what a column holds.
fn is_unit(what: What, text: &str) -> bool {
    match what {
        // `time_local`, `date_iso`
        What::Time => clock_of(text).is_some() || !text.contains([' ', '_', '-']),
        What::Temperature => unit_of(&TemperatureUnit::WORDS, text).is_some(),
        What::Humidity => unit_of(&HUMIDITY, text).is_some(),
        What::Wind => unit_of(&WindUnit::WORDS, text).is_some(),
        What::Rain => unit_of(&RAIN, text).is_some(),
    }
}

fn unit_of<T: Copy>(words: &[(&'static str, T)], unit: &str) -> Option<T> {
    let unit = unit.replace(' ', "");
    // `wind_m_s`
    let with_stroke = unit.replace(['_', '-'], "/");
    words.iter().find(|(word, _)| *word == unit || *word == with_stroke).map(|(_, unit)| *unit)
}

/// The unit a header names for a column, which is called as `known` says and knows the units it says; one that is none is a
/// problem, and read as the first.
fn named<T: Copy>(
    words: &[(&'static str, T)],
    written: Option<&str>,
    (column, known): (&str, &str),
    problems: &mut Vec<Problem>,
) -> Option<T> {
    let written = written?;
    Some(unit_of(words, written).unwrap_or_else(|| {
        let message = format!("`{written}` is not a unit of {column}");
        problems.push(Problem::new("unknown-unit", message).with_hint(format!("write {known}")));
        words[0].1
    }))
}

impl Columns {
    /// Finds the columns of a header. Columns that mean nothing here are passed over.
    pub(super) fn find(header: &csv::StringRecord, units: ForecastUnits) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut found: [Option<(usize, Option<String>)>; 5] = [const { None }; 5];
        for (at, name) in header.iter().enumerate() {
            let (word, unit) = cut(name);
            let Some((_, what)) = NAMES.iter().find(|(known, _)| *known == word) else { continue };
            let place = &mut found[*what as usize];
            if place.is_some() {
                let message = format!("two columns hold the same: `{name}` is the second");
                let hint = match what {
                    What::Time => "put date and time into one column: `2026-11-28 14:00`",
                    _ => "keep one of them",
                };
                problems.push(Problem::new("column-twice", message).with_hint(hint));
            } else {
                *place = Some((at, unit));
            }
        }
        for (what, example) in [(What::Time, "time"), (What::Temperature, "temperature"), (What::Humidity, "humidity")]
        {
            if found[what as usize].is_none() {
                let near = nearest(example, header.iter());
                let hint = match near {
                    Some(near) => format!("did you mean `{example}` by `{near}`?"),
                    None => "the first line names the columns: `time,temperature (C),humidity,wind (m/s)`".to_owned(),
                };
                let message = format!("the forecast has no column `{example}`");
                problems.push(Problem::new("missing-column", message).with_hint(hint));
            }
        }
        let mut assumed = Vec::new();
        let unit = |what: What| found[what as usize].as_ref().map(|(at, unit)| (*at, unit.clone()));
        let temperature = unit(What::Temperature).map(|(at, written)| {
            let known = ("temperature", "`(C)`, `(F)` or `(K)`");
            let named = named(&TemperatureUnit::WORDS, written.as_deref(), known, &mut problems);
            let taken = named.or(units.temperature).unwrap_or_else(|| {
                assumed.push("°C");
                TemperatureUnit::Celsius
            });
            (at, taken)
        });
        let humidity = unit(What::Humidity).map(|(at, written)| {
            let named = named(&HUMIDITY, written.as_deref(), ("humidity", "`(%)` or `(share)`"), &mut problems);
            let factor = named.unwrap_or_else(|| {
                assumed.push("%");
                0.01
            });
            (at, factor)
        });
        let wind = unit(What::Wind).map(|(at, written)| {
            let known = ("wind", "`(m/s)`, `(km/h)`, `(mph)` or `(kn)`");
            let named = named(&WindUnit::WORDS, written.as_deref(), known, &mut problems);
            let taken = named.or(units.wind).unwrap_or_else(|| {
                assumed.push("m/s");
                WindUnit::MetresPerSecond
            });
            (at, taken)
        });
        let rain = unit(What::Rain).map(|(at, written)| {
            let named = named(&RAIN, written.as_deref(), ("rain", "`(mm)` or `(in)`"), &mut problems);
            (at, named.unwrap_or(1.0))
        });
        let time = unit(What::Time).map(|(at, written)| (at, written.as_deref().and_then(clock_of)));
        match (time, temperature, humidity) {
            (Some((time, written_in)), Some(temperature), Some(humidity)) if problems.is_empty() => {
                Ok(Self { time, written_in, temperature, humidity, wind, rain, assumed })
            }
            _ => Err(problems),
        }
    }
}
