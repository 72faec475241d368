//! Why a command could not give its answer, and the one place that prints it.

use std::io::Write;

use serde::Serialize;

use super::Exit;
use crate::diagnostic::{Problem, Problems, escape_untrusted, places, render};
use crate::report::wrap;
use crate::store::StoreError;

/// Name under which what was typed on the command line is shown.
pub const COMMAND_LINE: &str = "<command line>";

/// Problems shown of one file; a file with more is wrong in the same way throughout.
const MOST_SHOWN: usize = 40;

/// Why a command ended without its answer.
#[derive(Debug)]
pub enum Failure {
    /// Something is wrong with input files, or with a page given in words.
    Input(Vec<Problems>),
    /// The command line asks for something that does not exist.
    Usage(Box<Problem>),
    /// It could not be done, and there is something to do about it.
    Refused(Box<Problem>),
    /// It could not be done.
    Other(anyhow::Error),
    /// Nothing was given to work on: the help of that command is shown.
    Help(&'static str),
    /// The reader of the output went away; not an error.
    ClosedPipe,
}

impl Failure {
    /// Wrong usage, with its cure.
    pub fn usage(code: &'static str, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Usage(Box::new(Problem::new(code, message).with_hint(hint)))
    }

    /// How the program ends after it.
    pub fn exit(&self) -> Exit {
        match self {
            Self::Input(all) if all.iter().all(|problems| &*problems.source.name == COMMAND_LINE) => Exit::Usage,
            Self::Input(_) => Exit::InvalidInput,
            Self::Usage(_) | Self::Help(_) => Exit::Usage,
            Self::Refused(_) | Self::Other(_) => Exit::Failed,
            Self::ClosedPipe => Exit::Done,
        }
    }

    /// The same as sources with problems; those without a file have a source without a name.
    pub(super) fn into_problems(self) -> Vec<Problems> {
        match self {
            Self::Input(all) => all,
            Self::Usage(problem) | Self::Refused(problem) => vec![Problems::whole("", *problem)],
            Self::Other(error) => vec![Problems::whole("", Problem::new("failed", format!("{error:#}")))],
            Self::Help(command) => {
                let problem = Problem::new("nothing-given", format!("`{command}` was given nothing to work on"))
                    .with_hint(format!("see `coatbell {command} --help`"));
                vec![Problems::whole("", problem)]
            }
            Self::ClosedPipe => Vec::new(),
        }
    }
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::Input(vec![problems])
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Self::Refused(Box::new(Problem::new(error.code(), error.to_string()).with_hint(error.remedy())))
    }
}

impl From<anyhow::Error> for Failure {
    fn from(error: anyhow::Error) -> Self {
        Self::Other(error)
    }
}

/// How errors are shown.
#[derive(Debug, Clone, Copy)]
pub struct ErrorStyle {
    /// As a JSON document on standard output.
    pub json: bool,
    /// With colour.
    pub colour: bool,
    /// Width in columns.
    pub width: usize,
}

/// Prints a failure: pointed problems on standard error, or with `json` a document on standard output.
///
/// A document that standard output does not take goes to standard error; beyond that there is nowhere left to report.
pub fn print(failure: Failure, style: ErrorStyle) {
    let all = failure.into_problems();
    if all.is_empty() {
        return;
    }
    if style.json {
        let mut out = std::io::stdout().lock();
        let document = document(&all);
        match writeln!(out, "{document}").and_then(|()| out.flush()) {
            Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
                let _ = writeln!(std::io::stderr().lock(), "{document}");
            }
            _ => {}
        }
    } else {
        let mut out = std::io::stderr().lock();
        let drawn: Vec<String> = all.into_iter().map(|problems| text(problems, style)).collect();
        let _ = writeln!(out, "{}", drawn.join("\n\n"));
    }
}

fn text(mut problems: Problems, style: ErrorStyle) -> String {
    if problems.source.name.is_empty() {
        return placeless(&problems, style);
    }
    let hidden = problems.list.len().saturating_sub(MOST_SHOWN);
    problems.list.truncate(MOST_SHOWN);
    let mut drawn = render(&problems, style.colour, style.width);
    if hidden > 0 {
        let more = format!("\n\nand {hidden} more");
        drawn.push_str(&more);
    }
    drawn
}

/// Problems without a place: a sentence and its cure, broken between words.
fn placeless(problems: &Problems, style: ErrorStyle) -> String {
    let red = anstyle::AnsiColor::BrightRed.on_default().bold();
    let bold = anstyle::Style::new().bold();
    let painted = |paint: anstyle::Style, label: &str, said: &str| {
        let lines = wrap(&format!("{label}: {}", escape_untrusted(said)), style.width);
        let text = lines.join("\n");
        let rest = text.strip_prefix(label).unwrap_or_default();
        if style.colour { format!("{paint}{label}{paint:#}{rest}") } else { text }
    };
    let drawn = problems.list.iter().map(|problem| {
        let message = painted(red, "error", &problem.message);
        match &problem.hint {
            Some(hint) => format!("{message}\n\n{}", painted(bold, "hint", hint)),
            None => message,
        }
    });
    drawn.collect::<Vec<_>>().join("\n\n")
}

/// One error as machines read it.
#[derive(Debug, Serialize)]
struct ErrorEntry<'a> {
    code: &'static str,
    message: &'a str,
    hint: Option<&'a str>,
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
    key: Option<&'a str>,
}

/// `{"errors": […]}`.
#[derive(Debug, Serialize)]
struct ErrorDocument<'a> {
    errors: Vec<ErrorEntry<'a>>,
}

fn document(all: &[Problems]) -> String {
    let mut errors = Vec::new();
    for problems in all {
        let file = Some(&*problems.source.name).filter(|name| !name.is_empty());
        for (problem, at) in problems.list.iter().zip(places(problems)) {
            errors.push(ErrorEntry {
                code: problem.code,
                message: &problem.message,
                hint: problem.hint.as_deref(),
                file,
                line: at.map(|at| at.line),
                column: at.map(|at| at.column),
                key: problem.key.as_deref(),
            });
        }
    }
    // Texts and numbers only: this cannot fail, and an empty document is still JSON.
    serde_json::to_string_pretty(&ErrorDocument { errors }).unwrap_or_else(|_| "{\"errors\":[]}".to_owned())
}
