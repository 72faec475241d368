//! What is said, rung, written and counted.

use super::Show;
use crate::cli::seal::{calendar, stage};
use crate::run::{Effect, Loudness, Notice, What};

impl Show {
    pub(super) fn carry_out(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            match effect {
                Effect::Say(notice) => self.say(notice),
                Effect::Write(entry) => {
                    let counts = matches!(
                        entry.what,
                        What::CoatDone { .. } | What::Undone { .. } | What::NewCan { .. } | What::Mishap { .. }
                    );
                    match self.hands.journal.write(entry) {
                        Ok(true) => self.say_plainly("The journal is written again", "Nothing is missing in it"),
                        Ok(false) => {}
                        Err(error) => {
                            let text = format!("{error}; {}", error.remedy());
                            self.journal_in_trouble(&text);
                        }
                    }
                    if counts {
                        self.count_cans();
                    }
                }
            }
        }
    }

    pub(super) fn say(&mut self, notice: Notice) {
        // The bell first: nothing that comes after may keep it waiting.
        if notice.loudness == Loudness::Ring {
            stage::ring();
        }
        if !self.stage.say(&notice, &self.look) {
            self.gone = true;
        }
        if notice.loudness == Loudness::Ring {
            self.notifier.show(&notice.head, &notice.text);
        }
        self.notices.push(notice);
        if self.pane == crate::report::RunPane::Coats {
            self.part.0 = 0;
        }
        self.all_shown = false;
    }

    pub(super) fn say_plainly(&mut self, head: &str, text: &str) {
        let notice = Notice {
            event: "notice",
            at: self.clock.now(),
            page: None,
            title: None,
            coat: None,
            rehearsal: self.conductor.state().rehearsal(),
            late_s: 0,
            early_s: 0,
            id: None,
            head: head.to_owned(),
            text: text.to_owned(),
            loudness: Loudness::Line,
        };
        self.say(notice);
    }

    pub(super) fn journal_in_trouble(&mut self, why: &str) {
        stage::ring();
        let text = format!("{why}. The run goes on ringing, but write down when each coat was sprayed: it is not kept");
        self.say_plainly("The journal cannot be written", &text);
    }

    pub(super) fn desktop_in_trouble(&mut self, why: &str) {
        let text = format!("{why}. The bell and the lines here go on");
        self.say_plainly("No reminders on the desktop", &text);
    }

    pub(super) fn count_cans(&mut self) {
        let state = self.conductor.state();
        if state.rehearsal() {
            return;
        }
        let run = self.hands.journal.name();
        for page in &state.pages {
            if let Some(used) = state.cans.get(&page.spec.sealer) {
                // Grams that could not be kept are in the journal.
                let _ = self.hands.cans.note(&run, &page.spec, *used);
            }
        }
    }

    pub(super) fn write_calendar(&mut self, path: &std::path::Path) {
        self.calendar_written = true;
        let (Ok(said) | Err(said)) = calendar::write(self.conductor.state(), path, &self.look);
        if self.stage.hears_keys() {
            self.message = Some(said);
        } else {
            self.say_plainly("Calendar of the days after", &said);
        }
    }
}
