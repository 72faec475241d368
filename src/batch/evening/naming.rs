//! What sheets are called: pages of one title go on counting their copies, whichever entry of the file they come from.

use std::collections::BTreeMap;

/// How the sheets of an entry are called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct EntryNames {
    /// Sheets of the same title in the entries before.
    before: usize,
    /// Whether the title alone names one sheet.
    alone: bool,
}

impl EntryNames {
    /// Of all entries, in their order; each is given by its title and its copies.
    pub(super) fn of<'t>(entries: impl Iterator<Item = (&'t str, usize)> + Clone) -> Vec<Self> {
        let mut of_title: BTreeMap<&str, usize> = BTreeMap::new();
        let mut counted = Vec::new();
        for (title, copies) in entries.clone() {
            let sheets = of_title.entry(title).or_default();
            counted.push(*sheets);
            *sheets += copies;
        }
        let names = entries.zip(counted).map(|((title, _), before)| Self { before, alone: of_title[title] == 1 });
        names.collect()
    }

    /// The name of a copy, from 1, of this entry.
    pub(super) fn name(self, title: &str, copy: usize) -> String {
        if self.alone { title.to_owned() } else { format!("{title}, copy {}", self.before + copy) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_of_one_title_are_counted_on() {
        let names = EntryNames::of([("Heron", 2), ("Pond", 1), ("Heron", 1), ("Moon", 3)].into_iter());
        let called = |entry: usize, title: &str, copy: usize| names[entry].name(title, copy);
        assert_eq!([called(0, "Heron", 1), called(0, "Heron", 2)], ["Heron, copy 1", "Heron, copy 2"]);
        assert_eq!([called(1, "Pond", 1), called(2, "Heron", 1)], ["Pond", "Heron, copy 3"]);
        assert_eq!(called(3, "Moon", 3), "Moon, copy 3");
    }
}
