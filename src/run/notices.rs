//! What a run says: of what was done, of what rings, of what comes next.

use std::fmt::Write;

use jiff::{Timestamp, ZonedDateTime};

use super::bells::{BellKind, Due};
use super::conductor::{Conductor, Loudness, Notice};
use super::entry::What;
use super::words::{bell_words, clock_words, span_words};
use crate::diagnostic::plural;
use crate::finding::Level;

impl Conductor {
    pub(super) fn done_notice(&self, now: Timestamp, what: &What) -> Notice {
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
            What::Skipped { page, coat } => {
                let name = title(*page).unwrap_or_default();
                about("skipped", *page, Some(*coat), format!("{name}: coat {coat} is left out"), self.next_words(now))
            }
            What::TakenOut { page } => {
                let head = format!("{} is taken out: it stays as it is", title(*page).unwrap_or_default());
                about("taken_out", *page, None, head, self.next_words(now))
            }
            What::PutBack { page } => {
                let head = format!("{} goes on", title(*page).unwrap_or_default());
                about("put_back", *page, None, head, self.next_words(now))
            }
            What::Checked { .. } => self.notice("checked", now, "The list is done", &self.next_words(now)),
            What::Cancelled {} => {
                let name = self.state.title();
                self.notice("cancelled", now, &format!("{name}: the run is given up"), "What is on stays noted")
            }
            _ => self.notice("noted", now, "", ""),
        }
    }

    pub(super) fn bell_notice(&self, due: &Due, now: Timestamp) -> Notice {
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

    pub(super) fn notice(&self, event: &'static str, at: Timestamp, head: &str, text: &str) -> Notice {
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

    /// What the run comes to. Of a page it is its answer; what the pages of an evening were answered holds for each alone, so
    /// of them it is when all are through.
    pub(super) fn promise(&self, now: Timestamp) -> String {
        let pages = &self.state.pages;
        if let ([page], None) = (&pages[..], &self.state.spec.bench) {
            return sentence(&page.spec.answer);
        }
        let forecast = self.state.forecast();
        let coats: usize = forecast.iter().map(|page| page.coats.len()).sum();
        let last = forecast.iter().flat_map(|page| &page.coats).map(|(_, at, _)| *at).max();
        let handle = forecast.iter().filter_map(|page| page.handle_at).max();
        let mut said = format!("{}, {}", plural(pages.len(), "page"), plural(coats, "coat"));
        if let (Some(last), Some(handle)) = (last, handle) {
            let (last, handle) = (self.clock(last, now), self.clock(handle, now));
            let _ = write!(said, ": the last coat at {last}, to be handled from {handle}");
        }
        if pages.iter().any(|page| page.spec.verdict != Level::Go.word()) {
            said += "; `coatbell batch` names what to mind";
        }
        sentence(&said)
    }

    /// What comes next, in one sentence.
    pub(super) fn next_words(&self, now: Timestamp) -> String {
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
                let handle = self.state.pages.iter().filter_map(super::page::PageState::handle_at).max();
                handle.map_or_else(String::new, |at| format!("All coats are on; handle from {}.", self.clock(at, now)))
            }
        }
    }

    pub(super) fn zoned(&self, at: Timestamp) -> ZonedDateTime {
        at.to_zoned_datetime(self.zone.clone())
    }

    pub(super) fn clock(&self, at: Timestamp, now: Timestamp) -> String {
        clock_words(at, &self.zoned(now))
    }
}

/// With its full stop.
fn sentence(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(['.', '!', '?']) { text.to_owned() } else { format!("{text}.") }
}
