//! The questions about an evening with several pages.

use std::path::Path;

use clap::Args;
use jiff::ZonedDateTime;

use super::asker::{Asker, Question, Refusal};
use super::draft::Draft;
use super::write::in_shell;
use super::{FileArguments, NAME, Ready};
use crate::catalog::Catalog;
use crate::cli::failure::COMMAND_LINE;
use crate::cli::page_arguments::PageArguments;
use crate::cli::{Context, Failure, evening, inputs};
use crate::diagnostic::{Problem, Problems, places};
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

    /// The room you will spray in, a file or a built-in one: it is looked into, and named in what to do next
    #[arg(long, value_name = "ROOM", help_heading = "Answers")]
    room: Option<String>,
}

/// A page of the batch.
#[derive(Debug, Clone, PartialEq)]
struct Entry {
    file: String,
    sealer: Option<String>,
    copies: u32,
}

/// What the names in the answers are looked up in.
pub(super) struct Shelf<'s> {
    pub(super) catalog: &'s Catalog,
    pub(super) context: &'s Context,
}

impl Shelf<'_> {
    /// What is wrong with the files of an entry, as seen from the folder of the batch.
    fn wrong_with(&self, folder: &Path, entry: &Entry) -> Result<Vec<Problems>, Failure> {
        evening::wrong_with(folder, &entry.file, entry.sealer.as_deref(), self.catalog, self.context, NAME)
    }

    /// What is wrong with a room.
    fn wrong_with_room(&self, room: &str) -> Result<Vec<Problems>, Failure> {
        let arguments = PageArguments { room: Some(room.to_owned()), ..PageArguments::default() };
        let mut wrong = Vec::new();
        inputs::gather(&mut wrong, inputs::surroundings(&arguments, &[], self.catalog, self.context, NAME))?;
        Ok(wrong)
    }
}

/// Asks what was not given, looks into every file that is named, and drafts the file.
pub(super) fn ready(answers: &BatchAnswers, shelf: &Shelf<'_>, asker: &mut Asker<'_>) -> Result<Ready, Failure> {
    let now = &shelf.context.now;
    let rack = Question::needed("--rack", "How many sheets fit on the drying rack");
    let rack = asker.ask(&rack, answers.rack.as_deref(), |typed| count(typed, 200))?;
    let start = Question::needed("--start", "When do you begin, such as 18:00 or 2026-11-28 14:00");
    let start = asker.ask(&start, answers.start.as_deref(), |typed| time(typed, now))?;
    let stop = Question::optional("--stop-by", "When must you stop, such as 21:00", "no limit");
    let stop = asker.ask(&stop, answers.stop_by.as_deref(), |typed| time(typed, now))?;
    let mut wrong = Vec::new();
    let pages = pages(answers, shelf, asker, &mut wrong)?;
    let room = room(answers, shelf, asker, &mut wrong)?;
    asker.finish("batch")?;
    if !wrong.is_empty() {
        return Err(Failure::Input(wrong));
    }

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
    let room = room.map(|room| format!(" --room {}", in_shell(&room))).unwrap_or_default();
    Ok(Ready { name: "batch".to_owned(), text: draft.finish(), next: format!("  coatbell batch FILE{room}") })
}

fn room(
    answers: &BatchAnswers,
    shelf: &Shelf<'_>,
    asker: &mut Asker<'_>,
    wrong: &mut Vec<Problems>,
) -> Result<Option<String>, Failure> {
    let question = Question::optional("--room", "The room: its file, or the name of a built-in one", "named later");
    if let Some(given) = &answers.room {
        wrong.extend(shelf.wrong_with_room(given)?);
        return Ok(Some(given.clone()));
    }
    asker.ask(&question, None, |typed| said_back(shelf.wrong_with_room(typed)).map(|()| typed.to_owned()))
}

fn pages(
    answers: &BatchAnswers,
    shelf: &Shelf<'_>,
    asker: &mut Asker<'_>,
    wrong: &mut Vec<Problems>,
) -> Result<Vec<Entry>, Failure> {
    let file = answers.file.file.as_deref().or(shelf.context.output.as_deref());
    let folder = file.filter(|file| file.as_os_str() != "-").and_then(Path::parent).unwrap_or(Path::new(""));
    let question = Question::needed("--page", "page");
    if !answers.page.is_empty() || !asker.is_there() {
        if answers.page.is_empty() {
            asker.ask(&question, None, entry)?;
        }
        let given = answers.page.iter().map(|given| asker.ask(&question, Some(given), entry));
        let pages: Vec<Entry> = given.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
        for page in &pages {
            for problems in shelf.wrong_with(folder, page)? {
                // A page that stands there twice is wrong in the same way twice.
                if !wrong.iter().any(|other| other.source == problems.source && other.list == problems.list) {
                    wrong.push(problems);
                }
            }
        }
        return Ok(pages);
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
        let checked = |typed: &str| {
            let entry = entry(typed)?;
            said_back(shelf.wrong_with(folder, &entry)).map(|()| entry)
        };
        match asker.ask(&question, None, checked)? {
            Some(page) => pages.push(page),
            None => return Ok(pages),
        }
    }
}

/// What is wrong with files as an answer's refusal: every problem with its place, the cure of the first.
fn said_back(wrong: Result<Vec<Problems>, Failure>) -> Result<(), Refusal> {
    let wrong = wrong.unwrap_or_else(Failure::into_problems);
    let mut lines = Vec::new();
    for problems in &wrong {
        for (problem, place) in problems.list.iter().zip(places(problems)) {
            let name = &problems.source.name;
            let at = place.map(|at| format!("{name}:{}:{}: ", at.line, at.column));
            let whole = if name.is_empty() || &**name == COMMAND_LINE { String::new() } else { format!("{name}: ") };
            lines.push(format!("{}{}", at.unwrap_or(whole), problem.message));
        }
    }
    if lines.is_empty() {
        return Ok(());
    }
    let first = wrong.iter().flat_map(|problems| &problems.list).find_map(|problem| problem.hint.clone());
    let problem = Problem::new("named-file", lines.join("; "));
    Err(Box::new(problem.with_hint(first.unwrap_or_else(|| "mend the file, then type it again".to_owned()))))
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
