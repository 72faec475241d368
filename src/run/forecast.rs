//! When the rest will be, and what a change moved.

use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

use super::page::later;
use super::state::State;
use super::words::clock_words;

/// What is foreseen for one page: coats not yet sprayed, and handling.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Each coat with its number, its moment, and whether it is a mist.
    pub coats: Vec<(usize, Timestamp, bool)>,
    /// Handling; absent if no coat was ever put on.
    pub handle_at: Option<Timestamp>,
}

impl State {
    /// What is foreseen for each page, if every coat is sprayed when it is due.
    pub fn forecast(&self) -> Vec<Forecast> {
        self.pages
            .iter()
            .enumerate()
            .map(|(index, page)| {
                let mut coats = Vec::new();
                let mut handle_at = page.handle_at();
                if let Some(mut at) = page.due_at() {
                    for coat in &page.coats[page.done.len()..] {
                        at = coat.not_before.map_or(at, |not_before| not_before.max(at));
                        coats.push((coat.number, at, coat.mist));
                        let end = later(at, self.step_s(index, coat));
                        handle_at = Some(later(end, page.spec.handle_after_s));
                        at = later(end, i64::from(coat.wait_min) * 60);
                    }
                }
                Forecast { coats, handle_at }
            })
            .collect()
    }
}

/// Shifts below this are not worth a word, s.
const WORTH_SAYING_S: i64 = 60;

/// What moved from one state to the next, as sentences: coats later or earlier, builds that became mists, coats that
/// fell away. Only coats that are still to come in both count.
pub fn changes(before: &State, after: &State, zone: &TimeZone) -> Vec<String> {
    let mut said = Vec::new();
    let many = after.pages.len() > 1;
    let pages = before.forecast().into_iter().zip(after.forecast()).zip(&after.pages);
    for ((before, after), page) in pages {
        let name = if many { format!("{}: ", page.spec.title) } else { String::new() };
        let clock = |at: Timestamp, beside: Timestamp| {
            let beside: ZonedDateTime = beside.to_zoned_datetime(zone.clone());
            clock_words(at, &beside)
        };
        for (number, was, was_mist) in &before.coats {
            let Some((_, is, mist)) = after.coats.iter().find(|(other, ..)| other == number) else {
                if page.ended {
                    said.push(format!("{name}coat {number} falls away"));
                }
                continue;
            };
            if (is.as_second() - was.as_second()).abs() >= WORTH_SAYING_S {
                said.push(format!("{name}coat {number} at {} (was {})", clock(*is, *was), clock(*was, *was)));
            }
            if *mist && !*was_mist {
                said.push(format!("{name}coat {number} becomes a mist coat: further away and faster"));
            }
        }
        if let (Some(was), Some(is)) = (before.handle_at, after.handle_at)
            && (is.as_second() - was.as_second()).abs() >= WORTH_SAYING_S
        {
            said.push(format!("{name}handle from {} (was {})", clock(is, was), clock(was, was)));
        }
    }
    said
}
