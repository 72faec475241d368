//! One step of a run: what the clock and the keys come to, as effects for someone else to carry out.

use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use serde::Serialize;

use super::bells::{BellKind, Due};
use super::decide::{Command, Refusal};
use super::entry::{Entry, What};
use super::forecast::changes;
use super::state::State;
use super::watch::{Reading, Watch};
use super::words::{bell_words, clock_words, span_words};
use crate::caution;
use crate::quantity::Units;

/// How loud something is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loudness {
    /// A line.
    Line,
    /// A line, the bell and the desktop.
    Ring,
}

/// Something to be said. Its fields are those of an event line in JSON.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Notice {
    /// Name of the event.
    pub event: &'static str,
    /// The moment it belongs to: a reminder's own, however late it is given.
    pub at: Timestamp,
    /// Page, from 1.
    pub page: Option<usize>,
    /// Title of the page.
    pub title: Option<String>,
    /// Coat, from 1.
    pub coat: Option<usize>,
    /// Whether it is a rehearsal.
    pub rehearsal: bool,
    /// So late, s.
    pub late_s: i64,
    /// A coat sprayed so much before its time, s.
    pub early_s: i64,
    /// Id of a milestone or of a mishap.
    pub id: Option<String>,
    /// One line.
    pub head: String,
    /// What to do.
    pub text: String,
    /// How loud.
    #[serde(skip)]
    pub loudness: Loudness,
}

/// What is to be carried out, in order.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Write a line of the journal.
    Write(Entry),
    /// Say something.
    Say(Notice),
}

/// A run with the clock that is watched.
#[derive(Debug, Clone)]
pub struct Conductor {
    state: State,
    watch: Watch,
    zone: TimeZone,
    units: Units,
}

impl Conductor {
    /// Takes up a run.
    pub fn new(state: State, zone: TimeZone, units: Units) -> Self {
        let watch = Watch::new(state.pace().clock_step_s);
        Self { state, watch, zone, units }
    }

    /// The run as it stands.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The zone of clock times.
    pub fn zone(&self) -> &TimeZone {
        &self.zone
    }

    /// Says that the run began, or is back after a pause. A clock that went back meanwhile is taken as set: the time
    /// in between cannot be known and does not count.
    pub fn begin(&mut self, now: Timestamp, resumed: bool) -> Vec<Effect> {
        let mut effects = Vec::new();
        if resumed {
            let back_s = now.as_second() - self.state.last_at.as_second();
            if (back_s as f64) < -self.state.pace().clock_step_s {
                self.clock_set(now, back_s, &mut effects);
            }
            self.record(now, What::Resumed {}, &mut effects);
        }
        let (event, head) = if resumed { ("resumed", "goes on") } else { ("started", "begins") };
        let name = self.state.title();
        let answers: Vec<String> = self.state.pages.iter().map(|page| sentence(&page.spec.answer)).collect();
        let next = self.next_words(now);
        // At the start they stand in full beside it.
        let caution = if resumed { format!(" {}.", caution::IN_ONE_LINE) } else { String::new() };
        // The answer may have been planned anew since it was given.
        let text = if resumed { format!("{next}{caution}") } else { format!("{} {next}", answers.join(" ")) };
        effects.push(Effect::Say(self.notice(event, now, &format!("{name}: the run {head}"), &text)));
        effects
    }

    /// Leaves the run: it stays as it is.
    pub fn pause(&mut self, now: Timestamp) -> Vec<Effect> {
        let mut effects = Vec::new();
        if !self.state.over() {
            self.record(now, What::Paused {}, &mut effects);
            let name = self.state.title();
            effects.push(Effect::Say(self.notice("paused", now, &format!("{name}: left"), "Nothing is lost")));
        }
        effects
    }

    /// What the clock comes to.
    pub fn tick(&mut self, reading: Reading) -> Vec<Effect> {
        let mut effects = Vec::new();
        let now = reading.wall;
        if let Some(by_s) = self.watch.look(reading) {
            self.clock_set(now, by_s, &mut effects);
        }
        // A reminder that fell due before a window closed is given before the window is said to be missed.
        self.ring(now, &mut effects);
        while let Some(what) = self.state.automatic(now) {
            self.automatic(now, &what, &mut effects);
        }
        self.ring(now, &mut effects);
        effects
    }

    /// What a command comes to.
    ///
    /// # Errors
    /// Why it is not done.
    pub fn command(&mut self, command: Command, now: Timestamp) -> Result<Vec<Effect>, Refusal> {
        let what = self.state.decide(command, now)?;
        let mut effects = Vec::new();
        let before = self.state.clone();
        // What is due this moment is said first: a key pressed after a sleep must not silence it.
        self.ring(now, &mut effects);
        self.record(now, what.clone(), &mut effects);
        effects.push(Effect::Say(self.done_notice(now, &what)));
        self.replanned(&before, now, &what, &mut effects);
        self.ring(now, &mut effects);
        Ok(effects)
    }

    /// Confirms the list by flags.
    pub fn checked_by(&mut self, by: &str, now: Timestamp) -> Vec<Effect> {
        let mut effects = Vec::new();
        self.record(now, What::Checked { by: by.to_owned() }, &mut effects);
        effects
    }

    fn record(&mut self, now: Timestamp, what: What, effects: &mut Vec<Effect>) {
        let entry = Entry::new(now, what);
        self.state = self.state.after(entry.clone());
        effects.push(Effect::Write(entry));
    }

    fn ring(&mut self, now: Timestamp, effects: &mut Vec<Effect>) {
        for due in self.state.due(now) {
            let notice = self.bell_notice(&due, now);
            effects.push(Effect::Say(notice));
            for key in due.instead_of.into_iter().chain([due.bell.key]) {
                self.record(now, What::Rung { bell: key, late_s: due.late_s }, effects);
            }
        }
    }

    fn clock_set(&mut self, now: Timestamp, by_s: i64, effects: &mut Vec<Effect>) {
        self.record(now, What::ClockSet { by_s }, effects);
        let way = if by_s < 0 { "back" } else { "forward" };
        let text = "The waits are kept; the clock times moved with the clock";
        effects.push(Effect::Say(self.notice(
            "clock_set",
            now,
            &format!("The clock was set {way} by {}", span_words(by_s)),
            text,
        )));
    }

    fn automatic(&mut self, now: Timestamp, what: &What, effects: &mut Vec<Effect>) {
        let before = self.state.clone();
        self.record(now, what.clone(), effects);
        match what {
            What::WindowMissed { page, coat } => {
                let state = &self.state.pages[page - 1];
                let text = match state.due_at() {
                    Some(at) => format!("It may go on from {}, not before: it would wrinkle", self.clock(at, now)),
                    None => "No further coat may go on: it would wrinkle. The page stays as it is".to_owned(),
                };
                let head = format!("{}: the recoat window of coat {coat} closed", state.spec.title);
                let mut notice = self.notice("replanned", now, &head, &text);
                notice.page = Some(*page);
                notice.title = Some(state.spec.title.clone());
                notice.coat = Some(*coat);
                notice.loudness = Loudness::Ring;
                effects.push(Effect::Say(notice));
            }
            What::Finished {} => {
                let name = self.state.title();
                let text = "What is allowed in the days after goes into a calendar";
                self.milestones(now, effects);
                effects.push(Effect::Say(self.notice("finished", now, &format!("{name}: the run is over"), text)));
            }
            _ => {}
        }
        self.replanned(&before, now, what, effects);
    }

    /// Says what becomes allowed after the run, each at its own moment.
    fn milestones(&self, now: Timestamp, effects: &mut Vec<Effect>) {
        for (index, page) in self.state.pages.iter().enumerate() {
            for (id, text, at) in page.later().into_iter().filter(|(_, _, at)| *at > now) {
                let name = text.split(':').next().unwrap_or(text);
                let head = format!("{}: {name} from {}", page.spec.title, self.clock(at, now));
                let notice = Notice {
                    page: Some(index + 1),
                    title: Some(page.spec.title.clone()),
                    id: Some(id.to_owned()),
                    ..self.notice("milestone", at, &head, "")
                };
                effects.push(Effect::Say(notice));
            }
        }
    }

    /// Says what a change moved.
    fn replanned(&self, before: &State, now: Timestamp, what: &What, effects: &mut Vec<Effect>) {
        // A coat on time, and the list, move nothing that was not foreseen to the minute.
        let (page, mishap) = match what {
            What::CoatDone { page, early_s, late_s, .. } if *early_s > 0 || *late_s > 0 => (*page, None),
            What::Undone { page, .. } | What::WindowMissed { page, .. } => (*page, None),
            What::Mishap { page, mishap } => (*page, Some(*mishap)),
            _ => return,
        };
        let moved = changes(before, &self.state, &self.zone);
        if moved.is_empty() {
            return;
        }
        let mut notice = self.notice("replanned", now, "Planned anew", &(moved.join("; ") + "."));
        notice.page = Some(page);
        notice.title = self.state.pages.get(page - 1).map(|page| page.spec.title.clone());
        notice.id = mishap.map(|mishap| mishap.rescue().word.to_owned());
        effects.push(Effect::Say(notice));
    }

    fn done_notice(&self, now: Timestamp, what: &What) -> Notice {
        let title = |page: usize| self.state.pages.get(page - 1).map(|page| page.spec.title.clone());
        let about = |event, page: usize, coat: Option<usize>, head: String, text: String| Notice {
            page: Some(page),
            title: title(page),
            coat,
            ..self.notice(event, now, &head, &text)
        };
        match what {
            What::CoatDone { page, coat, early_s, late_s } => {
                let all = self.state.pages.get(page - 1).map_or(0, |page| page.coats.len());
                let name = title(*page).unwrap_or_default();
                let timing = match (*early_s, *late_s) {
                    (early, _) if early > 0 => {
                        format!("{} too early, noted: the wait after it is as much longer. ", span_words(early))
                    }
                    (_, late) if late > 0 => format!("{} late. ", span_words(late)),
                    _ => String::new(),
                };
                Notice {
                    late_s: *late_s,
                    early_s: *early_s,
                    ..about(
                        "coat_done",
                        *page,
                        Some(*coat),
                        format!("{name}: coat {coat} of {all} is on"),
                        timing + &self.next_words(now),
                    )
                }
            }
            What::Undone { page, coat } => about(
                "undone",
                *page,
                Some(*coat),
                format!("Coat {coat} taken back: it counts as not sprayed"),
                self.next_words(now),
            ),
            What::Mishap { page, mishap } => {
                let rescue = mishap.rescue();
                let notice = about("mishap", *page, None, rescue.title.to_owned(), rescue.rest_text.to_owned() + ".");
                Notice { id: Some(rescue.word.to_owned()), ..notice }
            }
            What::NewCan { page } => {
                about("new_can", *page, None, "A new can, counted as full".to_owned(), String::new())
            }
            What::Checked { .. } => self.notice("checked", now, "The list is done", &self.next_words(now)),
            What::Cancelled {} => {
                let name = self.state.title();
                self.notice("cancelled", now, &format!("{name}: the run is given up"), "What is on stays noted")
            }
            _ => self.notice("noted", now, "", ""),
        }
    }

    fn bell_notice(&self, due: &Due, now: Timestamp) -> Notice {
        let event = match due.bell.key.bell {
            BellKind::Prepare => "prepare",
            BellKind::LeaveRoom => "leave_room",
            BellKind::ReturnMasked => "return_masked",
            BellKind::CoatDue => "coat_due",
            BellKind::WindowClosing => "window_closing",
            BellKind::Overdue => "overdue",
            BellKind::ClearUnmasked => "clear_unmasked",
            BellKind::ClearOthers => "clear_others",
            BellKind::HandleDry => "handle_dry",
            BellKind::Milestone => "milestone",
        };
        let said = bell_words(&self.state, due, &self.zoned(now), self.units);
        let page = due.bell.key.page.checked_sub(1).and_then(|index| self.state.pages.get(index));
        let id = page.filter(|_| due.bell.key.bell == BellKind::Milestone).and_then(|page| {
            page.later().get(due.bell.key.repeat.saturating_sub(1) as usize).map(|(id, ..)| (*id).to_owned())
        });
        Notice {
            event,
            at: due.bell.at,
            page: Some(due.bell.key.page),
            title: page.map(|page| page.spec.title.clone()),
            coat: Some(due.bell.key.coat),
            rehearsal: self.state.rehearsal(),
            late_s: due.late_s,
            early_s: 0,
            id,
            head: said.title,
            text: said.body,
            loudness: Loudness::Ring,
        }
    }

    fn notice(&self, event: &'static str, at: Timestamp, head: &str, text: &str) -> Notice {
        let rehearsal = self.state.rehearsal();
        Notice {
            event,
            at,
            page: None,
            title: None,
            coat: None,
            rehearsal,
            late_s: 0,
            early_s: 0,
            id: None,
            head: if rehearsal { format!("{}{head}", super::words::REHEARSAL) } else { head.to_owned() },
            text: text.to_owned(),
            loudness: Loudness::Line,
        }
    }

    /// What comes next, in one sentence.
    fn next_words(&self, now: Timestamp) -> String {
        match self.state.next_coat() {
            Some((index, at)) => {
                let page = &self.state.pages[index];
                let coat = page.next().map_or(0, |coat| coat.number);
                let name = if self.state.pages.len() > 1 { format!("{}, ", page.spec.title) } else { String::new() };
                if at <= now {
                    format!("Next: {name}coat {coat}, now.")
                } else {
                    let wait = span_words(at.as_second() - now.as_second());
                    format!("Next: {name}coat {coat} at {}, in {wait}.", self.clock(at, now))
                }
            }
            None => {
                let handle = self.state.pages.iter().filter_map(super::state::PageState::handle_at).max();
                handle.map_or_else(String::new, |at| format!("All coats are on; handle from {}.", self.clock(at, now)))
            }
        }
    }

    fn zoned(&self, at: Timestamp) -> ZonedDateTime {
        at.to_zoned_datetime(self.zone.clone())
    }

    fn clock(&self, at: Timestamp, now: Timestamp) -> String {
        clock_words(at, &self.zoned(now))
    }
}

/// With its full stop.
fn sentence(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(['.', '!', '?']) { text.to_owned() } else { format!("{text}.") }
}
