//! The moments of a forecast: local or with an offset, through both changes of the clocks.

use jiff::civil::DateTime;
use jiff::fmt::temporal::DateTimeParser;
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};

/// Reads one moment after another; where clocks go back, the first of two equal local times is the earlier one.
pub(super) struct Moments {
    /// Where the moments are told.
    zone: TimeZone,
    /// The clock of times without an offset.
    written_in: TimeZone,
    /// The last moment of a time without an offset.
    last: Option<Timestamp>,
}

/// Why a text is not a moment.
pub(super) enum NoMoment {
    /// It cannot be read as one.
    Unreadable,
    /// Clocks skip it.
    Skipped,
}

impl Moments {
    /// Moments of `zone`; times without an offset are of its clock, or of the one they are written in.
    pub(super) fn new(zone: TimeZone, written_in: Option<TimeZone>) -> Self {
        let written_in = written_in.unwrap_or_else(|| zone.clone());
        Self { zone, written_in, last: None }
    }

    /// The moment of a text: `2026-11-28 14:00`, `2026-11-28T14:00:00`, with `Z` or an offset or without.
    pub(super) fn read(&mut self, text: &str) -> Result<ZonedDateTime, NoMoment> {
        let text = text.trim();
        if let Some(at) = with_offset(text) {
            return Ok(at.to_zoned_datetime(self.zone.clone()));
        }
        let local: DateTime = text.parse().map_err(|_| NoMoment::Unreadable)?;
        let ambiguous = self.written_in.to_ambiguous_timestamp(local);
        let at = match ambiguous.offset() {
            AmbiguousOffset::Unambiguous { .. } => ambiguous.compatible(),
            AmbiguousOffset::Gap { .. } => return Err(NoMoment::Skipped),
            AmbiguousOffset::Fold { .. } => {
                let earlier = ambiguous.earlier().map_err(|_| NoMoment::Unreadable)?;
                // The hour comes round a second time once its first round was reached: rows stand in order of time.
                let again = self.last.is_some_and(|last| last >= earlier);
                if again { ambiguous.later() } else { Ok(earlier) }
            }
        }
        .map_err(|_| NoMoment::Unreadable)?;
        self.last = Some(at);
        Ok(at.to_zoned_datetime(self.zone.clone()))
    }
}

/// Hours that a clock is off UTC at most.
const FARTHEST_H: u32 = 14;

static OFFSETS: DateTimeParser = DateTimeParser::new();

/// The clock a text names: `utc`, `utc+1`, `+01:00`, `+0530`, `europe/oslo`; `None` if it names none that is known.
pub(super) fn clock_of(text: &str) -> Option<TimeZone> {
    if text == "z" {
        return Some(TimeZone::UTC);
    }
    let signed = text.strip_prefix("utc").or_else(|| text.strip_prefix("gmt")).unwrap_or(text).trim().replace('−', "-");
    // `EST-5` is left unread: a rule of zones means five hours ahead by it, and a person five behind.
    let Some(hours) = signed.strip_prefix(['+', '-']) else { return TimeZone::get(text).ok() };
    let digits = hours.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(hours.len());
    let pad = if digits == 1 { "0" } else { "" };
    let clock = OFFSETS.parse_time_zone(format!("{}{pad}{hours}", &signed[..1])).ok()?;
    let off = clock.to_fixed_offset().ok()?;
    (off.seconds().unsigned_abs() <= FARTHEST_H * 3600).then_some(clock)
}

/// A moment with `Z` or an offset; `2026-11-28 14:00+01:00` without seconds too.
fn with_offset(text: &str) -> Option<Timestamp> {
    let (date, time) = text.split_once([' ', 'T', 't'])?;
    let sign = time.find(['+', '-', 'Z', 'z'])?;
    let (clock, offset) = time.split_at(sign);
    let clock = clock.trim();
    let seconds = if clock.matches(':').count() == 1 { ":00" } else { "" };
    format!("{date}T{clock}{seconds}{}", offset.trim()).parse().ok()
}
