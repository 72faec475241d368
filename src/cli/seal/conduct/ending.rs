//! How a run is left.

use std::io::Write;

use super::{Ended, Show};
use crate::cli::Exit;
use crate::cli::seal::input::Stop;
use crate::cli::seal::stage::Stage;
use crate::cli::seal::{history, screen};
use crate::report::wrap;

impl Show {
    pub(super) fn end(mut self, ended: &Ended) -> Exit {
        let effects = self.conductor.pause(self.clock.now());
        self.carry_out(effects);
        // A reminder that was handed over is still shown; a service that hangs is not waited for beyond its time.
        if matches!(ended, Ended::Over)
            && let Some(trouble) = self.notifier.drain()
        {
            self.desktop_in_trouble(&trouble);
        }
        self.tell_history();
        screen::restore();
        let state = self.conductor.state();
        if !matches!(self.stage, Stage::Events) && !self.gone {
            let mut out = std::io::stdout().lock();
            for line in self.last_words(ended) {
                for line in wrap(&self.look.clean(&line), self.look.columns()) {
                    let _ = writeln!(out, "{line}");
                }
            }
            let _ = out.flush();
        }
        let over = state.over();
        drop(std::mem::take(&mut self.hands.locks));
        match ended {
            Ended::Stopped(Stop::Interrupt) => Exit::Interrupted,
            Ended::Stopped(Stop::Terminate) => Exit::Terminated,
            Ended::Deaf if !over => Exit::Failed,
            _ => Exit::Done,
        }
    }

    /// A run that is over goes into the history.
    pub(super) fn tell_history(&mut self) {
        let now = self.clock.now().to_zoned_datetime(self.conductor.zone().clone());
        let journal = self.hands.journal.path().to_owned();
        let told = history::tell(&self.hands.folders, self.conductor.state(), &journal, &now);
        if let Err(error) = told {
            self.say_plainly("The history cannot be written", &format!("{error}; the journal holds everything"));
        }
    }

    pub(super) fn last_words(&self, ended: &Ended) -> Vec<String> {
        let state = self.conductor.state();
        let now = self.clock.now().to_zoned_datetime(self.conductor.zone().clone());
        let mut lines = Vec::new();
        if self.stage.hears_keys() {
            for page in &state.pages {
                let on = page.done.len();
                let rehearsal = if state.rehearsal() { "Rehearsal of " } else { "" };
                lines.push(format!("{rehearsal}{}: {on} of {} coats on", page.spec.title, page.coats.len()));
                for done in &page.done {
                    lines.push(format!("  coat {} at {}", done.coat.number, crate::run::clock_words(done.at, &now)));
                }
            }
        }
        if !state.over() {
            if !self.hands.journal.whole() {
                lines.push("The journal could not be written: note the coats above by hand.".to_owned());
            }
            let why = if matches!(ended, Ended::Deaf) { "No more keys can arrive here. " } else { "" };
            lines.push(match state.spec.rehearsal {
                Some(speed) => {
                    format!("{why}The rehearsal is kept: `coatbell seal --resume --rehearse {speed}x` goes on.")
                }
                None => {
                    format!("{why}The run is kept and the paint goes on drying: `coatbell seal --resume` goes on.")
                }
            });
        } else if state.finished && !self.calendar_written && !state.rehearsal() {
            lines.push("For the days after: `coatbell status --calendar after.ics`".to_owned());
        }
        lines
    }
}
