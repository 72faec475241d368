//! The screen of a run.
//!
//! A pane makes blocks, of which some must be read; `fit` decides what of them a window holds. What must be read and does
//! not fit comes in parts, and no key that goes on means anything before the last of them was shown.

use jiff::ZonedDateTime;

use super::coats::coats;
use super::fit::{Fitted, fit};
use super::panes::{again, cautions, checklist, mishaps, rescue};
use super::sheet::{Sheet, strong, warning};
use crate::report::look::Look;
use crate::report::wrap::{display_width, wrap};
use crate::run::{Mishap, Notice, State};

/// What the screen shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunPane {
    /// The cautions in full, before anything else.
    Cautions,
    /// The list before the first coat, at this item.
    Checklist(usize),
    /// Only the two questions that are asked again after a pause: mask (0) and flames (1).
    Again(usize),
    /// The coats and the clock.
    Coats,
    /// What went wrong?
    Mishaps,
    /// What to do after one.
    Rescue(Mishap),
}

/// Everything the screen shows.
#[derive(Debug)]
pub struct RunView<'a> {
    /// The run.
    pub state: &'a State,
    /// The moment by the clock of the run.
    pub now: &'a ZonedDateTime,
    /// What is shown.
    pub pane: RunPane,
    /// Which part of it, from 0, where it does not fit at once.
    pub part: usize,
    /// The page in hand, from 0.
    pub page: usize,
    /// What was said since the last key, the last of it last.
    pub notices: &'a [Notice],
    /// What is wrong for as long as it lasts.
    pub troubles: &'a [String],
    /// Why the last key did nothing.
    pub message: Option<&'a str>,
    /// What is left in the can, g.
    pub left_g: Option<f64>,
    /// Whether passes can be beaten.
    pub beat: bool,
}

/// The keys of a pane.
pub(super) struct Keys {
    /// With what they do.
    pub(super) full: String,
    /// Where there is little room.
    pub(super) short: String,
    /// The key to the next part; the pane's own key for going on waits until the last.
    pub(super) more: &'static str,
}

impl Keys {
    /// Keys of a pane that is read with the space key.
    pub(super) fn read(full: &str, short: &str) -> Self {
        Self { full: full.to_owned(), short: short.to_owned(), more: "space" }
    }
}

/// A screen as it is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunScreen {
    /// As many lines as the window has, the keys in the last ones.
    pub lines: Vec<String>,
    /// The part that is shown, from 0.
    pub part: usize,
    /// Parts there are.
    pub parts: usize,
}

/// Draws a screen of `rows` lines.
pub fn run_screen(view: &RunView<'_>, look: &Look, rows: usize) -> RunScreen {
    let rows = rows.max(2);
    let mut sheet = Sheet::new(look);
    head(&mut sheet, view);
    let mut body = Sheet::new(look);
    let keys = match view.pane {
        RunPane::Cautions => cautions(&mut body, view),
        RunPane::Checklist(at) => checklist(&mut body, view, at),
        RunPane::Again(at) => again(&mut body, at),
        RunPane::Coats => coats(&mut body, view),
        RunPane::Mishaps => mishaps(&mut body),
        RunPane::Rescue(mishap) => rescue(&mut body, mishap),
    };
    let mut message = Sheet::new(look);
    if let Some(text) = view.message {
        message.paragraph(text, warning());
    }
    // A message stands beside the keys where that leaves room for the rest, else above the rest.
    let below: Vec<String> = message.blocks.iter().flat_map(|block| block.lines.clone()).collect();
    let full = foot(&keys.full, look);
    let mut blocks = sheet.blocks.clone();
    blocks.extend(body.blocks.iter().cloned());
    let fitted = fit(blocks, rows.saturating_sub(full.len() + below.len()));
    if fitted.parts.len() == 1 && full.len() + below.len() < rows {
        return assemble(&fitted, 0, [below, full].concat(), rows, look);
    }
    let mut blocks = sheet.blocks;
    blocks.extend(message.blocks);
    blocks.extend(body.blocks);
    in_parts(view, &keys, blocks, rows, look)
}

/// The same where it does not fit at once: short keys, and parts.
fn in_parts(view: &RunView<'_>, keys: &Keys, blocks: Vec<super::sheet::Block>, rows: usize, look: &Look) -> RunScreen {
    let cap = |mut lines: Vec<String>| {
        lines.truncate(rows - 1);
        lines
    };
    let last = cap(foot(&keys.short, look));
    let fitted = fit(blocks.clone(), rows - last.len());
    if fitted.parts.len() == 1 {
        return assemble(&fitted, 0, last, rows, look);
    }
    let more = |part: usize, parts: usize| {
        let read_on = format!("{}: read on, {} of {parts}", keys.more, part + 1);
        // While there is more to read the space key goes to it and to nothing else.
        let text = if keys.more == "space" {
            format!("{read_on} · q: leave")
        } else {
            format!("{read_on} · {}", keys.short)
        };
        cap(foot(&text, look))
    };
    let room = rows - more(98, 99).len().max(last.len());
    let fitted = fit(blocks, room);
    let parts = fitted.parts.len();
    let part = view.part.min(parts - 1);
    let foot = if part + 1 == parts && keys.more == "space" { last } else { more(part, parts) };
    assemble(&fitted, part, foot, rows, look)
}

fn assemble(fitted: &Fitted, part: usize, foot: Vec<String>, rows: usize, look: &Look) -> RunScreen {
    let mut lines = fitted.parts[part].clone();
    lines.resize(rows.saturating_sub(foot.len()), String::new());
    lines.extend(foot);
    let lines = lines.iter().map(|line| if look.unicode { line.clone() } else { line.replace('…', "...") }).collect();
    RunScreen { lines, part, parts: fitted.parts.len() }
}

/// Keys in as few lines as they need; between two keys rather than within one.
fn foot(keys: &str, look: &Look) -> Vec<String> {
    let columns = look.columns().saturating_sub(1);
    let mut lines: Vec<String> = Vec::new();
    for key in look.clean(keys).split(&look.clean(" · ")) {
        match lines.last_mut() {
            Some(line) if display_width(line) + 3 + display_width(key) <= columns => {
                *line = format!("{line}{}{key}", look.clean(" · "));
            }
            _ => lines.extend(wrap(key, columns)),
        }
    }
    lines.iter().map(|line| look.paint(strong(), line)).collect()
}

fn head(sheet: &mut Sheet<'_>, view: &RunView<'_>) {
    let state = view.state;
    let clock = view.now.strftime("%H:%M:%S").to_string();
    if let Some(speed) = state.spec.rehearsal {
        sheet.paragraph(&format!("REHEARSAL {speed}x: nothing is sprayed"), warning());
    }
    let page = state.pages.get(view.page);
    let name = page.map(|page| page.spec.title.clone()).unwrap_or_default();
    let can = page.map(|page| page.spec.sealer_name.clone()).unwrap_or_default();
    let left = view.left_g.map(|grams| format!(", about {grams:.0} g left")).unwrap_or_default();
    let many = if state.pages.len() > 1 {
        format!(" (page {} of {})", view.page + 1, state.pages.len())
    } else {
        String::new()
    };
    sheet.paragraph(&format!("{clock}  {name}{many}, {can}{left}"), strong());
    for trouble in view.troubles {
        sheet.paragraph(trouble, warning());
    }
    sheet.blank();
}
