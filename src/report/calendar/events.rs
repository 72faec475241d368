//! What a calendar rings for: the coats of a plan, and what becomes allowed later.

use jiff::Timestamp;

use crate::plan::{Coat, Plan};
use crate::quantity::minutes_in_words;
use crate::report::look::Look;
use crate::report::words::{clock, pass_count, seconds, sentence};

/// Minutes of warning before the first coat: mask on, flames out, cans shaken.
pub(super) const PREPARATION_MIN: u32 = 15;
/// How long an event without a length of its own is drawn, min.
const SHOWN_MIN: u32 = 15;

/// When the alarm of an event rings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ring {
    /// At its start: a coat is never called before it is due.
    AtStart,
    /// So many minutes before.
    Before(u32),
}

impl Ring {
    /// The value of `TRIGGER`.
    pub(super) fn trigger(self) -> String {
        match self {
            Self::AtStart => "PT0M".to_owned(),
            Self::Before(minutes) => format!("-PT{minutes}M"),
        }
    }
}

/// One event.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Event {
    /// Name of the step, the same at every export.
    pub(super) step: String,
    /// When it begins.
    pub(super) at: Timestamp,
    /// How long it is drawn, min.
    pub(super) minutes: u32,
    /// When it rings.
    pub(super) ring: Ring,
    /// One line.
    pub(super) summary: String,
    /// What to do, line by line.
    pub(super) details: Vec<String>,
    /// Whether the person is busy meanwhile.
    pub(super) busy: bool,
    /// Whether the cautions stand in full.
    pub(super) cautions_in_full: bool,
}

/// Everything with a time, in the order of the clock.
pub(super) fn events(plan: &Plan, look: &Look) -> Vec<Event> {
    let mut events: Vec<Event> = plan.coats.iter().enumerate().filter_map(|(at, _)| coat(plan, at, look)).collect();
    events.extend(later(plan));
    events.sort_by_key(|event| event.at);
    events
}

fn moment(text: Option<&String>) -> Option<Timestamp> {
    text?.parse().ok()
}

fn coat(plan: &Plan, index: usize, look: &Look) -> Option<Event> {
    let coat = plan.coats.get(index)?;
    let at = moment(coat.starts_at.as_ref())?;
    let first = index == 0;
    let kind = coat.kind.word();
    let minutes = libm::ceil(coat.spray_s / 60.0).clamp(1.0, 240.0) as u32;
    Some(Event {
        step: format!("coat-{}", coat.number),
        at,
        minutes,
        ring: if first { Ring::Before(PREPARATION_MIN) } else { Ring::AtStart },
        summary: format!("{}: coat {} of {}, {kind}", plan.page.title, coat.number, plan.coats.len()),
        details: instructions(plan, index, coat, look),
        busy: true,
        cautions_in_full: first,
    })
}

fn instructions(plan: &Plan, index: usize, coat: &Coat, look: &Look) -> Vec<String> {
    let units = look.units;
    let along = format!("along the {}", coat.direction.side());
    let mut details = vec![
        format!(
            "{} from {} at {}, {}, {} a pass, {along}.",
            plan.sealer.name,
            units.distance(coat.distance_cm),
            units.speed(coat.pass_speed_cm_s),
            pass_count(coat.passes),
            seconds(coat.seconds_per_pass),
        ),
        format!(
            "Step over {} between passes; start and stop {} off the page.",
            units.distance(coat.step_over_cm),
            units.distance(coat.overrun_cm)
        ),
    ];
    let by =
        index.checked_sub(1).and_then(|before| plan.coats.get(before)).and_then(|before| before.recoat_by.as_ref());
    if let Some(by) = by {
        details.push(format!("No later than {}: the can's recoat window closes then.", clock(look, by)));
    }
    let wait = minutes_in_words(i64::from(coat.wait_min));
    details.push(match plan.coats.get(index + 1) {
        Some(_) => format!("Then wait {wait} before the next coat."),
        // The wait in the table is the coat's own; the plan's time for handling may be later.
        None => match &plan.handle_at {
            Some(at) => format!("Then leave it lying until {}.", clock(look, at)),
            None => format!("Then leave it lying for {wait} or longer."),
        },
    });
    if index == 0 {
        details.extend(plan.preflight.iter().map(|line| format!("Before: {}", sentence(&line.text))));
    }
    details
}

/// What becomes allowed later. Handling comes from the plan itself where no milestone says it.
fn later(plan: &Plan) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    if !plan.milestones.iter().any(|milestone| milestone.id == "handle")
        && let Some(at) = moment(plan.handle_at.as_ref())
    {
        events.push(allowed(plan, "handle", at, "It may be handled by its edges"));
    }
    for milestone in &plan.milestones {
        if let Some(at) = moment(milestone.at.as_ref()) {
            events.push(allowed(plan, &milestone.id, at, &milestone.text));
        }
    }
    events
}

fn allowed(plan: &Plan, id: &str, at: Timestamp, text: &str) -> Event {
    allowed_event(&plan.page.title, id, at, text)
}

/// What is allowed from a moment on, for a page of that title.
pub(super) fn allowed_event(title: &str, id: &str, at: Timestamp, text: &str) -> Event {
    let may = match id {
        "handle" => "may be handled",
        "scan" => "may be scanned",
        "stack" => "may be stacked",
        "frame" => "may be framed",
        "post" => "may be posted",
        other => other,
    };
    Event {
        step: id.to_owned(),
        at,
        minutes: SHOWN_MIN,
        ring: Ring::AtStart,
        summary: format!("{title}: {may}"),
        details: vec![sentence(text)],
        busy: false,
        cautions_in_full: false,
    }
}
