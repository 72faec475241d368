//! The batch file: an evening with many pages.

use std::ops::Range;

use jiff::{SignedDuration, ZonedDateTime};

use super::kind::FileKind;
use super::{Document, Located, TableReader, parse_when};
use crate::diagnostic::{Problem, Problems, SourceText, plural};
use crate::quantity::{self, TimeSpan};

/// Most sheets of one file: more than one bench can be planned for.
const MOST_SHEETS: usize = 5_000;
/// Most sheets on a rack.
const MOST_RACK: f64 = 10_000.0;
/// Longest change of can or handling of a sheet, min; more is a slip of the unit.
const LONGEST_HANDLING_MIN: f64 = 120.0;
/// Longest evening, days: plans made for conditions of now are no good for longer.
const LONGEST_DAYS: i64 = 31;

/// An evening as written.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchInput {
    /// Sheets the rack holds.
    pub rack: usize,
    /// When to begin; now if not stated.
    pub start: ZonedDateTime,
    /// Nothing is sprayed after this.
    pub stop_by: Option<ZonedDateTime>,
    /// Breaks in order: from, to.
    pub breaks: Vec<(ZonedDateTime, ZonedDateTime)>,
    /// Time to change to another can, if stated.
    pub can_change: Option<TimeSpan>,
    /// Handling of a sheet at every coat, if stated.
    pub handling: Option<TimeSpan>,
    /// The pages; at least one.
    pub pages: Vec<BatchPage>,
}

/// A page of the evening.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchPage {
    /// Its file, as seen from the batch file.
    pub file: Located<String>,
    /// A sealer's name, or the file of a can; absent leaves the choice to the plan.
    pub sealer: Option<Located<String>>,
    /// How many sheets alike.
    pub copies: usize,
    /// The header of its entry.
    pub span: Range<usize>,
}

/// What a page of a batch file names.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedInBatch {
    /// Its file, as seen from the batch file.
    pub file: Option<Located<String>>,
    /// A sealer's name, or the file of a can.
    pub sealer: Option<Located<String>>,
}

/// Reads a batch file. Clock times count on the day of the start, and that on the day of `now`.
///
/// # Errors
/// Everything wrong with the file, at once.
pub fn read_batch(source: &SourceText, now: &ZonedDateTime) -> Result<BatchInput, Problems> {
    let document = Document::parse(source);
    document.expect(FileKind::Batch);
    let root = document.root();
    root.require("rack", "6");
    let rack = whole(&root, "rack", MOST_RACK, "sheets that can dry at once");
    let start = match root.text("start") {
        Some(text) => moment(&root, "start", &text, now),
        None => Some(now.clone()),
    };
    let day = start.as_ref().unwrap_or(now);
    let stop = root.text("stop_by").and_then(|text| Some((moment(&root, "stop_by", &text, day)?, text)));
    let breaks = root.text_pairs("breaks");
    if let (Some(start), Some((stop, text))) = (&start, &stop) {
        stop_after_start(&root, start, stop, text);
    }
    let breaks = read_breaks(&root, breaks, start.as_ref(), stop.as_ref().map(|(stop, _)| stop), day);
    let can_change = handling(&root, "can_change");
    let handling = handling(&root, "handling");
    let pages = read_pages(&root);
    root.finish();
    let batch = (|| {
        Some(BatchInput {
            rack: rack? as usize,
            start: start?,
            stop_by: stop.map(|(stop, _)| stop),
            breaks,
            can_change,
            handling,
            pages,
        })
    })();
    document.finish(batch)
}

/// The files and sealers that the pages of a batch file name, as far as they can be read: whatever else is wrong with the
/// file, what is wrong with those can be said as well.
pub fn named_in_batch(source: &SourceText) -> Vec<NamedInBatch> {
    let document = Document::parse(source);
    let named = document.root().tables("page").into_iter().map(|reader| NamedInBatch {
        file: reader.text("file").filter(|file| !file.value.trim().is_empty()),
        sealer: reader.text("sealer").filter(|sealer| !sealer.value.trim().is_empty()),
    });
    named.collect()
}

/// A whole number from 1 to a limit.
fn whole(reader: &TableReader<'_>, key: &'static str, most: f64, what: &str) -> Option<f64> {
    let number = reader.number(key)?;
    if number.value.fract() == 0.0 && (1.0..=most).contains(&number.value) {
        return Some(number.value);
    }
    let shown = quantity::number(number.value);
    let problem = Problem::new("not-a-count", format!("`{key}`: {shown} is no number of {what}"))
        .with_hint(format!("write a whole number from 1 to {}", quantity::number(most)));
    reader.problem_at(key, number.span, problem);
    None
}

fn moment(
    reader: &TableReader<'_>,
    key: &'static str,
    text: &Located<String>,
    day: &ZonedDateTime,
) -> Option<ZonedDateTime> {
    match parse_when(&text.value, day) {
        Ok(moment) => Some(moment),
        Err(_) => {
            let problem = Problem::new("not-a-time", format!("`{key}`: `{}` is not a time", text.value.trim()))
                .with_hint("write `21:00`, or `2026-11-28 21:00`");
            reader.problem_at(key, text.span.clone(), problem);
            None
        }
    }
}

fn stop_after_start(reader: &TableReader<'_>, start: &ZonedDateTime, stop: &ZonedDateTime, text: &Located<String>) {
    let shown = |moment: &ZonedDateTime| moment.strftime("%Y-%m-%d %H:%M").to_string();
    if stop <= start {
        let message = format!("`stop_by`: {} is not after the start at {}", shown(stop), shown(start));
        let problem = Problem::new("stop-before-start", message)
            .with_hint("write a later time; after midnight, with its day: `2026-11-29 00:30`");
        reader.problem_at("stop_by", text.span.clone(), problem);
    } else if stop.duration_since(start) > SignedDuration::from_hours(24 * LONGEST_DAYS) {
        let message = format!("`stop_by`: {} is more than {LONGEST_DAYS} days after the start", shown(stop));
        let problem = Problem::new("stop-too-late", message).with_hint("plan a shorter session");
        reader.problem_at("stop_by", text.span.clone(), problem);
    }
}

fn handling(reader: &TableReader<'_>, key: &'static str) -> Option<TimeSpan> {
    let span = reader.time(key)?;
    if span.value.minutes() > LONGEST_HANDLING_MIN {
        let limit = quantity::number(LONGEST_HANDLING_MIN);
        let problem = Problem::new("out-of-range", format!("`{key}`: more than {limit} min is a break"))
            .with_hint("write the time it takes you, such as `2 min`");
        reader.problem_at(key, span.span, problem);
        return None;
    }
    Some(span.value)
}

/// The breaks in order, each within the session and clear of the others.
fn read_breaks(
    reader: &TableReader<'_>,
    written: Vec<Located<(String, String)>>,
    start: Option<&ZonedDateTime>,
    stop: Option<&ZonedDateTime>,
    day: &ZonedDateTime,
) -> Vec<(ZonedDateTime, ZonedDateTime)> {
    let mut breaks: Vec<Located<(ZonedDateTime, ZonedDateTime)>> = Vec::new();
    for pair in written {
        let end =
            |text: &str| moment(reader, "breaks", &Located { value: text.to_owned(), span: pair.span.clone() }, day);
        let (Some(from), Some(to)) = (end(&pair.value.0), end(&pair.value.1)) else { continue };
        let (code, message, hint) = if to <= from {
            ("bad-break", "ends before it begins", "write the earlier time first; after midnight, with its day")
        } else if start.is_some_and(|start| from < *start) {
            ("break-outside", "begins before the start", "leave it out, or begin after it")
        } else if stop.is_some_and(|stop| to > *stop) {
            ("break-outside", "ends after `stop_by`", "leave it out, or stop when it begins")
        } else {
            breaks.push(Located { value: (from, to), span: pair.span });
            continue;
        };
        let (from, to) = &pair.value;
        let problem = Problem::new(code, format!("`breaks`: the break from {from} to {to} {message}")).with_hint(hint);
        reader.problem_at("breaks", pair.span.clone(), problem);
    }
    breaks.sort_by(|one, other| one.value.0.cmp(&other.value.0));
    for two in breaks.windows(2) {
        if two[1].value.0 < two[0].value.1 {
            let shown = |moment: &ZonedDateTime| moment.strftime("%H:%M").to_string();
            let message = format!(
                "`breaks`: the break from {} to {} overlaps the one from {} to {}",
                shown(&two[1].value.0),
                shown(&two[1].value.1),
                shown(&two[0].value.0),
                shown(&two[0].value.1)
            );
            let problem = Problem::new("breaks-overlap", message).with_hint("make one break of the two");
            reader.problem_at("breaks", two[1].span.clone(), problem);
        }
    }
    breaks.into_iter().map(|pair| pair.value).collect()
}

fn read_pages(root: &TableReader<'_>) -> Vec<BatchPage> {
    let readers = root.tables("page");
    if readers.is_empty() {
        let problem = Problem::new("no-pages", "there is no page to spray")
            .with_hint("add a `[[page]]` with its `file` for each");
        root.problem(problem.with_key("page"));
    }
    let mut pages = Vec::new();
    let mut sheets = 0;
    for reader in readers {
        let file = reader.required_text("file", "\"carp.toml\"").filter(|file| filled(&reader, "file", file));
        let sealer = reader.text("sealer").filter(|sealer| filled(&reader, "sealer", sealer));
        let copies = reader.number("copies");
        let named = file.as_ref().map_or("this page", |file| file.value.as_str()).to_owned();
        let span = reader.span();
        let (copies, place) = match copies {
            None if reader.has("copies") => (None, span.clone()),
            None => (Some(1), span.clone()),
            Some(copies) if copies.value.fract() == 0.0 && (1.0..=MOST_SHEETS as f64).contains(&copies.value) => {
                (Some(copies.value as usize), copies.span)
            }
            Some(copies) => {
                let shown = quantity::number(copies.value);
                let problem = Problem::new("not-a-count", format!("`copies`: {shown} sheets of {named}"))
                    .with_hint(format!("write a whole number from 1 to {MOST_SHEETS}, or split them into evenings"));
                reader.problem_at("copies", copies.span.clone(), problem);
                (None, copies.span)
            }
        };
        let before = sheets;
        sheets += copies.unwrap_or(0);
        if sheets > MOST_SHEETS && before <= MOST_SHEETS {
            let message = format!("with {named} there are over {} for one bench", plural(MOST_SHEETS, "sheet"));
            let problem = Problem::new("too-many-pages", message).with_hint("split them into several evenings");
            reader.problem_at("copies", place, problem);
        }
        reader.finish();
        if let (Some(file), Some(copies)) = (file, copies) {
            pages.push(BatchPage { file, sealer, copies, span });
        }
    }
    pages
}

/// Whether a text says anything.
fn filled(reader: &TableReader<'_>, key: &'static str, text: &Located<String>) -> bool {
    if !text.value.trim().is_empty() {
        return true;
    }
    let problem =
        Problem::new("empty-name", format!("`{key}` is empty")).with_hint("name a file, or take the line out");
    reader.problem_at(key, text.span.clone(), problem);
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<BatchInput, Vec<&'static str>> {
        let now: ZonedDateTime = "2026-11-28T14:00[UTC]".parse().expect("a moment");
        read_batch(&SourceText::new("evening.toml", text), &now)
            .map_err(|problems| problems.list.iter().map(|problem| problem.code).collect())
    }

    const PAGE: &str = "[[page]]\nfile = \"carp.toml\"\ncopies = 3\n";

    #[test]
    fn an_evening_is_read() {
        let text = format!(
            "rack = 6\nstart = \"2026-11-29 14:00\"\nstop_by = \"21:00\"\nbreaks = [[\"17:30\", \"18:15\"]]\n{PAGE}"
        );
        let batch = read(&text).expect("an evening");
        assert_eq!((batch.rack, batch.pages[0].copies, batch.breaks.len()), (6, 3, 1));
        assert_eq!(batch.stop_by.expect("an end").duration_since(&batch.start), SignedDuration::from_hours(7));
    }

    #[test]
    fn everything_wrong_comes_at_once() {
        let text =
            "rack = 0\nstart = \"18:00\"\nstop_by = \"17:00\"\nracks = 3\n[[page]]\nfile = \"a\"\ncopies = 100000\n";
        assert_eq!(read(text), Err(vec!["not-a-count", "stop-before-start", "unknown-key", "not-a-count"]));
        let late = format!("rack = 1\nstart = \"14:00\"\nstop_by = \"2026-12-30 14:00\"\n{PAGE}");
        assert_eq!(read(&late), Err(vec!["stop-too-late"]));
    }

    #[test]
    fn pages_without_copies_are_sheets_too() {
        let pages = |count: usize| format!("rack = 6\n{}", "[[page]]\nfile = \"carp.toml\"\n".repeat(count));
        assert_eq!(read(&pages(MOST_SHEETS)).map(|batch| batch.pages.len()), Ok(MOST_SHEETS));
        assert_eq!(read(&pages(MOST_SHEETS + 2)), Err(vec!["too-many-pages"]));
    }

    #[test]
    fn breaks_lie_within_the_session_and_apart() {
        let breaks = "rack = 1\nstart = \"14:00\"\nstop_by = \"21:00\"\nbreaks = ";
        for (written, code) in [
            ("[[\"13:00\", \"15:00\"]]", "break-outside"),
            ("[[\"20:00\", \"22:00\"]]", "break-outside"),
            ("[[\"18:00\", \"17:00\"]]", "bad-break"),
            ("[[\"17:00\", \"18:00\"], [\"17:30\", \"19:00\"]]", "breaks-overlap"),
            ("[[\"17:00\"]]", "wrong-kind"),
            ("[[\"noon\", \"18:00\"]]", "not-a-time"),
        ] {
            assert_eq!(read(&format!("{breaks}{written}\n{PAGE}")), Err(vec![code]), "{written}");
        }
    }
}
