//! Moments as a person writes them: `2026-11-24 16:00`, `18:00`, `3 days ago`, `now`.

use jiff::civil::{Date, DateTime, Time};
use jiff::{SignedDuration, ZonedDateTime};

use crate::quantity::TimeSpan;

/// Reads a moment, in the time zone of `now`.
///
/// Accepted: `now` or `today`, `yesterday`, `TIME ago` (`3 days ago`, `80 h ago`), `in TIME` (`in 2 h`), a local date and
/// time (`2026-11-24 16:00`, with or without seconds, `T` between), a date alone (its noon, since "finished on the 24th"
/// means some time that day), a clock time alone (today), and a full ISO 8601 time with offset.
///
/// # Errors
/// The cure, as a hint.
pub fn parse_when(text: &str, now: &ZonedDateTime) -> Result<ZonedDateTime, String> {
    const HINT: &str = "write a local time such as `2026-11-24 16:00`, or `3 days ago`";
    let text = text.trim();
    if text.len() > 60 {
        return Err(HINT.to_owned());
    }
    let lower = text.to_lowercase();
    if lower == "now" || lower == "today" {
        return Ok(now.clone());
    }
    let moved = |span: &str, sign: f64| -> Result<ZonedDateTime, String> {
        let spelled = match span.strip_prefix("a ").or_else(|| span.strip_prefix("an ")) {
            Some(unit) => format!("1 {unit}"),
            None => span.to_owned(),
        };
        let span = TimeSpan::parse(&spelled).map_err(|error| error.hint())?;
        let shift = SignedDuration::from_secs((sign * span.seconds()).round() as i64);
        now.checked_add(shift).map_err(|_| HINT.to_owned())
    };
    if let Some(span) = lower.strip_suffix(" ago") {
        return moved(span, -1.0);
    }
    if let Some(span) = lower.strip_prefix("in ") {
        return moved(span, 1.0);
    }
    if lower == "yesterday" {
        return moved("1 day", -1.0);
    }
    if let Ok(moment) = text.parse::<jiff::Timestamp>() {
        return Ok(moment.to_zoned_datetime(now.time_zone().clone()));
    }
    let spelled = twelve_hours(&lower);
    let text = spelled.as_deref().unwrap_or(text);
    let local: Option<DateTime> = if let Ok(time) = text.parse::<Time>()
        && text.contains(':')
        && !text.contains('-')
    {
        Some(now.date().to_datetime(time))
    } else if let Ok(date) = text.parse::<Date>()
        && !text.contains(':')
    {
        Some(date.at(12, 0, 0, 0))
    } else {
        text.parse::<DateTime>().ok()
    };
    local.and_then(|local| local.to_zoned_datetime(now.time_zone().clone()).ok()).ok_or_else(|| HINT.to_owned())
}

/// `6 pm` and `6:30 am` as a clock of 24 hours.
fn twelve_hours(lower: &str) -> Option<String> {
    let (clock, afternoon) = match (lower.strip_suffix("am"), lower.strip_suffix("pm")) {
        (Some(clock), _) => (clock, false),
        (_, Some(clock)) => (clock, true),
        _ => return None,
    };
    let (hour, minute) = clock.trim().split_once(':').unwrap_or((clock.trim(), "00"));
    let hour: u32 = hour.parse().ok().filter(|hour| (1..=12).contains(hour))?;
    let minute: u32 = minute.parse().ok().filter(|minute| *minute < 60)?;
    Some(format!("{:02}:{minute:02}", hour % 12 + if afternoon { 12 } else { 0 }))
}

/// A moment as a person reads it beside `now`: `18:05` today, `Thu 18:05` within a week, else the date too.
pub fn clock_time(moment: &ZonedDateTime, now: &ZonedDateTime) -> String {
    let days = moment.date().since(now.date()).map_or(0, |span| span.get_days());
    let format = match days {
        0 => "%H:%M",
        1..=6 => "%a %H:%M",
        _ => "%a %e %b %H:%M",
    };
    moment.strftime(format).to_string()
}

/// A moment in ISO 8601 with its offset, to the second: as documents and kept files tell it.
pub fn iso(moment: &ZonedDateTime) -> String {
    moment.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}
