//! The screen of a run.

use std::cmp::Ordering;

use anstyle::{AnsiColor, Style};
use jiff::{Timestamp, ZonedDateTime};

use super::big::big;
use crate::caution;
use crate::report::look::Look;
use crate::report::wrap::{display_width, wrap};
use crate::run::{Mishap, Notice, PageState, State, clock_words, instructions, rescues, span_words};

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
    /// The page in hand, from 0.
    pub page: usize,
    /// The last thing said.
    pub notice: Option<&'a Notice>,
    /// Why the last key did nothing.
    pub message: Option<&'a str>,
    /// What is left in the can, g.
    pub left_g: Option<f64>,
    /// Whether passes can be beaten.
    pub beat: bool,
}

/// Lines of the screen, at most `rows`, the keys in the last ones.
pub fn run_screen(view: &RunView<'_>, look: &Look, rows: usize) -> Vec<String> {
    let mut sheet = Sheet { look, lines: Vec::new() };
    head(&mut sheet, view);
    let keys = match view.pane {
        RunPane::Cautions => cautions(&mut sheet, view, rows),
        RunPane::Checklist(at) => checklist(&mut sheet, view, at),
        RunPane::Again(at) => again(&mut sheet, at),
        RunPane::Coats => coats(&mut sheet, view, rows),
        RunPane::Mishaps => mishaps(&mut sheet),
        RunPane::Rescue(mishap) => rescue(&mut sheet, mishap),
    };
    let mut foot = Sheet { look, lines: Vec::new() };
    // Nothing may push a caution off the screen.
    if let Some(message) = view.message.filter(|_| view.pane != RunPane::Cautions) {
        foot.paragraph(message, warning());
    }
    foot.paragraph(&keys, Style::new().bold());
    let room = rows.saturating_sub(foot.lines.len()).max(1);
    if sheet.lines.len() > room {
        sheet.lines.truncate(room.saturating_sub(1));
        sheet.lines.push("…".to_owned());
    }
    while sheet.lines.len() < room {
        sheet.lines.push(String::new());
    }
    sheet.lines.extend(foot.lines);
    sheet.lines.truncate(rows.max(1));
    sheet.lines.iter().map(|line| if look.unicode { line.clone() } else { line.replace('…', "...") }).collect()
}

struct Sheet<'l> {
    look: &'l Look,
    lines: Vec<String>,
}

impl Sheet<'_> {
    fn columns(&self) -> usize {
        self.look.columns().saturating_sub(1)
    }

    fn paragraph(&mut self, text: &str, style: Style) {
        for line in wrap(&self.look.clean(text), self.columns()) {
            self.lines.push(self.look.paint(style, &line));
        }
    }

    fn hanging(&mut self, marker: &str, text: &str, style: Style) {
        let marker = self.look.clean(marker);
        let indent = display_width(&marker);
        for (at, line) in wrap(&self.look.clean(text), self.columns().saturating_sub(indent)).iter().enumerate() {
            let lead = if at == 0 { marker.clone() } else { " ".repeat(indent) };
            self.lines.push(self.look.paint(style, &format!("{lead}{line}")));
        }
    }

    fn blank(&mut self) {
        self.lines.push(String::new());
    }

    fn big(&mut self, text: &str, style: Style) {
        for row in big(text, self.look.unicode) {
            self.lines.push(self.look.paint(style, &format!("  {row}")));
        }
    }
}

fn warning() -> Style {
    Style::new().bold().fg_color(Some(AnsiColor::Yellow.into()))
}

fn urgent() -> Style {
    Style::new().bold().fg_color(Some(AnsiColor::Red.into()))
}

fn calm() -> Style {
    Style::new().bold().fg_color(Some(AnsiColor::Green.into()))
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
    sheet.paragraph(&format!("{clock}  {name}{many}, {can}{left}"), Style::new().bold());
    sheet.blank();
}

/// The cautions, every one of them: what stands above gives way first.
fn cautions(sheet: &mut Sheet<'_>, view: &RunView<'_>, rows: usize) -> String {
    let mut list = Sheet { look: sheet.look, lines: Vec::new() };
    for caution in caution::IN_FULL {
        list.hanging("• ", caution, Style::new());
    }
    let mut answer = Sheet { look: sheet.look, lines: Vec::new() };
    if let Some(page) = view.state.pages.get(view.page) {
        answer.paragraph(&page.spec.answer, Style::new().bold());
        answer.blank();
    }
    let room = rows.saturating_sub(1);
    if sheet.lines.len() + answer.lines.len() + list.lines.len() <= room {
        sheet.lines.extend(answer.lines);
    } else if sheet.lines.len() + list.lines.len() > room {
        sheet.lines.clear();
    }
    sheet.lines.extend(list.lines);
    "space: go on · q: leave".to_owned()
}

fn checklist(sheet: &mut Sheet<'_>, view: &RunView<'_>, at: usize) -> String {
    let list = &view.state.spec.preflight;
    let all = list.len();
    sheet.paragraph(&format!("Before the first coat, {} of {all}:", (at + 1).min(all)), Style::new());
    sheet.blank();
    for (place, item) in list.iter().enumerate().skip(at.saturating_sub(1)) {
        match place.cmp(&at) {
            Ordering::Less => sheet.hanging("  done  ", &item.text, Style::new().dimmed()),
            Ordering::Equal => {
                sheet.hanging("  --->  ", &item.text, warning());
                sheet.blank();
            }
            Ordering::Greater => sheet.hanging("        ", &item.text, Style::new().dimmed()),
        }
    }
    "space: yes, done · esc: one back · q: leave".to_owned()
}

/// The two questions asked each time.
const AGAIN: [&str; 2] = [
    "The mask is on, with its cartridges, and it seals on your face",
    "No flame, pilot light, heater, candle, cigarette or sparking switch within 6 m (20 ft)",
];

fn again(sheet: &mut Sheet<'_>, at: usize) -> String {
    sheet.paragraph("Before you go on:", Style::new());
    sheet.blank();
    sheet.hanging("  --->  ", AGAIN[at.min(1)], warning());
    "space: yes · esc: one back · q: leave".to_owned()
}

fn mishaps(sheet: &mut Sheet<'_>) -> String {
    sheet.paragraph("What went wrong?", Style::new().bold());
    sheet.blank();
    for (place, rescue) in rescues().iter().enumerate() {
        sheet.hanging(&format!("  {}  ", place + 1), rescue.title, Style::new());
    }
    format!("1 to {}: choose · esc: back to the run", rescues().len())
}

fn rescue(sheet: &mut Sheet<'_>, mishap: Mishap) -> String {
    let rescue = mishap.rescue();
    sheet.paragraph(rescue.title, Style::new().bold());
    sheet.paragraph(rescue.never, urgent());
    sheet.blank();
    for (place, step) in rescue.now.iter().enumerate() {
        sheet.hanging(&format!("  {}. ", place + 1), step, Style::new());
    }
    sheet.blank();
    for step in rescue.when_dry {
        sheet.hanging("  dry: ", step, Style::new());
    }
    sheet.hanging("  rest: ", rescue.rest_text, warning());
    "space: back to the run".to_owned()
}

fn coats(sheet: &mut Sheet<'_>, view: &RunView<'_>, rows: usize) -> String {
    let state = view.state;
    let Some(page) = state.pages.get(view.page) else { return String::new() };
    let now = view.now.timestamp();
    match (page.next(), page.due_at()) {
        (Some(next), Some(due)) => {
            let ahead_s = (due.as_millisecond() - now.as_millisecond() + 999).div_euclid(1000);
            let kind = if next.mist { "mist" } else { "build" };
            let what = format!("coat {} of {} ({kind})", next.number, page.coats.len());
            let overdue_s = -ahead_s - next.spray_s.ceil() as i64;
            if ahead_s > 0 {
                sheet.paragraph(&format!("{what} at {}", clock_words(due, view.now)), Style::new().bold());
                sheet.big(&countdown(ahead_s), Style::new().bold());
            } else if overdue_s >= state.pace().late_s {
                sheet.paragraph(&format!("OVERDUE: {what} was due at {}", clock_words(due, view.now)), urgent());
                sheet.big(&format!("+{}", countdown(-ahead_s)), urgent());
            } else {
                sheet.paragraph(&format!("Spray {what}"), calm());
                sheet.big("NOW", calm());
            }
            if let Some(closes) = page.window_closes_at() {
                let left_s = closes.as_second() - now.as_second();
                let style = if left_s <= state.pace().window_warning_s { urgent() } else { Style::new() };
                let text =
                    format!("The recoat window closes at {}, in {}", clock_words(closes, view.now), span_words(left_s));
                sheet.paragraph(&text, style);
            }
            sheet.blank();
            let how = instructions(next, sheet.look.units);
            let style = if ahead_s > 0 { Style::new() } else { Style::new().bold() };
            sheet.paragraph(&how, style);
        }
        _ => all_on(sheet, page, view),
    }
    room(sheet, view);
    sheet.blank();
    // The table gives way before anything that is to be done now; two lines of keys, one for a message.
    let free = rows.saturating_sub(sheet.lines.len() + 3);
    table(sheet, view, page, free);
    if let Some(notice) = view.notice {
        sheet.blank();
        let at = clock_words(notice.at, view.now);
        let text = format!("{at}  {}. {}", notice.head, notice.text);
        sheet.paragraph(text.trim_end_matches([' ', '.']), Style::new().dimmed());
    }
    keys(view, page)
}

fn keys(view: &RunView<'_>, page: &PageState) -> String {
    if view.state.over() {
        return "c: calendar of the days after · q: end".to_owned();
    }
    let mut keys = Vec::new();
    if page.next().is_some() {
        keys.push("SPACE: sprayed");
    }
    if view.state.last_coat().is_some() {
        keys.push("u: undo");
    }
    keys.push("?: something went wrong");
    if view.state.pages.len() > 1 {
        keys.push("tab: other page");
    }
    if view.beat && page.next().is_some() {
        keys.push("b: beat");
    }
    if page.done.is_empty() || page.next().is_some() {
        keys.push("n: new can");
    } else {
        keys.push("c: calendar");
    }
    keys.push("q: leave");
    keys.join(" · ")
}

fn all_on(sheet: &mut Sheet<'_>, page: &PageState, view: &RunView<'_>) {
    let now = view.now.timestamp();
    let head = if page.ended { "No further coat may go on" } else { "All coats are on" };
    let Some(handle) = page.handle_at() else {
        sheet.paragraph(head, calm());
        return;
    };
    let ahead_s = handle.as_second() - now.as_second();
    if ahead_s > 0 {
        sheet.paragraph(&format!("{head}. Handle from {}", clock_words(handle, view.now)), calm());
        sheet.big(&countdown(ahead_s), calm());
    } else {
        sheet.paragraph(&format!("{head}. It may be handled by its edges"), calm());
    }
    for (_, text, at) in page.later() {
        let name = text.split(':').next().unwrap_or(text);
        sheet.hanging("  ", &format!("{name}: {}", clock_words(at, view.now)), Style::new());
    }
}

/// Where the person should be.
fn room(sheet: &mut Sheet<'_>, view: &RunView<'_>) {
    let state = view.state;
    let Some((_, last)) = state.last_coat() else { return };
    let now = view.now.timestamp();
    let owed: i64 = state.pages.iter().flat_map(|page| &page.done).map(|done| done.early_s).sum();
    let at = |minutes: u32| -> Timestamp {
        let by = jiff::SignedDuration::from_secs(i64::from(minutes) * 60 + owed);
        last.at.checked_add(by).unwrap_or(Timestamp::MAX)
    };
    let clock = |moment: Timestamp| clock_words(moment, view.now);
    let ahead = |minutes: Option<u32>| minutes.map(at).filter(|moment| *moment > now);
    let (text, style) = match last.coat.return_masked_min {
        None => ("Stay out: the room does not clear today".to_owned(), urgent()),
        Some(minutes) if at(minutes) > now => {
            (format!("Out of the room until {}; then only with the mask", clock(at(minutes))), urgent())
        }
        Some(_) if !state.all_sprayed() => ("In the room only with the mask on".to_owned(), warning()),
        Some(_) => match (ahead(state.spec.clear_unmasked_min), ahead(state.spec.clear_others_min)) {
            (Some(unmasked), _) => (format!("In the room only with the mask on, until {}", clock(unmasked)), warning()),
            (None, _) if state.spec.clear_unmasked_min.is_none() => {
                ("In the room only with the mask on; it does not clear today".to_owned(), warning())
            }
            (None, Some(others)) => (format!("Clear for you; the others stay out until {}", clock(others)), warning()),
            (None, None) if state.spec.clear_others_min.is_none() => {
                ("Clear for you; the others stay out today".to_owned(), warning())
            }
            (None, None) => ("The room is clear for everyone".to_owned(), calm()),
        },
    };
    sheet.paragraph(&text, style);
}

fn table(sheet: &mut Sheet<'_>, view: &RunView<'_>, page: &PageState, free: usize) {
    let forecast = view.state.forecast();
    let foreseen = forecast.get(view.page).map(|forecast| forecast.coats.clone()).unwrap_or_default();
    let mut parts = Vec::new();
    for done in &page.done {
        let timing = match (done.early_s, done.late_s) {
            (early, _) if early > 0 => format!(", {} early", span_words(early)),
            (_, late) if late > 0 => format!(", {} late", span_words(late)),
            _ => String::new(),
        };
        parts.push(format!("coat {} on at {}{timing}", done.coat.number, clock_words(done.at, view.now)));
    }
    // The one that is next stands above already.
    for (number, at, mist) in foreseen.into_iter().skip(1) {
        let kind = if mist { "mist" } else { "build" };
        parts.push(format!("coat {number} ({kind}) at {}", clock_words(at, view.now)));
    }
    if let Some(handle) = forecast.get(view.page).and_then(|forecast| forecast.handle_at).filter(|_| !page.sprayed()) {
        parts.push(format!("handle from {}", clock_words(handle, view.now)));
    }
    let before = sheet.lines.len();
    let mut rows = Vec::new();
    let mut row = String::new();
    for part in parts {
        if !row.is_empty() && display_width(&row) + 3 + display_width(&part) > sheet.columns() {
            rows.push(std::mem::take(&mut row));
        }
        row = if row.is_empty() { part } else { format!("{row} · {part}") };
    }
    rows.push(row);
    if rows.len() <= free {
        for row in rows.iter().filter(|row| !row.is_empty()) {
            sheet.paragraph(row, Style::new());
        }
    }
    let shown = sheet.lines.len() - before;
    // Other pages, as many as there is room for, the next due first.
    let mut others: Vec<usize> = (0..view.state.pages.len()).filter(|index| *index != view.page).collect();
    others.sort_by_key(|index| view.state.pages[*index].due_at().unwrap_or(Timestamp::MAX));
    for index in others.into_iter().take(free.saturating_sub(shown)) {
        let other = &view.state.pages[index];
        let when = match (other.due_at(), other.next()) {
            (Some(at), Some(coat)) => format!("coat {} at {}", coat.number, clock_words(at, view.now)),
            _ => "all coats on".to_owned(),
        };
        sheet.hanging("  ", &format!("page {}, {}: {when}", index + 1, other.spec.title), Style::new().dimmed());
    }
}

/// Minutes and seconds, or hours and minutes.
fn countdown(seconds: i64) -> String {
    if seconds < 100 * 60 {
        format!("{:02}:{:02}", seconds / 60, seconds % 60)
    } else {
        let minutes = (seconds + 59) / 60;
        let hours = minutes / 60;
        if hours < 100 { format!("{hours}h{:02}", minutes % 60) } else { "99h".to_owned() }
    }
}
