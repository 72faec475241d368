//! Moments on a sheet that is read later than it is written: never `today` or `tomorrow`.

use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::words::moment;

/// The clock time on the day of the first coat, the day and the time on any other.
pub(super) fn when(plan: &Plan, look: &Look, iso: &str) -> String {
    let Some(at) = moment(look, iso) else { return iso.to_owned() };
    let first = plan.coats.first().and_then(|coat| coat.starts_at.as_ref()).and_then(|iso| moment(look, iso));
    let format = match first {
        Some(first) if first.date() == at.date() => "%H:%M",
        _ if at.year() == look.now.year() => "%a %-d %b %H:%M",
        _ => "%-d %b %Y %H:%M",
    };
    at.strftime(format).to_string()
}

/// The day of the first coat in full, or that of writing.
pub(super) fn day(plan: &Plan, look: &Look) -> String {
    let first = plan.coats.first().and_then(|coat| coat.starts_at.as_ref()).and_then(|iso| moment(look, iso));
    first.unwrap_or_else(|| look.now.clone()).strftime("%A %-d %B %Y").to_string()
}

/// Milliseconds since 1970, as the script of the sheet counts.
pub(super) fn milliseconds(iso: Option<&String>) -> Option<i64> {
    iso?.parse::<jiff::Timestamp>().ok().map(jiff::Timestamp::as_millisecond)
}
