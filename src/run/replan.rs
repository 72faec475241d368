//! The rest of an evening, planned anew from what was really done.
//!
//! A state is *stale* once something happened that its plan did not know of: a coat late or early, taken back, left out, a
//! page taken out or put back, a mishap that needs time, a window missed, a clock that was set. The conductor then asks for
//! [`State::replanned`] and writes what comes of it as one entry of the journal; the fold only takes that entry over. So a
//! run that was killed in between is stale when it is taken up and is planned anew then, and one that was killed later
//! replays to the same moments without planning anything. Waits are no part of the entry: whatever it says, a coat is due
//! only when the one below is dry.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::entry::What;
use super::forecast::Forecast;
use super::page::{Out, PageState};
use super::state::State;
use super::words::clock_words;
use crate::batch::SheetNow;

/// Shifts below this are not worth a word, s.
const WORTH_SAYING_S: i64 = 120;

impl State {
    /// What the rest comes to if it is planned anew; `None` if the plan still knows everything, or there is no bench.
    pub fn replanned(&self, now: Timestamp) -> Option<What> {
        let bench = self.spec.bench.as_ref().filter(|bench| self.stale && bench.len() == self.pages.len())?;
        if self.over() || self.all_sprayed() {
            return None;
        }
        let sheets: Vec<SheetNow> = self.pages.iter().map(sheet_now).collect();
        let rest = bench.rest(&sheets, now, self.clock_set_s);
        let numbered = |starts: Vec<(usize, Timestamp)>| starts.into_iter().map(|(coat, at)| (coat + 1, at)).collect();
        let from_one = |pages: Vec<usize>| pages.into_iter().map(|page| page + 1).collect();
        Some(What::Replanned {
            starts: rest.starts.into_iter().map(numbered).collect(),
            postponed: from_one(rest.postponed),
            stuck: from_one(rest.stuck),
            overtime: rest.overtime,
            air_s: rest.air_s,
        })
    }

    /// When the last page may be handled, if every coat is sprayed when it is due.
    pub fn done_at(&self) -> Option<Timestamp> {
        self.forecast().into_iter().filter_map(|forecast| forecast.handle_at).max()
    }
}

fn sheet_now(page: &PageState) -> SheetNow {
    let coming = page.next().is_some();
    let left = page.coats.iter().skip(page.done.len()).filter(|_| coming);
    let planned = |at: Option<Timestamp>| at.unwrap_or(page.first_at);
    let whole = page.done.len() >= page.coats.len();
    SheetNow {
        done: page.done.iter().map(|done| (done.coat.number.saturating_sub(1), done.at)).collect(),
        left: left.map(|coat| (coat.number.saturating_sub(1), planned(coat.not_before))).collect(),
        dry_at: match page.dry_at() {
            Some(dry) => Some(dry),
            None => (page.extra_s > 0).then(|| page.due_at()).flatten(),
        },
        window_missed: page.missed_window,
        longer_s: if whole { page.extra_s } else { 0 },
    }
}

/// What a plan made anew moved, in words: a head, and a sentence for every page whose next coat moved. `None` if nothing
/// worth a word did.
pub(super) fn evening_words(
    before: &State,
    after: &State,
    stuck: &[usize],
    zone: &TimeZone,
) -> Option<(String, Vec<String>)> {
    let clock = |at: Timestamp, beside: Timestamp| clock_words(at, &beside.to_zoned_datetime(zone.clone()));
    let apart = |one: Timestamp, other: Timestamp| (one.as_second() - other.as_second()).abs() >= WORTH_SAYING_S;
    let mut said = Vec::new();
    let forecasts = before.forecast().into_iter().zip(after.forecast());
    for (number, ((was, is), (old, page))) in forecasts.zip(before.pages.iter().zip(&after.pages)).enumerate() {
        let title = &page.spec.title;
        if stuck.contains(&(number + 1)) && page.next().is_some() {
            said.push(format!("{title}: no time is left inside its window; see to it first, or take it out"));
        }
        if page.out == Some(Out::Postponed) && old.out.is_none() {
            let stop = after.spec.bench.as_ref().and_then(|bench| bench.stops_at());
            let stop = stop.map(|at| format!(" before {}", clock(at, after.last_at))).unwrap_or_default();
            said.push(format!("{title}: no time for it{stop}; keep it for another day"));
            continue;
        }
        for (coat, _, was_mist) in &was.coats {
            match is.coats.iter().find(|(other, ..)| other == coat) {
                Some((_, _, true)) if !was_mist => said.push(format!("{title}: coat {coat} becomes a mist coat")),
                None if page.ended && !old.ended => said.push(format!("{title}: coat {coat} falls away")),
                _ => {}
            }
        }
        let next = |forecast: &Forecast| forecast.coats.first().copied();
        let Some((coat, at, _)) = next(&is) else { continue };
        match was.coats.iter().find(|(other, ..)| *other == coat) {
            Some((_, was, _)) if apart(at, *was) => {
                said.push(format!("{title}: coat {coat} now {} (was {})", clock(at, after.last_at), clock(*was, at)));
            }
            Some(_) => {}
            None => said.push(format!("{title}: coat {coat} now {}", clock(at, after.last_at))),
        }
    }
    if after.overtime && !before.overtime {
        said.push("a page that is begun ends only after the quitting time".to_owned());
    }
    if after.air_s > before.air_s + WORTH_SAYING_S {
        said.push("the air takes longer after the last coat".to_owned());
    }
    let head = match (before.done_at(), after.done_at()) {
        (Some(was), Some(is)) if apart(was, is) => {
            let beside = after.last_at;
            format!("Rest of the evening planned anew: done {} instead of {}", clock(is, beside), clock(was, beside))
        }
        _ if said.is_empty() => return None,
        _ => "Rest of the evening planned anew, done at the same time".to_owned(),
    };
    Some((head, said))
}
