//! What is shown, and which part of it.

use super::Show;
use crate::report::{RunPane, RunView};

impl Show {
    /// Shows another pane, from its beginning.
    pub(super) fn turn_to(&mut self, pane: RunPane) {
        self.pane = pane;
        self.part = (0, 1);
    }

    /// Whether something of the pane was not shown yet; then the next part of it comes.
    pub(super) fn reads_on(&mut self) -> bool {
        let (part, parts) = self.part;
        let more = part + 1 < parts;
        if more {
            self.part.0 += 1;
        }
        more
    }

    /// The next part, and after the last the first again.
    pub(super) fn round(&mut self) {
        let (part, parts) = self.part;
        self.part.0 = (part + 1) % parts.max(1);
    }

    /// What was said and shown to its end gives way with the next key.
    pub(super) fn heard(&mut self) {
        if self.pane == RunPane::Coats && self.all_shown {
            self.notices.drain(..self.notices.len().saturating_sub(1));
        }
    }

    /// Draws how things stand.
    pub(super) fn draw(&mut self) {
        let now = self.clock.now().to_zoned_datetime(self.conductor.zone().clone());
        let state = self.conductor.state();
        let sealer = state.pages.get(self.page).map(|page| page.spec.sealer.clone());
        let left_g = sealer.filter(|_| !state.rehearsal()).and_then(|sealer| self.hands.cans.left_g(&sealer));
        let troubles = self.troubles();
        let view = RunView {
            state,
            now: &now,
            pane: self.pane,
            part: self.part.0,
            page: self.page,
            notices: &self.notices,
            troubles: &troubles,
            message: self.message.as_deref(),
            left_g,
            beat: self.options.beat,
        };
        match self.stage.draw(&view, &self.look) {
            Some((part, parts)) => {
                self.part = (part, parts);
                self.all_shown |= part + 1 == parts;
            }
            None => self.gone = true,
        }
    }

    /// What is wrong for as long as it lasts: another thing said must not hide it.
    fn troubles(&self) -> Vec<String> {
        let journal = "The journal cannot be written: write down when each coat was sprayed";
        (!self.hands.journal.whole()).then(|| journal.to_owned()).into_iter().collect()
    }

    /// Says which cans will not last.
    pub(super) fn cans_are_low(&mut self) {
        for (head, text) in self.low_cans() {
            self.say_plainly(&head, &text);
        }
    }

    /// The cans that hold less than what the coats still to come need.
    fn low_cans(&self) -> Vec<(String, String)> {
        let state = self.conductor.state();
        if state.rehearsal() {
            return Vec::new();
        }
        let mut low = Vec::new();
        for sealer in state.cans.keys() {
            let pages = || state.pages.iter().filter(|page| page.spec.sealer == *sealer && !page.ended);
            let needed: f64 =
                pages().flat_map(|page| page.coats.iter().skip(page.done.len())).map(|coat| coat.sealer_g).sum();
            let (Some(left), Some(page)) = (self.hands.cans.left_g(sealer), pages().next()) else { continue };
            if needed > left {
                let name = &page.spec.sealer_name;
                let text = format!("About {left:.0} g left, {needed:.0} g needed: have a second can of it at hand");
                low.push((format!("The can will not last ({name})"), text));
            }
        }
        low
    }
}
