//! What kind of file a table looks like, so that a room given as a page is one error and not ten.

use toml::de::DeTable;

use crate::diagnostic::Problem;

/// The kinds of files a person writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FileKind {
    /// A page.
    Page,
    /// A room.
    Room,
    /// A can.
    Sealer,
    /// An evening.
    Batch,
}

impl FileKind {
    const ALL: [Self; 4] = [Self::Page, Self::Room, Self::Sealer, Self::Batch];

    fn word(self) -> &'static str {
        match self {
            Self::Page => "page",
            Self::Room => "room",
            Self::Sealer => "sealer",
            Self::Batch => "batch",
        }
    }

    /// Keys that only this kind has.
    fn marks(self) -> &'static [&'static str] {
        match self {
            Self::Page => &["layer", "paper"],
            Self::Room => &["airflow", "humidity", "temperature", "air_changes", "fan"],
            Self::Sealer => &["extends", "composition", "label", "can"],
            Self::Batch => &["rack", "page"],
        }
    }

    fn cure(self) -> &'static str {
        match self {
            Self::Page => "give it as the page, without a flag before it",
            Self::Room => "give it with `--room`",
            Self::Sealer => "give it with `--sealer`",
            Self::Batch => "give it to `coatbell batch`",
        }
    }
}

/// Code of the problem of [`other_kind`].
pub(super) const OTHER_KIND: &str = "other-kind-of-file";

/// The problem of a file that is clearly of another kind than expected.
pub(super) fn other_kind(table: &DeTable<'_>, expected: FileKind) -> Option<Problem> {
    let has = |kind: FileKind| kind.marks().iter().filter(|mark| table.contains_key(**mark)).count();
    if has(expected) > 0 {
        return None;
    }
    let found = FileKind::ALL.into_iter().find(|kind| has(*kind) > 0)?;
    let message = format!("this is the file of a {}, and a {} is wanted here", found.word(), expected.word());
    Some(Problem::new(OTHER_KIND, message).with_hint(found.cure()))
}
