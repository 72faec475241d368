//! One TOML text and everything wrong with it.

use std::cell::RefCell;
use std::ops::Range;

use toml::de::DeTable;

use super::TableReader;
use super::kind::{FileKind, OTHER_KIND, other_kind};
use crate::diagnostic::{Problem, Problems, SourceText};

/// A parsed TOML text that collects problems while it is read.
#[derive(Debug)]
pub struct Document<'a> {
    source: &'a SourceText,
    root: toml::Spanned<DeTable<'a>>,
    problems: RefCell<Vec<Problem>>,
}

impl<'a> Document<'a> {
    /// Parses a text. Syntax errors are kept as problems; what could be read is still read.
    pub fn parse(source: &'a SourceText) -> Self {
        let (root, errors) = DeTable::parse_recoverable(&source.text);
        let problems = errors.iter().map(|error| syntax_problem(error, &source.text)).collect();
        Self { source, root, problems: RefCell::new(problems) }
    }

    /// The reader of the top-level table.
    pub fn root(&self) -> TableReader<'_> {
        TableReader::new(self.root.get_ref(), 0..0, String::new(), &self.problems)
    }

    /// Notes that the file is clearly of another kind; everything else wrong with it is then left out.
    pub(super) fn expect(&self, kind: FileKind) {
        self.problems.borrow_mut().extend(other_kind(self.root.get_ref(), kind));
    }

    /// Adds a problem found outside the readers.
    pub fn problem(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    /// Ends the reading: the value if nothing is wrong, else all problems.
    ///
    /// # Errors
    /// Every problem noted, in the order of the text. A file with syntax errors reports only those, since what they
    /// hide would be reported as missing.
    pub fn finish<T>(self, value: Option<T>) -> Result<T, Problems> {
        let mut list = self.problems.into_inner();
        for alone in [SYNTAX, OTHER_KIND] {
            if list.iter().any(|problem| problem.code == alone) {
                list.retain(|problem| problem.code == alone);
            }
        }
        match value {
            Some(value) if list.is_empty() => Ok(value),
            _ => Err(Problems::new(self.source.clone(), list)),
        }
    }
}

const SYNTAX: &str = "toml-syntax";

fn syntax_problem(error: &toml::de::Error, text: &str) -> Problem {
    let message = error.message();
    let too_deep = message.contains("recursion limit");
    let (message, hint) = if too_deep {
        ("this is nested too deeply to be read".to_owned(), "no file of this program nests more than three levels")
    } else if message.contains("duplicate key") {
        (message.to_owned(), "keep one of the two lines")
    } else if error
        .span()
        .and_then(|span| text.get(span.start..))
        .is_some_and(|rest| rest.starts_with(['“', '”', '„', '‘', '’']))
    {
        (format!("this is not TOML: {message}"), "use straight quotes: `title = \"Lantern carp\"`")
    } else {
        (format!("this is not TOML: {message}"), "text goes in quotes: `title = \"Lantern carp\"`")
    };
    let problem = Problem::new(SYNTAX, message).with_hint(hint);
    match error.span() {
        Some(span) => problem.at(widened(span)),
        None if too_deep => problem.at(widened(deepest(text))),
        None => problem,
    }
}

/// The start of the line that opens most levels.
fn deepest(text: &str) -> Range<usize> {
    let mut start = 0;
    let mut found = (0, 0);
    for line in text.split_inclusive('\n') {
        let opened = line.matches(['[', '{', '.']).count();
        if opened > found.0 {
            found = (opened, start);
        }
        start += line.len();
    }
    found.1..found.1
}

/// A caret needs at least one byte.
fn widened(span: Range<usize>) -> Range<usize> {
    span.start..span.end.max(span.start + 1)
}
