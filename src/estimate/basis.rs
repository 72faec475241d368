//! What a number stands on.

use serde::Serialize;

/// The kind of ground under a number. Every number has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Read in a published source, which is named.
    Published,
    /// Printed on the user's own can.
    Label,
    /// Common practice of the trade, no source.
    Practice,
    /// Measured by this user.
    Measured,
    /// An estimate, from memory or derived here.
    Estimate,
    /// A threshold this project chose, cautiously, without a source.
    Choice,
}

impl Basis {
    /// All of them, in the order of the documentation.
    pub const ALL: [Self; 6] =
        [Self::Published, Self::Label, Self::Practice, Self::Measured, Self::Estimate, Self::Choice];

    /// The word used in files, on screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Label => "label",
            Self::Practice => "practice",
            Self::Measured => "measured",
            Self::Estimate => "estimate",
            Self::Choice => "choice",
        }
    }

    /// A phrase a person understands.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Label => "your can's label",
            Self::Practice => "common practice, no source",
            Self::Measured => "measured by you",
            Self::Estimate => "estimate",
            Self::Choice => "coatbell's own cautious choice, no source",
        }
    }

    /// Reads the word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|basis| basis.word() == word)
    }
}

/// A basis together with its source, which a published figure must have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grounds {
    /// The kind.
    pub basis: Basis,
    /// Where it is published, or how it was derived.
    pub source: Option<String>,
}

impl Grounds {
    /// A basis without a source.
    pub fn plain(basis: Basis) -> Self {
        Self { basis, source: None }
    }

    /// A basis with its source.
    pub fn with_source(basis: Basis, source: impl Into<String>) -> Self {
        Self { basis, source: Some(source.into()) }
    }

    /// Reads `published: where` or a bare basis word.
    pub fn parse(text: &str) -> Option<Self> {
        let (word, source) = match text.split_once(':') {
            Some((word, source)) => (word.trim(), Some(source.trim().to_owned())),
            None => (text.trim(), None),
        };
        Basis::from_word(word).map(|basis| Self { basis, source })
    }
}
