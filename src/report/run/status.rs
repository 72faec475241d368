//! What is under way, and what is due.

use std::fmt::Write;

use jiff::ZonedDateTime;
use serde::Serialize;

use crate::caution;
use crate::report::look::Look;
use crate::report::writer::Writer;
use crate::run::{State, clock_words, span_words};

/// A run in short.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunLine {
    /// Title.
    pub title: String,
    /// When it began.
    pub started_at: String,
    /// Whether it is a rehearsal.
    pub rehearsal: bool,
    /// Whether a process conducts it at this moment, and which.
    pub conducted_by: Option<u32>,
    /// Each page.
    pub pages: Vec<PageLine>,
    /// What is due or was allowed and not said yet: as sentences.
    pub due: Vec<String>,
}

/// A page in short.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PageLine {
    /// Title.
    pub title: String,
    /// Coats on.
    pub coats_on: usize,
    /// Coats in all.
    pub coats: usize,
    /// When the next coat is due.
    pub next_at: Option<String>,
    /// Seconds until then; negative is overdue.
    pub next_in_s: Option<i64>,
    /// When the window for it closes.
    pub window_closes_at: Option<String>,
    /// When it may be handled.
    pub handle_at: Option<String>,
    /// Sealer.
    pub sealer: String,
    /// Left in the can, g.
    pub can_left_g: Option<f64>,
}

impl RunLine {
    /// The run in short at a moment.
    pub fn of(
        state: &State,
        now: &ZonedDateTime,
        conducted_by: Option<u32>,
        due: Vec<String>,
        left_g: &dyn Fn(&str) -> Option<f64>,
    ) -> Self {
        let iso = |at: jiff::Timestamp| crate::input::iso(&at.to_zoned_datetime(now.time_zone().clone()));
        let forecast = state.forecast();
        let pages = state.pages.iter().zip(forecast).map(|(page, forecast)| PageLine {
            title: page.spec.title.clone(),
            coats_on: page.done.len(),
            coats: page.coats.len(),
            next_at: page.due_at().map(iso),
            next_in_s: page.due_at().map(|at| at.as_second() - now.timestamp().as_second()),
            window_closes_at: page.window_closes_at().map(iso),
            handle_at: forecast.handle_at.map(iso),
            sealer: page.spec.sealer.clone(),
            can_left_g: left_g(&page.spec.sealer),
        });
        Self {
            title: state.title(),
            started_at: iso(state.started_at),
            rehearsal: state.rehearsal(),
            conducted_by,
            pages: pages.collect(),
            due,
        }
    }
}

/// All runs under way.
pub fn status_text(runs: &[(RunLine, &State)], look: &Look) -> String {
    let mut writer = Writer::new(look);
    if runs.is_empty() {
        writer.text(0, "No run is under way.");
        return writer.finish();
    }
    for (line, state) in runs {
        writer.head(&format!("{}{}", if line.rehearsal { "Rehearsal: " } else { "" }, line.title));
        for sentence in &line.due {
            writer.item(2, "!", sentence);
        }
        if look.quiet {
            continue;
        }
        let many = state.pages.len() > 1;
        for (page, short) in state.pages.iter().zip(&line.pages) {
            let name = if many { format!("{}: ", short.title) } else { String::new() };
            let mut text = format!("{name}{} of {} coats on", short.coats_on, short.coats);
            if let (Some(at), Some(next)) = (page.due_at(), page.next()) {
                let ahead_s = at.as_second() - look.now.timestamp().as_second();
                let clock = clock_words(at, &look.now);
                let (number, span) = (next.number, span_words(ahead_s));
                let _ = if ahead_s > 0 {
                    write!(text, "; coat {number} at {clock}, in {span}")
                } else {
                    write!(text, "; coat {number} was due at {clock}, {span} ago")
                };
            } else if let Some(at) = page.handle_at() {
                let _ = write!(text, "; handle from {}", clock_words(at, &look.now));
            }
            writer.bullet(&text);
            if let Some(grams) = short.can_left_g {
                writer.text(4, &format!("About {grams:.0} g left in the can ({}).", page.spec.sealer_name));
            }
        }
        match line.conducted_by {
            Some(process) => writer.text(2, &format!("Conducted by process {process}.")),
            None if state.over() => {}
            None => writer.text(2, "Nobody conducts it: `coatbell seal --resume` goes on."),
        }
    }
    writer.blank();
    writer.text(0, caution::IN_ONE_LINE);
    writer.finish()
}
