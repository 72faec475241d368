//! The questions about an evening with several pages.

use clap::Args;
use jiff::ZonedDateTime;

use super::asker::{Asker, Question, Refusal};
use super::draft::Draft;
use super::{FileArguments, Ready};
use crate::cli::Failure;
use crate::diagnostic::Problem;
use crate::input::parse_when;

/// Answers about a batch; what is not answered here is asked.
#[derive(Debug, Clone, Args)]
pub(super) struct BatchAnswers {
    #[command(flatten)]
    pub(super) file: FileArguments,

    /// How many sheets the drying rack holds
    #[arg(long, value_name = "COUNT", help_heading = "Answers")]
    rack: Option<String>,

    /// When to begin: `18:00`, `2026-11-28 14:00`
    #[arg(long, value_name = "TIME", help_heading = "Answers")]
    start: Option<String>,

    /// When to stop: `21:00`
    #[arg(long, value_name = "TIME", help_heading = "Answers")]
    stop_by: Option<String>,

    /// A page file with its sealer and number of copies, as "carp.toml, acrylic-satin, 3"; repeat for each
    #[arg(long, value_name = "PAGE", help_heading = "Answers")]
    page: Vec<String>,
}

/// A page of the batch.
#[derive(Debug, Clone, PartialEq)]
struct Entry {
    file: String,
    sealer: Option<String>,
    copies: u32,
}

/// Asks what was not given, and drafts the file.
pub(super) fn ready(answers: &BatchAnswers, now: &ZonedDateTime, asker: &mut Asker<'_>) -> Result<Ready, Failure> {
    let rack = Question::needed("--rack", "How many sheets fit on the drying rack");
    let rack = asker.ask(&rack, answers.rack.as_deref(), |typed| count(typed, 200))?;
    let start = Question::needed("--start", "When do you begin, such as 18:00 or 2026-11-28 14:00");
    let start = asker.ask(&start, answers.start.as_deref(), |typed| time(typed, now))?;
    let stop = Question::optional("--stop-by", "When must you stop, such as 21:00", "no limit");
    let stop = asker.ask(&stop, answers.stop_by.as_deref(), |typed| time(typed, now))?;
    let pages = pages(answers, asker)?;
    asker.finish("batch")?;

    let mut draft = Draft::default();
    draft.note("An evening for coatbell: many pages, one bench, one pair of hands.");
    draft.plain("rack", rack.unwrap_or(1), "sheets that can dry at once");
    draft.key("start", start.as_deref().unwrap_or("now"), "");
    draft.key_or_offer("stop_by", stop.as_deref(), "21:00", "nothing is sprayed after this");
    draft.note("breaks = [[\"17:30\", \"18:15\"]]");
    draft.offered("can_change", "2 min", "time to change to another can");
    for page in &pages {
        draft.blank();
        draft.table("[[page]]", "");
        draft.key("file", &page.file, "as seen from this file");
        draft.key_or_offer("sealer", page.sealer.as_deref(), "acrylic-satin", "a name, or the file of your can");
        draft.plain("copies", page.copies, "");
    }
    let next = "  coatbell batch FILE";
    Ok(Ready { name: "batch".to_owned(), text: draft.finish(), next })
}

fn pages(answers: &BatchAnswers, asker: &mut Asker<'_>) -> Result<Vec<Entry>, Failure> {
    let question = Question::needed("--page", "page");
    if !answers.page.is_empty() || !asker.is_there() {
        if answers.page.is_empty() {
            asker.ask(&question, None, entry)?;
        }
        let given = answers.page.iter().map(|given| asker.ask(&question, Some(given), entry));
        return Ok(given.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect());
    }
    let mut pages = Vec::new();
    loop {
        let text =
            format!("Page {}: its file, sealer and copies, such as carp.toml, acrylic-satin, 3", pages.len() + 1);
        let question = if pages.is_empty() {
            Question::needed("--page", &text)
        } else {
            Question::optional("--page", &text, "that was all")
        };
        match asker.ask(&question, None, entry)? {
            Some(page) => pages.push(page),
            None => return Ok(pages),
        }
    }
}

fn entry(typed: &str) -> Result<Entry, Refusal> {
    let mut parts = typed.split(',').map(str::trim).filter(|part| !part.is_empty());
    let Some(file) = parts.next() else {
        return Err(Box::new(Problem::new("no-file", "no page file is named").with_hint("type `carp.toml`")));
    };
    let mut entry = Entry { file: file.to_owned(), sealer: None, copies: 1 };
    for part in parts {
        if part.starts_with(|c: char| c.is_ascii_digit()) {
            entry.copies = count(part, 100)?;
        } else {
            entry.sealer = Some(part.to_owned());
        }
    }
    Ok(entry)
}

fn count(typed: &str, most: u32) -> Result<u32, Refusal> {
    match typed.trim().parse::<u32>() {
        Ok(count) if (1..=most).contains(&count) => Ok(count),
        _ => Err(Box::new(
            Problem::new("not-a-count", format!("`{}` is not a number of sheets", typed.trim()))
                .with_hint(format!("type a whole number from 1 to {most}")),
        )),
    }
}

/// A moment, kept as a clock time or in full, so that the file means the same tomorrow.
fn time(typed: &str, now: &ZonedDateTime) -> Result<String, Refusal> {
    match parse_when(typed, now) {
        Ok(at) if at.date() == now.date() && typed.contains(':') && !typed.contains('-') => {
            Ok(at.strftime("%H:%M").to_string())
        }
        Ok(at) => Ok(at.strftime("%Y-%m-%d %H:%M").to_string()),
        Err(hint) => {
            let problem = Problem::new("not-a-time", format!("`{}` is not a time", typed.trim()));
            Err(Box::new(problem.with_hint(hint.replace(", or `3 days ago`", ""))))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_talk_becomes_a_batch() {
        let now: ZonedDateTime = "2026-11-28T14:00[Europe/Paris]".parse().expect("a moment");
        let file = FileArguments { file: None, force: false };
        let nothing = BatchAnswers { file, rack: None, start: None, stop_by: None, page: Vec::new() };
        let typed = "none\n6\n18:00\n21:00\ncarp.toml, acrylic-satin, 3\nmoon.toml\n\n";
        let ready = ready(&nothing, &now, &mut Asker::with(typed.as_bytes(), std::io::sink())).expect("a batch");
        let table: toml::Table = ready.text.parse().expect("TOML");
        assert_eq!(table["rack"].as_integer(), Some(6));
        assert_eq!(table["page"].as_array().map(Vec::len), Some(2));
        assert_eq!(table["page"][0]["copies"].as_integer(), Some(3));
    }
}
