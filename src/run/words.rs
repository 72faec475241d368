//! What a reminder says: the same words on the desktop, on the screen and in a pipe.

use jiff::{Timestamp, ZonedDateTime};

use super::bells::{BellKind, Due};
use super::decide::Refusal;
use super::page::PageState;
use super::spec::CoatSpec;
use super::state::State;
use crate::quantity::{Units, minutes_in_words, number};

/// Stands before everything a rehearsal says.
pub(super) const REHEARSAL: &str = "REHEARSAL: ";

/// A reminder in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// One line: what and which page.
    pub title: String,
    /// What to do.
    pub body: String,
}

/// A moment beside another: `14:40`, with the day where it is another day.
pub fn clock_words(at: Timestamp, beside: &ZonedDateTime) -> String {
    let at = at.to_zoned_datetime(beside.time_zone().clone());
    let days = beside.date().until(at.date()).map_or(i32::MAX, |span| span.get_days());
    let format = match days {
        0 => "%H:%M",
        1 => "tomorrow %H:%M",
        -1 => "yesterday %H:%M",
        2..=6 => "%a %H:%M",
        _ if at.year() == beside.year() => "%a %-d %b %H:%M",
        _ => "%-d %b %Y %H:%M",
    };
    at.strftime(format).to_string()
}

/// A span of seconds as a person says it: `40 s`, `12 min`, `1 h 5 min`. Minutes are rounded down.
pub fn span_words(seconds: i64) -> String {
    let seconds = seconds.abs();
    if seconds < 90 { format!("{seconds} s") } else { minutes_in_words(seconds / 60) }
}

/// How a coat is sprayed, in two sentences.
pub fn instructions(coat: &CoatSpec, units: Units) -> String {
    let passes = if coat.passes == 1 { "1 pass".to_owned() } else { format!("{} passes", coat.passes) };
    let seconds = if coat.seconds_per_pass < 9.95 {
        (coat.seconds_per_pass * 10.0).round() / 10.0
    } else {
        coat.seconds_per_pass.round()
    };
    format!(
        "{} from {}, {passes} of {} s along the {} side, from the {}. {} between passes; start and stop {} off the page.",
        if coat.mist { "Mist" } else { "Spray" },
        units.distance(coat.distance_cm),
        number(seconds),
        if coat.along_long { "long" } else { "short" },
        coat.start_corner,
        units.distance(coat.step_over_cm),
        units.distance(coat.overrun_cm),
    )
}

/// The words of a reminder.
pub fn bell_words(state: &State, due: &Due, now: &ZonedDateTime, units: Units) -> Said {
    let key = &due.bell.key;
    let page = key.page.checked_sub(1).and_then(|index| state.pages.get(index));
    let title = page.map(|page| page.spec.title.as_str()).unwrap_or_default();
    let (head, mut body) = match (key.bell, page) {
        (kind, Some(page)) => of_page(state, page, kind, key.coat, key.repeat, due, now, units),
        (_, None) => (String::new(), String::new()),
    };
    if due.late_s >= state.pace().say_late_s && key.bell != BellKind::Overdue {
        body = format!("{} late (since {}). {body}", span_words(due.late_s), clock_words(due.bell.at, now));
    }
    let rehearsal = if state.rehearsal() { REHEARSAL } else { "" };
    Said { title: format!("{rehearsal}{title}: {head}"), body: body.trim_end().to_owned() }
}

fn of_page(
    state: &State,
    page: &PageState,
    kind: BellKind,
    number: usize,
    repeat: u32,
    due: &Due,
    now: &ZonedDateTime,
    units: Units,
) -> (String, String) {
    let all = page.coats.len();
    let coat = page.coats.iter().find(|coat| coat.number == number);
    let how = coat.map(|coat| instructions(coat, units)).unwrap_or_default();
    let clock = |at: Timestamp| clock_words(at, now);
    match kind {
        BellKind::Prepare => {
            let at = page.due_at().map(clock).unwrap_or_default();
            let body = "Go through the list: mask, flames, window, others out, can shaken, test burst.";
            (format!("get ready, the first coat is at {at}"), body.to_owned())
        }
        BellKind::CoatDue => {
            let what = if coat.is_some_and(|coat| coat.mist) { "mist" } else { "build" };
            (format!("coat {number} of {all} is due ({what})"), format!("Mask on. {how}"))
        }
        BellKind::Overdue => {
            let since = page.due_at().map_or(0, |at| now.timestamp().as_second() - at.as_second());
            let closes = page.window_closes_at().map(|at| format!(" The can's recoat window closes at {}.", clock(at)));
            (
                format!("coat {number} of {all} is overdue by {}", span_words(since)),
                format!("Mask on. {how}{}", closes.unwrap_or_default()),
            )
        }
        BellKind::WindowClosing => {
            let at = page.window_closes_at();
            let left = at.map_or(0, |at| at.as_second() - now.timestamp().as_second());
            let then = match page.done.last().and_then(|last| last.coat.window_min) {
                Some((_, Some(until))) => format!("after that it waits {}", minutes_in_words(until as i64)),
                _ => "after that no further coat may go on".to_owned(),
            };
            (
                format!("coat {number} of {all}: the window closes in {}", span_words(left)),
                format!("Spray by {}: {then}. {how}", at.map(clock).unwrap_or_default()),
            )
        }
        BellKind::LeaveRoom => {
            let back = match page.done.last().and_then(|last| last.coat.return_masked_min) {
                Some(minutes) => {
                    let wait_s = i64::from(minutes) * 60 + state.air_later_s();
                    let at = super::page::later(due.bell.at, wait_s);
                    match at.as_second() - now.timestamp().as_second() {
                        left if left > 0 => {
                            format!("Back with the mask on from {}, in {}.", clock(at), span_words(left))
                        }
                        _ => format!("Since {} in it with the mask on.", clock(at)),
                    }
                }
                None => "It does not clear today: stay out, or go in with supplied air only.".to_owned(),
            };
            ("leave the room now, door shut, fan on".to_owned(), back)
        }
        BellKind::ReturnMasked => {
            let next = match state.next_coat() {
                Some((index, at)) => {
                    let page = &state.pages[index];
                    let number = page.next().map_or(0, |coat| coat.number);
                    format!("Coat {number} is due at {}.", clock(at))
                }
                None => "Nothing is left to spray.".to_owned(),
            };
            ("you may go back in, with the mask on".to_owned(), next)
        }
        BellKind::ClearUnmasked => {
            ("the room is clear for you without the mask".to_owned(), "The others still stay out.".to_owned())
        }
        BellKind::ClearOthers => {
            let body = "Children, pregnancy, asthma, pets and birds may come in again.";
            ("the room is clear for everyone".to_owned(), body.to_owned())
        }
        BellKind::HandleDry => {
            let body = "By its edges. It is not through yet: nothing on top of it, no glass.";
            ("it may be handled".to_owned(), body.to_owned())
        }
        BellKind::Milestone => {
            let text = page.later().get(repeat.saturating_sub(1) as usize).map(|(_, text, _)| (*text).to_owned());
            ("something new is allowed".to_owned(), text.map(|text| text + ".").unwrap_or_default())
        }
    }
}

/// Why something asked for is not done.
pub fn refusal_words(refusal: &Refusal, now: &ZonedDateTime) -> String {
    match refusal {
        Refusal::NotChecked => "The list comes first: mask on, no flames".to_owned(),
        Refusal::Early { coat, due, early_s, .. } => format!(
            "Too early: coat {coat} is due at {}, in {}. The coat below is still soft. Sprayed already? Press y and it is noted",
            clock_words(*due, now),
            span_words(*early_s)
        ),
        Refusal::NothingLeft => "All coats are on".to_owned(),
        Refusal::NothingToUndo => "No coat was sprayed yet".to_owned(),
        Refusal::FirstCoat => {
            "The first coat cannot be left out: the others would soak in. Take the page out instead".to_owned()
        }
        Refusal::NoSuchPage => "There is no such page in this run".to_owned(),
        Refusal::Over => "This run is over".to_owned(),
    }
}
