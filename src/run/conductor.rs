//! One step of a run: what the clock and the keys come to, as effects for someone else to carry out.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::Serialize;

use super::decide::{Command, Refusal};
use super::entry::{Entry, What};
use super::forecast::changes;
use super::replan::evening_words;
use super::state::State;
use super::watch::{Reading, Watch};
use super::words::span_words;
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
    pub(super) state: State,
    watch: Watch,
    pub(super) zone: TimeZone,
    pub(super) units: Units,
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
        let next = self.next_words(now);
        // At the start they stand in full beside it.
        let caution = if resumed { format!(" {}.", caution::IN_ONE_LINE) } else { String::new() };
        // The answer may have been planned anew since it was given.
        let text = if resumed { format!("{next}{caution}") } else { format!("{} {next}", self.promise(now)) };
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
        // A run that was killed before its evening was planned anew.
        let before = self.state.clone();
        if let Some(stuck) = self.plan_anew(now, &mut effects) {
            self.evening_notice(&before, now, &stuck, &mut effects);
        }
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
        let stuck = self.plan_anew(now, &mut effects);
        effects.push(Effect::Say(self.done_notice(now, &what)));
        self.replanned(&before, now, &what, stuck.as_deref(), &mut effects);
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
        let stuck = self.plan_anew(now, effects);
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
        self.replanned(&before, now, what, stuck.as_deref(), effects);
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

    /// Plans the rest of an evening anew, if something happened that its plan does not know of. Hands back the pages that
    /// cannot go on in time; `None` if nothing had to be planned.
    fn plan_anew(&mut self, now: Timestamp, effects: &mut Vec<Effect>) -> Option<Vec<usize>> {
        let what = self.state.replanned(now)?;
        let stuck = if let What::Replanned { stuck, .. } = &what { stuck.clone() } else { Vec::new() };
        self.record(now, what, effects);
        Some(stuck)
    }

    fn evening_notice(&self, before: &State, now: Timestamp, stuck: &[usize], effects: &mut Vec<Effect>) {
        let Some((head, said)) = evening_words(before, &self.state, stuck, &self.zone) else { return };
        let text = if said.is_empty() { String::new() } else { said.join("; ") + "." };
        let mut notice = self.notice("replanned", now, &head, &text);
        notice.loudness = Loudness::Ring;
        effects.push(Effect::Say(notice));
    }

    /// Says what a change moved.
    fn replanned(
        &self,
        before: &State,
        now: Timestamp,
        what: &What,
        stuck: Option<&[usize]>,
        effects: &mut Vec<Effect>,
    ) {
        if let Some(stuck) = stuck {
            self.evening_notice(before, now, stuck, effects);
            return;
        }
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
}
