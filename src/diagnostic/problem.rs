//! One thing that is wrong with a file, and all of them together.

use std::ops::Range;
use std::sync::Arc;

/// A text that was read, with the name it is shown under.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceText {
    /// Path as the person gave it, `<stdin>` or `<command line>`.
    pub name: Arc<str>,
    /// The whole text.
    pub text: Arc<str>,
}

impl SourceText {
    /// Keeps a text under its shown name.
    pub fn new(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.into() }
    }
}

/// One problem: a stable code, a sentence, a place, and a cure.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Stable short code for machines, for instance `unknown-key`.
    pub code: &'static str,
    /// What is wrong: one sentence, lower case, no full stop.
    pub message: String,
    /// Short text beside the caret.
    pub label: Option<String>,
    /// What to do.
    pub hint: Option<String>,
    /// Bytes of the source it points at; `None` for the file as a whole.
    pub span: Option<Range<usize>>,
    /// The key it concerns, dotted, for machines.
    pub key: Option<String>,
}

impl Problem {
    /// A problem with a code and a message; add the rest with the `with_…` and `at` methods.
    pub fn new(code: &'static str, message: impl Into<String>) -> Self {
        Self { code, message: message.into(), label: None, hint: None, span: None, key: None }
    }

    /// Points at bytes of the source.
    #[must_use]
    pub fn at(mut self, span: Range<usize>) -> Self {
        self.span = Some(span);
        self
    }

    /// Adds the cure.
    #[must_use]
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Adds the cure, if there is one.
    #[must_use]
    pub fn with_hint_if(mut self, hint: Option<String>) -> Self {
        self.hint = hint.or(self.hint);
        self
    }

    /// Adds the words beside the caret.
    #[must_use]
    pub fn with_label(mut self, label: impl Into<String>) -> Self {
        self.label = Some(label.into());
        self
    }

    /// Names the key it concerns.
    #[must_use]
    pub fn with_key(mut self, key: impl Into<String>) -> Self {
        self.key = Some(key.into());
        self
    }
}

/// Everything wrong with one source, in the order of the text.
#[derive(Debug, Clone)]
pub struct Problems {
    /// The source all of them point into.
    pub source: SourceText,
    /// At least one problem.
    pub list: Vec<Problem>,
}

impl Problems {
    /// Sorts the problems by place and keeps them with their source.
    pub fn new(source: SourceText, mut list: Vec<Problem>) -> Self {
        list.sort_by_key(|problem| problem.span.as_ref().map_or(0, |span| span.start));
        list.dedup();
        Self { source, list }
    }

    /// A single problem with a source as a whole, for instance a file that cannot be read.
    pub fn whole(name: &str, problem: Problem) -> Self {
        Self { source: SourceText::new(name, ""), list: vec![problem] }
    }
}

impl std::fmt::Display for Problems {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}: {}", self.source.name, super::plural(self.list.len(), "problem"))
    }
}

impl std::error::Error for Problems {}
