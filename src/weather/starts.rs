//! From which rows on the whole run stays within the rules.

use jiff::ZonedDateTime;

use super::limits::Judged;
use super::{Start, WeatherRequest};
use crate::finding::Level;

/// Why a row is no start, or the start it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Candidate {
    /// A run may begin here.
    Start(Start),
    /// It begins too early, at night, or the page is not ready: nobody asked.
    NotAsked,
    /// The forecast ends, or has a hole, before the run does.
    NotCovered,
    /// This row of the run is on hold, or misses a value.
    Held(usize),
}

/// Every row as a start. A run needs every row from its own to the first at or after its end: between two rows the air is
/// taken as no worse than the worse of them.
pub(super) fn starts(
    request: &WeatherRequest<'_>,
    judged: &[Option<Judged>],
    run_min: f64,
    earliest: &ZonedDateTime,
) -> Vec<Candidate> {
    let hours = &request.forecast.hours;
    let seconds = |row: usize| hours[row].at.timestamp().as_second();
    let widest_s = request.forecast.step_min * 90;
    (0..hours.len())
        .map(|first| {
            let (from, until) = request.between_h;
            let hour = hours[first].at.hour();
            let awake = if from <= until { (from..until).contains(&hour) } else { hour >= from || hour < until };
            if !awake || hours[first].at < *earliest {
                return Candidate::NotAsked;
            }
            let end_s = seconds(first) as f64 + run_min * 60.0;
            let mut start: Option<Start> = None;
            for row in first..hours.len() {
                if row > first && seconds(row) - seconds(row - 1) > widest_s {
                    return Candidate::NotCovered;
                }
                let Some(judged) = judged[row].filter(|judged| judged.level < Level::Hold) else {
                    return Candidate::Held(row);
                };
                let so_far = start.get_or_insert(Start {
                    row: first,
                    level: judged.level,
                    margin: judged.margin,
                    nearest: judged.kind,
                });
                if (judged.level, -judged.margin) > (so_far.level, -so_far.margin) {
                    so_far.nearest = judged.kind;
                }
                so_far.level = so_far.level.max(judged.level);
                so_far.margin = so_far.margin.min(judged.margin);
                if seconds(row) as f64 >= end_s {
                    return Candidate::Start(*so_far);
                }
            }
            Candidate::NotCovered
        })
        .collect()
}
