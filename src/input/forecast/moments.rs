//! The moments of a forecast: local or with an offset, through both changes of the clocks.

use jiff::civil::DateTime;
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
    /// Moments of `zone`; times without an offset are of its clock, or in UTC.
    pub(super) fn new(zone: TimeZone, in_utc: bool) -> Self {
        let written_in = if in_utc { TimeZone::UTC } else { zone.clone() };
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

/// A moment with `Z` or an offset; `2026-11-28 14:00+01:00` without seconds too.
fn with_offset(text: &str) -> Option<Timestamp> {
    let (date, time) = text.split_once([' ', 'T', 't'])?;
    let sign = time.find(['+', '-', 'Z', 'z'])?;
    let (clock, offset) = time.split_at(sign);
    let clock = clock.trim();
    let seconds = if clock.matches(':').count() == 1 { ":00" } else { "" };
    format!("{date}T{clock}{seconds}{}", offset.trim()).parse().ok()
}
