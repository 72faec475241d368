//! The coats and the clock.

use jiff::Timestamp;

use super::screen::{Keys, RunView};
use super::sheet::{Sheet, calm, faint, plain, strong, urgent, warning};
use crate::report::wrap::display_width;
use crate::run::{Out, PageState, clock_words, instructions, span_words};

/// The coat that is next with its clock, where to be, and what was said.
pub(super) fn coats(sheet: &mut Sheet<'_>, view: &RunView<'_>) -> Keys {
    let state = view.state;
    let Some(page) = state.pages.get(view.page) else { return Keys::read("q: leave", "q") };
    let now = view.now.timestamp();
    match (page.next(), page.due_at()) {
        (Some(next), Some(due)) => {
            let ahead_s = (due.as_millisecond() - now.as_millisecond() + 999).div_euclid(1000);
            let kind = if next.mist { "mist" } else { "build" };
            let what = format!("coat {} of {} ({kind})", next.number, page.coats.len());
            let overdue_s = -ahead_s - state.step_s(view.page, next);
            if ahead_s > 0 {
                sheet.paragraph(&format!("{what} at {}", clock_words(due, view.now)), strong());
                sheet.big(&countdown(ahead_s), &format!("in {}", countdown(ahead_s)), strong());
            } else if overdue_s >= state.pace().late_s {
                sheet.paragraph(&format!("OVERDUE: {what} was due at {}", clock_words(due, view.now)), urgent());
                sheet.big(&format!("+{}", countdown(-ahead_s)), &format!("by {}", countdown(-ahead_s)), urgent());
            } else {
                sheet.paragraph(&format!("Spray {what}"), calm());
                sheet.big("NOW", "NOW", calm());
            }
            if let Some(closes) = page.window_closes_at() {
                let left_s = closes.as_second() - now.as_second();
                let style = if left_s <= state.pace().window_warning_s { urgent() } else { plain() };
                let text =
                    format!("The recoat window closes at {}, in {}", clock_words(closes, view.now), span_words(left_s));
                sheet.paragraph(&text, style);
            }
            room(sheet, view);
            sheet.blank();
            let style = if ahead_s > 0 { plain() } else { strong() };
            sheet.paragraph(&instructions(next, sheet.look.units), style);
        }
        _ => {
            all_on(sheet, page, view);
            room(sheet, view);
        }
    }
    sheet.blank();
    table(sheet, view, page);
    for notice in view.notices.iter().rev() {
        sheet.blank();
        let at = clock_words(notice.at, view.now);
        let text = format!("{at}  {}. {}", notice.head, notice.text);
        sheet.paragraph(text.trim_end_matches([' ', '.']), faint());
    }
    keys(view, page)
}

fn keys(view: &RunView<'_>, page: &PageState) -> Keys {
    let more = "m";
    if view.state.over() {
        let full = "c: calendar of the days after · q: end".to_owned();
        return Keys { full, short: "c: calendar · q: end".to_owned(), more };
    }
    let next = page.next().is_some();
    let keys = [
        (next, "SPACE: sprayed", "SPACE: sprayed"),
        (view.state.last_coat().is_some(), "u: undo", "u"),
        (true, "?: something went wrong", "?"),
        (view.state.pages.len() > 1, "tab: other page", "tab"),
        (next && !page.done.is_empty(), "k: leave this coat out", "k"),
        (view.state.pages.len() > 1 && next, "o: take the page out", "o"),
        (page.out.is_some(), "o: go on with the page", "o"),
        (view.beat && next, "b: beat", "b"),
        (page.done.is_empty() || next, "n: new can", "n"),
        (!page.done.is_empty() && !next, "c: calendar", "c"),
        (true, "q: leave", "q"),
    ];
    let shown = keys.iter().filter(|(there, ..)| *there);
    let (full, short): (Vec<&str>, Vec<&str>) = shown.map(|(_, full, short)| (*full, *short)).unzip();
    Keys { full: full.join(" · "), short: short.join(" · "), more }
}

fn all_on(sheet: &mut Sheet<'_>, page: &PageState, view: &RunView<'_>) {
    let now = view.now.timestamp();
    let head = match page.out {
        _ if page.ended => "No further coat may go on",
        Some(Out::Taken) => "Taken out: it stays as it is",
        Some(Out::Postponed) => "No time is left for it: keep it for another day",
        None => "All coats are on",
    };
    let Some(handle) = page.handle_at() else {
        sheet.paragraph(head, calm());
        return;
    };
    let ahead_s = handle.as_second() - now.as_second();
    if ahead_s > 0 {
        sheet.paragraph(&format!("{head}. Handle from {}", clock_words(handle, view.now)), calm());
        sheet.big(&countdown(ahead_s), &format!("in {}", countdown(ahead_s)), calm());
    } else {
        sheet.paragraph(&format!("{head}. It may be handled by its edges"), calm());
    }
    for (_, text, at) in page.later() {
        let name = text.split(':').next().unwrap_or(text);
        sheet.hanging("  ", &format!("{name}: {}", clock_words(at, view.now)), plain());
    }
}

/// Where the person should be.
fn room(sheet: &mut Sheet<'_>, view: &RunView<'_>) {
    let state = view.state;
    let Some((_, last)) = state.last_coat() else { return };
    let now = view.now.timestamp();
    let owed = state.air_later_s();
    let at = |minutes: u32| -> Timestamp {
        let by = jiff::SignedDuration::from_secs(i64::from(minutes) * 60 + owed);
        last.at.checked_add(by).unwrap_or(Timestamp::MAX)
    };
    let clock = |moment: Timestamp| clock_words(moment, view.now);
    let ahead = |minutes: Option<u32>| minutes.map(at).filter(|moment| *moment > now);
    let (text, style) = match last.coat.return_masked_min {
        None => ("Stay out: the room does not clear today".to_owned(), urgent()),
        // Two commands at once would be read as either: the coat is due, and it is sprayed with the mask on.
        Some(minutes) if at(minutes) > now && state.next_coat().is_some_and(|(_, due)| due <= now) => {
            let until = clock(at(minutes));
            (format!("In the room for this coat only, with the mask on; else out of it until {until}"), urgent())
        }
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

fn table(sheet: &mut Sheet<'_>, view: &RunView<'_>, page: &PageState) {
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
    let mut row = String::new();
    for part in parts {
        if !row.is_empty() && display_width(&row) + 3 + display_width(&part) > sheet.columns() {
            sheet.spare("", &std::mem::take(&mut row), plain());
        }
        row = if row.is_empty() { part } else { format!("{row} · {part}") };
    }
    if !row.is_empty() {
        sheet.spare("", &row, plain());
    }
    // Other pages, as many as there is room for, the next due first.
    let mut others: Vec<usize> = (0..view.state.pages.len()).filter(|index| *index != view.page).collect();
    others.sort_by_key(|index| view.state.pages[*index].due_at().unwrap_or(Timestamp::MAX));
    for index in others {
        let other = &view.state.pages[index];
        let when = match (other.due_at(), other.next()) {
            (Some(at), Some(coat)) => format!("coat {} at {}", coat.number, clock_words(at, view.now)),
            _ if other.out.is_some() => "taken out".to_owned(),
            _ => "all coats on".to_owned(),
        };
        sheet.spare("  ", &format!("page {}, {}: {when}", index + 1, other.spec.title), faint());
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
