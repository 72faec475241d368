//! One row of a forecast.

use std::ops::Range;

use super::ForecastHour;
use super::columns::Columns;
use super::moments::{Moments, NoMoment};
use crate::diagnostic::Problem;

/// What stands for a value that is missing.
const MISSING: [&str; 9] = ["", "na", "n/a", "nan", "-", "--", "null", "none", "?"];

/// A row with its place.
pub(super) struct Row<'a> {
    pub(super) record: &'a csv::StringRecord,
    pub(super) columns: &'a Columns,
    pub(super) span: Range<usize>,
}

/// What a column may hold.
struct Allowed {
    name: &'static str,
    low: f64,
    high: f64,
    unit: &'static str,
    hint: &'static str,
}

impl Row<'_> {
    /// A problem of this row.
    pub(super) fn problem(&self, code: &'static str, message: impl Into<String>) -> Problem {
        Problem::new(code, message).at(self.span.clone())
    }

    /// The row as an hour; what is wrong is added to the problems.
    pub(super) fn hour(
        &self,
        moments: &mut Moments,
        separator: u8,
        problems: &mut Vec<Problem>,
    ) -> Option<ForecastHour> {
        let text = self.record.get(self.columns.time).unwrap_or_default();
        let at = match moments.read(text) {
            Ok(at) => Some(at),
            Err(NoMoment::Unreadable) => {
                let problem = self.problem("not-a-time", format!("`{text}` is not a date and time"));
                problems
                    .push(problem.with_hint("write `2026-11-28 14:00`, or with an offset `2026-11-28 14:00+01:00`"));
                None
            }
            Err(NoMoment::Skipped) => {
                let problem =
                    self.problem("no-such-hour", format!("`{text}` does not exist here: clocks went forward"));
                problems.push(problem.with_hint("give the times with an offset, or in UTC as `2026-03-29T01:00Z`"));
                None
            }
        };
        let mut value = |place: usize, convert: &dyn Fn(f64) -> f64, allowed: &Allowed| -> Option<f64> {
            let text = self.record.get(place).unwrap_or_default().trim();
            if MISSING.contains(&text.to_lowercase().as_str()) {
                return None;
            }
            let plain = if separator == b',' { text.to_owned() } else { text.replace(',', ".") };
            let Ok(number) = plain.parse::<f64>() else {
                let problem = self.problem("not-a-number", format!("{}: `{text}` is not a number", allowed.name));
                problems.push(problem.with_hint("write the number alone, and its unit in the header"));
                return None;
            };
            let value = convert(number);
            if !value.is_finite() || value < allowed.low - 1e-9 || value > allowed.high + 1e-9 {
                let shown = |value: f64| crate::quantity::number((value * 100.0).round() / 100.0);
                let message = format!(
                    "{} of {text} is outside {} {unit} to {} {unit}",
                    allowed.name,
                    shown(allowed.low),
                    shown(allowed.high),
                    unit = allowed.unit,
                );
                problems.push(self.problem("out-of-range", message).with_hint(allowed.hint));
                return None;
            }
            Some(value)
        };
        let (place, unit) = self.columns.temperature;
        let temperature_c = value(
            place,
            &|number| unit.celsius(number),
            &Allowed {
                name: "a temperature",
                low: -60.0,
                high: 55.0,
                unit: "°C",
                hint: "if these are degrees Fahrenheit, write `temperature (F)` in the header",
            },
        );
        let (place, factor) = self.columns.humidity;
        let humidity_pct = value(
            place,
            &|number| 100.0 * factor * number,
            &Allowed {
                name: "a humidity",
                low: 0.0,
                high: 105.0,
                unit: "%",
                hint: "give relative humidity in per cent",
            },
        );
        let wind_m_s = self.columns.wind.and_then(|(place, unit)| {
            let allowed = Allowed {
                name: "a wind",
                low: 0.0,
                high: 60.0,
                unit: "m/s",
                hint: "if these are km/h, write `wind (km/h)` in the header",
            };
            value(place, &|number| unit.metres_per_second(number), &allowed)
        });
        let rain_mm = self.columns.rain.and_then(|(place, factor)| {
            let allowed = Allowed { name: "rain", low: 0.0, high: 500.0, unit: "mm", hint: "give millimetres an hour" };
            value(place, &|number| factor * number, &allowed)
        });
        // Stations report a little over saturation; air holds no more.
        let relative_humidity = humidity_pct.map(|percent| (percent / 100.0).min(1.0));
        at.map(|at| ForecastHour { at, temperature_c, relative_humidity, wind_m_s, rain_mm })
    }
}
