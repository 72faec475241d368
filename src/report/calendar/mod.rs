//! The plan as an iCalendar file (RFC 5545): an alarm for every coat, and for what becomes allowed hours or days later.
//!
//! Written here rather than through a library: two kinds of component and a dozen properties are all it takes, and
//! the library weighed brings a second set of date types and a source of random identities that must not be used.

mod evening;
mod events;
mod lines;

use jiff::Timestamp;

use super::look::Look;
use super::words::sentence;
use crate::caution;
use crate::diagnostic::{Problem, sentence_start};
use crate::finding::Level;
use crate::plan::Plan;
pub use evening::evening_ics;
use events::{Event, allowed_event, events};
use lines::Lines;

pub(crate) use lines::identity;

/// Writes the calendar of a plan.
///
/// The same page on the same day keeps the identities of its events, so that a second export moves them instead of
/// adding new ones. `look.now` stamps the export; `look.units` says how distances are written.
///
/// # Errors
/// `no-times`, with the reason, if the plan has no moment to ring at.
pub fn plan_ics(plan: &Plan, look: &Look) -> Result<String, Box<Problem>> {
    let events = events(plan, look);
    let Some(first) = events.first() else { return Err(Box::new(no_times(plan))) };
    let begins = events.iter().find(|event| event.busy).unwrap_or(first).at;
    let series = series(plan, begins, look);
    let mut lines = begin(plan.version, &plan.page.title);
    for event in &events {
        write(&mut lines, event, plan, &series, look);
    }
    lines.plain("END", "VCALENDAR");
    Ok(lines.finish())
}

/// Something that becomes allowed after a run, at the moment it really does.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LaterEvent {
    /// Identity shared with the plan's events.
    pub(crate) series: String,
    /// Title of the page.
    pub(crate) title: String,
    /// Which: `handle`, `scan` …
    pub(crate) id: String,
    /// When.
    pub(crate) at: Timestamp,
    /// As a sentence.
    pub(crate) text: String,
}

/// The calendar of the days after a run. An export of the plan made before is brought up to date by it.
pub(crate) fn later_ics(name: &str, all: &[LaterEvent], look: &Look) -> String {
    let mut lines = begin(env!("CARGO_PKG_VERSION"), name);
    for later in all {
        let event = allowed_event(&later.title, &later.id, later.at, &later.text);
        let description = format!("{}\n{}", event.details.join("\n"), sentence(caution::IN_ONE_LINE));
        write_event(&mut lines, &event, &event.summary, &description, "CONFIRMED", &later.series, look);
    }
    lines.plain("END", "VCALENDAR");
    lines.finish()
}

/// The identity of a plan's events, if the plan has any.
pub(crate) fn series_of(plan: &Plan, look: &Look) -> Option<String> {
    let events = events(plan, look);
    let first = events.first()?;
    Some(series(plan, events.iter().find(|event| event.busy).unwrap_or(first).at, look))
}

fn begin(version: &str, name: &str) -> Lines {
    let mut lines = Lines::default();
    lines.plain("BEGIN", "VCALENDAR");
    lines.plain("VERSION", "2.0");
    lines.text("PRODID", &format!("-//coatbell//coatbell {version}//EN"));
    lines.plain("CALSCALE", "GREGORIAN");
    lines.text("X-WR-CALNAME", &format!("coatbell: {name}"));
    lines
}

fn write(lines: &mut Lines, event: &Event, plan: &Plan, series: &str, look: &Look) {
    let summary = match plan.verdict {
        Level::Hold => format!("ON HOLD: {}", event.summary),
        _ => event.summary.clone(),
    };
    let status = if plan.verdict == Level::Hold { "TENTATIVE" } else { "CONFIRMED" };
    write_event(lines, event, &summary, &description(event, plan), status, series, look);
}

fn write_event(
    lines: &mut Lines,
    event: &Event,
    summary: &str,
    description: &str,
    status: &str,
    series: &str,
    look: &Look,
) {
    lines.plain("BEGIN", "VEVENT");
    lines.plain("UID", &format!("{series}-{}@coatbell", event.step));
    let stamp = look.now.timestamp();
    lines.moment("DTSTAMP", stamp);
    // Later exports count as newer. Minutes, since the standard allows 31 bits.
    lines.plain("SEQUENCE", &stamp.as_second().div_euclid(60).clamp(0, i64::from(i32::MAX)).to_string());
    lines.moment("DTSTART", event.at);
    lines.plain("DURATION", &format!("PT{}M", event.minutes.max(1)));
    lines.text("SUMMARY", summary);
    lines.text("DESCRIPTION", description);
    lines.plain("STATUS", status);
    lines.plain("TRANSP", if event.busy { "OPAQUE" } else { "TRANSPARENT" });
    lines.plain("BEGIN", "VALARM");
    lines.plain("ACTION", "DISPLAY");
    lines.plain("TRIGGER", &event.ring.trigger());
    lines.text("DESCRIPTION", summary);
    lines.plain("END", "VALARM");
    lines.plain("END", "VEVENT");
}

/// What the event says: what to do, why the plan is on hold if it is, and the cautions, in full at the first coat.
fn description(event: &Event, plan: &Plan) -> String {
    let mut parts = event.details.clone();
    if plan.verdict == Level::Hold {
        parts.push("This plan is on hold. Do not spray before this is put right:".to_owned());
        let holds = plan.findings.iter().filter(|finding| finding.level == Level::Hold);
        parts.extend(holds.map(|hold| match &hold.remedy {
            Some(remedy) => format!("- {} {}", sentence(&hold.text), sentence(remedy)),
            None => format!("- {}", sentence(&hold.text)),
        }));
    }
    if event.cautions_in_full {
        parts.extend(plan.cautions.iter().map(|caution| format!("- {}", sentence(caution))));
    } else {
        parts.push(sentence(caution::IN_ONE_LINE));
    }
    parts.join("\n")
}

/// The identity shared by the events of one page on one evening: what the page is, what seals it, and the day.
///
/// The clock time is left out, so that a plan that begins half an hour later moves its alarms; the layers are in, so
/// that two pages without a title keep apart.
fn series(plan: &Plan, begins: Timestamp, look: &Look) -> String {
    let day = begins.to_zoned_datetime(look.now.time_zone().clone()).date().to_string();
    let size = format!("{:.1} x {:.1}", plan.page.width_cm, plan.page.height_cm);
    let page = [&plan.page.title, &size, &plan.page.paper, &plan.sealer.id, &day];
    let layers = plan.layers.iter().map(|layer| layer.medium.as_str());
    identity(page.into_iter().map(String::as_str).chain(layers))
}

fn no_times(plan: &Plan) -> Problem {
    let hold = plan.findings.iter().find(|finding| finding.level == Level::Hold);
    let reason = match hold {
        Some(hold) => hold.text.clone(),
        None if plan.coats.is_empty() => "No coats are planned".to_owned(),
        None => "A layer is still to be laid".to_owned(),
    };
    let message = format!("this plan has no times to ring at: {}", lower_start(&reason));
    let hint = match hold.and_then(|hold| hold.remedy.as_deref()) {
        Some(remedy) => format!("{}, then export again", sentence_start(remedy.trim_end_matches('.'))),
        None => "give each layer its `finished` time, then export again".to_owned(),
    };
    Problem::new("no-times", message).with_hint(hint)
}

/// A sentence as the second half of another; a name or an abbreviation at its start keeps its capitals.
fn lower_start(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            first.to_lowercase().collect::<String>() + letters.as_str()
        }
        _ => text.to_owned(),
    }
}
