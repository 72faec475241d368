//! Findings: what a room noticed, as data, with its remedy, basis and source.

use serde::Serialize;

use crate::estimate::{Basis, Grounds};

/// How much a finding weighs. The most severe finding decides the verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Nothing to say. Only a whole plan, a pair or a layer can be `go`; a finding is at least a note.
    Go,
    /// Worth knowing; changes nothing.
    Note,
    /// Can be done with the stated care.
    Care,
    /// Not now, or not so.
    Hold,
}

impl Level {
    /// The word on screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Go => "go",
            Self::Note => "note",
            Self::Care => "care",
            Self::Hold => "hold",
        }
    }
}

/// One thing noticed about the page, the conditions, the fit, the coats or the air.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Stable short code, for instance `layer-wet`.
    pub code: &'static str,
    /// How much it weighs.
    pub level: Level,
    /// One plain sentence.
    pub text: String,
    /// What to do about it.
    pub remedy: Option<String>,
    /// What the judgement stands on.
    pub basis: Basis,
    /// Where that is published, if it is.
    pub source: Option<String>,
    /// Places of the layers concerned, from 1 at the bottom.
    pub layers: Vec<usize>,
}

impl Finding {
    /// A finding without remedy, source or layers.
    pub fn new(code: &'static str, level: Level, text: impl Into<String>, basis: Basis) -> Self {
        Self { code, level, text: text.into(), remedy: None, basis, source: None, layers: Vec::new() }
    }

    /// A finding that stands on the grounds of a rule or figure.
    pub fn on(code: &'static str, level: Level, text: impl Into<String>, grounds: &Grounds) -> Self {
        Self { source: grounds.source.clone(), ..Self::new(code, level, text, grounds.basis) }
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = Some(remedy.into());
        self
    }

    /// Names the layers concerned by place, from 1 at the bottom.
    #[must_use]
    pub fn layers(mut self, layers: impl IntoIterator<Item = usize>) -> Self {
        self.layers = layers.into_iter().collect();
        self
    }
}

/// The most severe level of some findings; `Go` if none weighs more than a note.
pub fn verdict<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Level {
    match findings.into_iter().map(|finding| finding.level).max() {
        Some(level @ (Level::Care | Level::Hold)) => level,
        _ => Level::Go,
    }
}
