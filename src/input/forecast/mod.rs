//! A forecast: a table of hours with temperature, humidity, wind and rain, as weather services and loggers write it.
//!
//! Columns may stand in any order and be separated by commas, semicolons or tabs; units stand in the header
//! (`temperature (F)`, `wind_kmh`) or are named by the caller. Without any, degrees Celsius, per
//! cent, metres a second and millimetres are taken, and the reader of the answer is told so.

mod columns;
mod moments;
mod rows;

use std::ops::Range;

use jiff::ZonedDateTime;
use jiff::tz::TimeZone;

use crate::diagnostic::{Problem, Problems, SourceText};
use columns::Columns;
pub use columns::{TemperatureUnit, WindUnit};
use moments::Moments;
use rows::Row;

/// Longest spacing of rows that still counts as a forecast, min.
const WIDEST_STEP_MIN: i64 = 180;
/// Most problems of values listed; a file with more is wrong in the same way throughout.
const MOST_PROBLEMS: usize = 60;

/// One row of a forecast. `None` is a value that is missing.
#[derive(Debug, Clone, PartialEq)]
pub struct ForecastHour {
    /// The moment it holds from.
    pub at: ZonedDateTime,
    /// Air temperature outdoors, °C.
    pub temperature_c: Option<f64>,
    /// Relative humidity outdoors, as a fraction.
    pub relative_humidity: Option<f64>,
    /// Wind, m/s.
    pub wind_m_s: Option<f64>,
    /// Rain or other wet, mm.
    pub rain_mm: Option<f64>,
}

/// A forecast, in order of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The rows.
    pub hours: Vec<ForecastHour>,
    /// The usual spacing of rows, min.
    pub step_min: i64,
    /// Whether there is a column of wind.
    pub has_wind: bool,
    /// Whether there is a column of rain.
    pub has_rain: bool,
    /// Units that nothing in the file states and that were taken, in words.
    pub assumed: Vec<&'static str>,
}

/// Units named by the caller, for a file that states none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ForecastUnits {
    /// Of the temperature.
    pub temperature: Option<TemperatureUnit>,
    /// Of the wind.
    pub wind: Option<WindUnit>,
}

/// Reads a forecast. Times without an offset are those of `zone`, or of the clock that the header names.
///
/// # Errors
/// Everything wrong with the file, at once: an unknown or missing column, a value out of range or in another unit, a
/// moment that does not exist, one that stands twice with different values, rows out of order.
pub fn read_forecast(source: &SourceText, zone: &TimeZone, units: ForecastUnits) -> Result<Forecast, Problems> {
    let fail = |problems: Vec<Problem>| Err(Problems::new(source.clone(), problems));
    let text = source.text.trim_start_matches('\u{feff}');
    let skipped = source.text.len() - text.len();
    let (header_at, first) = header_line(text);
    let at_header = skipped + header_at..skipped + header_at + first.len().max(1);
    let separator = separator(first);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .trim(csv::Trim::All)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let columns = match reader.headers() {
        Ok(header) => match Columns::find(header, units) {
            Ok(columns) => columns,
            Err(problems) => return fail(problems.into_iter().map(|problem| problem.at(at_header.clone())).collect()),
        },
        Err(_) => {
            return fail(vec![
                Problem::new("not-a-table", "the first line cannot be read as a row of names").at(at_header),
            ]);
        }
    };
    let mut problems = Vec::new();
    let mut moments = Moments::new(zone.clone(), columns.written_in.clone());
    let mut hours: Vec<ForecastHour> = Vec::new();
    let mut record = csv::StringRecord::new();
    loop {
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                let at = error.position().map_or(0, |position| position.byte() as usize) + skipped;
                problems.push(Problem::new("not-a-row", "this cannot be read as a row").at(at..at + 1));
                break;
            }
        }
        let row = Row { record: &record, columns: &columns, span: line_span(&source.text, &record, skipped) };
        let before = problems.len();
        let hour = row.hour(&mut moments, separator, &mut problems);
        let Some(hour) = hour.filter(|_| problems.len() == before) else { continue };
        match hours.last() {
            Some(last) if hour.at.timestamp() == last.at.timestamp() => {
                if hour != *last {
                    problems
                        .push(row.problem("hour-twice", "this hour stands twice, with different values").with_hint(
                        "keep one of the two; where clocks go back, give the times with an offset, as `02:00+01:00`",
                    ));
                }
            }
            Some(last) if hour.at < last.at => {
                let problem = row.problem("out-of-order", "this hour is earlier than the one before it");
                problems.push(problem.with_hint("put the rows in order of time"));
            }
            _ => hours.push(hour),
        }
        if problems.len() > MOST_PROBLEMS {
            break;
        }
    }
    if hours.is_empty() && problems.is_empty() {
        let problem = Problem::new("no-hours", "the forecast has no rows").with_hint("add a row for each hour");
        problems.push(problem.at(at_header.clone()));
    }
    if !problems.is_empty() {
        return fail(problems);
    }
    problems.extend(suspect(&hours).into_iter().map(|problem| problem.at(at_header.clone())));
    let step_min = usual_step_min(&hours);
    if step_min > WIDEST_STEP_MIN {
        let message = format!("the rows are {step_min} min apart, too far for a run of coats");
        problems.push(Problem::new("too-coarse", message).with_hint("take an hourly forecast").at(at_header));
    }
    if !problems.is_empty() {
        return fail(problems);
    }
    Ok(Forecast {
        hours,
        step_min,
        has_wind: columns.wind.is_some(),
        has_rain: columns.rain.is_some(),
        assumed: columns.assumed,
    })
}

/// The first line that is neither empty nor a comment, with the byte it begins at.
fn header_line(text: &str) -> (usize, &str) {
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let bare = line.trim_end_matches(['\n', '\r']);
        if !bare.trim().is_empty() && !bare.starts_with('#') {
            return (at, bare);
        }
        at += line.len();
    }
    (0, "")
}

/// The separator of a header line: the one that cuts it most often.
fn separator(first: &str) -> u8 {
    let count = |separator: u8| first.bytes().filter(|byte| *byte == separator).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|separator| count(*separator)).unwrap_or(b',')
}

/// Bytes of a record's line.
fn line_span(text: &str, record: &csv::StringRecord, skipped: usize) -> Range<usize> {
    let start = record.position().map_or(0, |position| position.byte() as usize + skipped).min(text.len());
    let start = start + text[start..].len() - text[start..].trim_start().len();
    let end = text[start..].find('\n').map_or(text.len(), |length| start + length);
    start..end.max(start + 1).min(text.len().max(start + 1))
}

/// The spacing that occurs most often, min; 60 for a single row.
fn usual_step_min(hours: &[ForecastHour]) -> i64 {
    let mut counts: std::collections::BTreeMap<i64, usize> = std::collections::BTreeMap::new();
    for pair in hours.windows(2) {
        let seconds = pair[1].at.timestamp().as_second() - pair[0].at.timestamp().as_second();
        *counts.entry((seconds + 30) / 60).or_default() += 1;
    }
    // Of spacings equally usual, the finer one: a forecast often turns coarser at its end.
    counts.into_iter().rev().max_by_key(|(_, count)| *count).map_or(60, |(step, _)| step.max(1))
}

/// Columns whose values all look like another unit.
fn suspect(hours: &[ForecastHour]) -> Vec<Problem> {
    let mut problems = Vec::new();
    let humidities: Vec<f64> = hours.iter().filter_map(|hour| hour.relative_humidity).collect();
    if humidities.len() > 2
        && humidities.iter().all(|share| *share <= 0.011)
        && humidities.iter().any(|share| *share > 0.0)
    {
        let problem = Problem::new("suspect-unit", "no humidity is over 1 %: these look like shares of one");
        problems.push(problem.with_hint("write `humidity (share)` in the header, or give per cent"));
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The moments of a table whose first column is headed as given, in the time of central Europe.
    fn moments(head: &str, times: &[&str]) -> Result<Vec<String>, Vec<&'static str>> {
        let zone = TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").expect("a zone");
        let table = format!("{head},temperature (C),humidity (%)\n{},20,50\n", times.join(",20,50\n"));
        let source = SourceText::new("hours.csv", &table);
        let told = |hour: &ForecastHour| hour.at.strftime("%d %H:%M%:z").to_string();
        read_forecast(&source, &zone, ForecastUnits::default())
            .map(|forecast| forecast.hours.iter().map(told).collect())
            .map_err(|problems| problems.list.iter().map(|problem| problem.code).collect())
    }

    #[test]
    fn half_hours_come_round_twice_where_clocks_go_back() {
        // Clocks go back on 25 October 2026 at 03:00.
        let night = ["01:30", "02:00", "02:30", "02:00", "02:30", "03:00"].map(|clock| format!("2026-10-25 {clock}"));
        let night: Vec<&str> = night.iter().map(String::as_str).collect();
        let told = moments("time", &night).expect("a forecast");
        let expected = ["01:30+02:00", "02:00+02:00", "02:30+02:00", "02:00+01:00", "02:30+01:00", "03:00+01:00"];
        assert_eq!(told, expected.map(|clock| format!("25 {clock}")));
        // Without its second round an hour is the first one.
        let told = moments("time", &["2026-10-25 01:00", "2026-10-25 02:00", "2026-10-25 03:00"]).expect("a forecast");
        assert_eq!(told, ["25 01:00+02:00", "25 02:00+02:00", "25 03:00+01:00"]);
    }

    #[test]
    fn a_column_that_stands_twice_is_refused() {
        assert_eq!(moments("time,temp (F)", &["2026-11-28 14:00,20"]), Err(vec!["column-twice"]));
    }

    #[test]
    fn a_header_may_say_that_times_are_in_utc() {
        for head in ["time (UTC)", "time_utc", "valid time [GMT]"] {
            let told = moments(head, &["2026-11-28 14:00", "2026-11-28T15:00", "2026-11-28 18:00+01:00"]);
            assert_eq!(
                told,
                Ok(["28 15:00+01:00", "28 16:00+01:00", "28 18:00+01:00"].map(str::to_owned).to_vec()),
                "{head}"
            );
        }
        // A clock elsewhere, summer time and all; what is no clock is passed over.
        for (head, expected) in [
            ("time (Europe/London)", "28 15:00+01:00"),
            ("time (America/New_York)", "28 20:00+01:00"),
            ("time_UTC-2", "28 17:00+01:00"),
            ("time [+05:30]", "28 09:30+01:00"),
            ("time (GMT+1)", "28 14:00+01:00"),
            ("time (UTC)", "28 15:00+01:00"),
            ("time (GMT +0530)", "28 09:30+01:00"),
            ("time (EST-5)", "28 14:00+01:00"),
            ("time (+25:00)", "28 14:00+01:00"),
            ("date (YYYY-MM-DD hh:mm)", "28 14:00+01:00"),
            ("time_local", "28 14:00+01:00"),
            ("time_america/new_york", "28 20:00+01:00"),
            ("time", "28 14:00+01:00"),
        ] {
            assert_eq!(moments(head, &["2026-11-28 14:00"]), Ok(vec![expected.to_owned()]), "{head}");
        }
        assert_eq!(moments("time (Europe/London)", &["2026-07-01 14:00"]), Ok(vec!["01 15:00+02:00".to_owned()]));
    }

    #[test]
    fn units_may_hang_on_a_name_and_other_columns_may_begin_like_one() {
        let wind = |header: &str| {
            let text = format!("time,temperature_c,relative_humidity_pct,{header}\n2026-11-28 14:00,14,60,10\n");
            let source = SourceText::new("f.csv", &text);
            let forecast = read_forecast(&source, &TimeZone::UTC, ForecastUnits::default()).expect("a forecast");
            assert_eq!((forecast.hours[0].temperature_c, forecast.hours[0].relative_humidity), (Some(14.0), Some(0.6)));
            forecast.hours[0].wind_m_s
        };
        let tenth = |wind: Option<f64>| wind.map(|wind| (wind * 10.0).round() / 10.0);
        for (header, expected) in [
            ("wind_m_s", Some(10.0)),
            ("wind_speed_km_h", Some(2.8)),
            ("wind-speed-kmh", Some(2.8)),
            ("wind speed (kn)", Some(5.1)),
            ("wind_direction", None),
            ("wind_gust_kmh", None),
            ("rain_probability", None),
        ] {
            assert_eq!(tenth(wind(header)), expected, "{header}");
        }
    }
}
