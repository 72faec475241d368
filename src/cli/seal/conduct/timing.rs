//! When something is to be looked at, and what happens by itself.

use std::time::{Duration, Instant};

use jiff::{SignedDuration, Timestamp};

use super::{LOOK_EVERY, Show, TRY_AGAIN};
use crate::report::RunPane;
use crate::run::Command;

impl Show {
    /// How long nothing can happen.
    pub(super) fn wait(&self) -> Duration {
        let now = self.clock.now();
        let mut wait = LOOK_EVERY;
        if let Some(at) = self.conductor.state().next_moment(now) {
            wait = wait.min(self.clock.until(at));
        }
        if let Some(at) = self.auto_at() {
            wait = wait.min(self.clock.until(at));
        }
        if let Some(beat) = self.beat {
            wait = wait.min(beat.next.saturating_duration_since(Instant::now()));
        }
        if self.stage.hears_keys() && self.conductor.state().rehearsal() {
            wait = wait.min(Duration::from_millis(100));
        } else if self.stage.hears_keys() {
            // The next whole second of the wall: the countdown must not skip one.
            let into_second = now.as_millisecond().rem_euclid(1000) as u64;
            wait = wait.min(Duration::from_millis(1000 - into_second));
        }
        wait
    }

    /// When the next coat is taken as sprayed by itself.
    pub(super) fn auto_at(&self) -> Option<Timestamp> {
        let state = self.conductor.state();
        if !self.options.auto || !state.rehearsal() || !state.checked {
            return None;
        }
        let (index, due) = state.next_coat()?;
        let spray_s = state.pages[index].next().map_or(0.0, |coat| coat.spray_s);
        due.checked_add(SignedDuration::from_secs(spray_s.ceil() as i64)).ok()
    }

    pub(super) fn auto(&mut self) {
        // On a fast clock a hand would have been on time, however coarse the steps are.
        while self.auto_at().is_some_and(|at| at <= self.clock.now()) {
            let Some((page, _)) = self.conductor.state().next_coat() else { return };
            if !self.command(Command::Sprayed { page, insist: false }) {
                return;
            }
        }
    }

    pub(super) fn look_after(&mut self) {
        if let Some(trouble) = self.notifier.look() {
            self.desktop_in_trouble(&trouble);
        }
        if !self.hands.journal.whole() && self.tried.elapsed() >= TRY_AGAIN {
            self.tried = Instant::now();
            if let Ok(true) = self.hands.journal.flush() {
                self.say_plainly("The journal is written again", "Nothing is missing in it");
            }
        }
        if let Some(mut beat) = self.beat
            && Instant::now() >= beat.next
        {
            crate::cli::seal::stage::ring();
            beat.left = beat.left.saturating_sub(1);
            beat.next += beat.gap;
            self.beat = (beat.left > 0).then_some(beat);
        }
        if !self.by_hand
            && let Some((page, _)) = self.conductor.state().next_coat()
        {
            self.page = page;
        }
        if self.pane == RunPane::Coats
            && !self.conductor.state().checked
            && self.list_is_due()
            && !self.options.confirmed
        {
            self.turn_to(if self.options.listed { RunPane::Again(0) } else { RunPane::Checklist(0) });
        }
        if !self.calendar_written
            && self.conductor.state().all_sprayed()
            && let Some(path) = self.options.calendar.clone()
        {
            self.write_calendar(&path);
        }
    }

    pub(super) fn list_is_due(&self) -> bool {
        let state = self.conductor.state();
        let now = self.clock.now().as_second();
        state.next_coat().is_some_and(|(_, due)| due.as_second() - now <= state.pace().prepare_s)
    }
}
