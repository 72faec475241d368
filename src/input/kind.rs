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

/// Whether a text is the file of an evening of pages rather than of one: it names pages and lays no layer.
pub fn is_batch_text(text: &str) -> bool {
    let Ok(table) = DeTable::parse(text) else { return false };
    let table = table.get_ref();
    let pages = table.get("page").is_some_and(|pages| pages.get_ref().is_array());
    pages && !table.contains_key("layer") && !table.contains_key("paper")
}

#[cfg(test)]
mod tests {
    use super::is_batch_text;

    #[test]
    fn an_evening_is_told_from_a_page() {
        assert!(is_batch_text("rack = 6\n[[page]]\nfile = \"carp.toml\"\n"));
        assert!(!is_batch_text("paper = \"cardstock\"\n[[layer]]\nmedium = \"wax-pencil\"\n"));
        assert!(!is_batch_text("[[page"));
        assert!(!is_batch_text("page = 3\n"));
    }
}
