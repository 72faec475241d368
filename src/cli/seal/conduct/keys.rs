//! What keys and lines do.

use std::time::{Duration, Instant};

use super::{Beat, LOOK_EVERY, Show, Sure};
use crate::cli::seal::calendar;
use crate::cli::seal::input::Key;
use crate::report::RunPane;
use crate::run::{Command, Mishap, rescue_for, rescues};

/// The page something went wrong with: the one chosen by hand, else the one sprayed last, else the one shown.
fn went_wrong(chosen: Option<usize>, sprayed_last: Option<usize>, shown: usize) -> usize {
    chosen.or(sprayed_last).unwrap_or(shown)
}

impl Show {
    /// What a key does; `true` if the run is left.
    pub(super) fn key(&mut self, key: Key) -> bool {
        if key == Key::Letter('q') {
            return true;
        }
        if self.pane == RunPane::Coats && key == Key::Letter('m') {
            self.round();
            return false;
        }
        // Whatever confirms something means nothing before all of it was shown.
        if self.pane != RunPane::Coats && matches!(key, Key::Go | Key::Letter('y')) && self.reads_on() {
            return false;
        }
        let sure = std::mem::replace(&mut self.sure, Sure::Of(None));
        self.message = None;
        self.heard();
        match self.pane {
            RunPane::Checklist(at) => self.checklist_key(key, at),
            RunPane::Again(at) => self.again_key(key, at),
            RunPane::Cautions => match key {
                Key::Go => {
                    // The answers stood above the cautions.
                    self.notices.retain(|notice| notice.event != "started");
                    self.turn_to(self.asked_first);
                }
                Key::Back => self.turn_to(RunPane::Cautions),
                _ => {}
            },
            RunPane::Mishaps => match key {
                Key::Letter(digit @ '1'..='9') => {
                    let place = digit as usize - '1' as usize;
                    if let Some(rescue) = rescues().get(place) {
                        self.mishap(rescue.mishap);
                    }
                }
                Key::Back | Key::Go => self.turn_to(RunPane::Coats),
                _ => {}
            },
            RunPane::Rescue(_) => match key {
                Key::Go => self.turn_to(RunPane::Coats),
                Key::Back => self.turn_to(self.pane),
                _ => {}
            },
            RunPane::Coats => self.coats_key(key, sure),
        }
        false
    }

    fn checklist_key(&mut self, key: Key, at: usize) {
        let all = self.conductor.state().spec.preflight.len();
        match key {
            Key::Go | Key::Letter('y') if at + 1 >= all => {
                self.turn_to(RunPane::Coats);
                self.command(Command::Checked);
            }
            Key::Go | Key::Letter('y') => self.turn_to(RunPane::Checklist(at + 1)),
            Key::Back => self.turn_to(RunPane::Checklist(at.saturating_sub(1))),
            _ => {}
        }
    }

    fn again_key(&mut self, key: Key, at: usize) {
        match key {
            Key::Go | Key::Letter('y') if at >= 1 => {
                self.turn_to(RunPane::Coats);
                if !self.conductor.state().checked {
                    self.command(Command::Checked);
                }
            }
            Key::Go | Key::Letter('y') => self.turn_to(RunPane::Again(1)),
            Key::Back => self.turn_to(RunPane::Again(0)),
            _ => {}
        }
    }

    fn coats_key(&mut self, key: Key, sure: Sure) {
        match key {
            Key::Go => {
                self.by_hand = false;
                self.beat = None;
                self.command(Command::Sprayed { page: self.page, insist: false });
            }
            Key::Letter('y') => match sure {
                Sure::Of(Some(page)) => {
                    self.command(Command::Sprayed { page, insist: true });
                }
                Sure::Undo => {
                    self.command(Command::Undo);
                }
                Sure::Of(None) | Sure::Skip(_) | Sure::TakeOut(_) => {}
            },
            Key::Letter('u') => {
                if sure == Sure::Undo {
                    self.command(Command::Undo);
                } else if let Some((_, last)) = self.conductor.state().last_coat() {
                    let number = last.coat.number;
                    self.message = Some(format!("Press u again to take coat {number} back: it was not sprayed"));
                    self.sure = Sure::Undo;
                } else {
                    self.command(Command::Undo);
                }
            }
            Key::Letter('?' | 'h') => self.turn_to(RunPane::Mishaps),
            Key::Letter('n') => {
                self.command(Command::NewCan { page: self.page });
            }
            Key::Letter('c') if self.conductor.state().all_sprayed() => {
                let path = calendar::free_name(self.conductor.state());
                self.write_calendar(&path);
            }
            Key::Letter('k') => {
                if sure == Sure::Skip(self.page) {
                    self.command(Command::Skip { page: self.page });
                } else if let Some(next) = self.conductor.state().pages.get(self.page).and_then(|page| page.next()) {
                    self.message = Some(format!("Press k again to leave coat {} of this page out", next.number));
                    self.sure = Sure::Skip(self.page);
                }
            }
            Key::Letter('o') if self.conductor.state().pages.len() > 1 => {
                let back = self.conductor.state().pages.get(self.page).is_some_and(|page| page.out.is_some());
                if back || sure == Sure::TakeOut(self.page) {
                    self.command(Command::TakeOut { page: self.page });
                } else {
                    let words = "Press o again to take this page out: it stays as it is, the others go on without it";
                    self.message = Some(words.to_owned());
                    self.sure = Sure::TakeOut(self.page);
                }
            }
            Key::Letter('b') if self.options.beat => self.begin_beat(),
            Key::Next => {
                let all = self.conductor.state().pages.len();
                self.page = (self.page + 1) % all.max(1);
                self.by_hand = true;
            }
            _ => {}
        }
    }

    fn mishap(&mut self, mishap: Mishap) {
        let chosen = self.by_hand.then_some(self.page);
        let page = went_wrong(chosen, self.conductor.state().last_coat().map(|(page, _)| page), self.page);
        if self.command(Command::Mishap { page, mishap }) {
            self.turn_to(RunPane::Rescue(mishap));
            let pages = &self.conductor.state().pages;
            if let Some(page) = pages.get(page).filter(|_| pages.len() > 1) {
                let title = &page.spec.title;
                self.message =
                    Some(format!("Noted for {title}. Was it another sheet? Go back, tab to it, say it again"));
            }
        }
    }

    fn begin_beat(&mut self) {
        let state = self.conductor.state();
        if let Some(coat) = state.pages.get(self.page).and_then(|page| page.next()) {
            let gap = Duration::try_from_secs_f64(coat.seconds_per_pass).unwrap_or(LOOK_EVERY);
            // Three beats to count in, then one at each turn.
            self.beat = Some(Beat { next: Instant::now(), gap, left: coat.passes + 3 });
            self.message = Some(format!("Three beats to count in, then {} passes", coat.passes));
        }
    }

    /// What a line does; `true` if the run is left.
    pub(super) fn line(&mut self, line: &str) -> bool {
        let word = line.trim().to_lowercase();
        match &*word {
            "" | "s" | "sprayed" | "done" => return self.key(Key::Go),
            "undo" => {
                self.key(Key::Letter('u'));
                return self.key(Key::Letter('u'));
            }
            "skip" => {
                self.key(Key::Letter('k'));
                return self.key(Key::Letter('k'));
            }
            "out" => {
                self.key(Key::Letter('o'));
                return self.key(Key::Letter('o'));
            }
            "yes" => return self.key(Key::Letter('y')),
            "quit" | "leave" => return true,
            _ => {}
        }
        let asked = word.trim_start_matches(['?', ' ']).trim_start_matches("rescue ");
        if let Some(rescue) = rescue_for(asked) {
            self.mishap(rescue.mishap);
            return false;
        }
        let mut letters = word.chars();
        match (letters.next(), letters.next()) {
            (Some(letter), None) => self.key(Key::Letter(letter)),
            _ => {
                self.message = Some("Enter: sprayed; u: undo; ?: something went wrong; skip: leave the next coat out; out: take the page out; q: leave".to_owned());
                false
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::went_wrong;

    #[test]
    fn a_mishap_is_that_of_the_page_chosen_by_hand() {
        assert_eq!(went_wrong(Some(2), Some(1), 2), 2, "it pooled before its coat was noted");
        assert_eq!(went_wrong(None, Some(1), 2), 1, "the page that is due next is not the one that went wrong");
        assert_eq!(went_wrong(None, None, 0), 0);
    }
}
