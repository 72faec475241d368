//! Writing the calendar of the days after.

use std::path::{Path, PathBuf};

use crate::report::{Look, run_ics};
use crate::run::State;

/// Writes it to a file; what is said about it.
pub(in crate::cli) fn write(state: &State, path: &Path, look: &Look) -> Result<String, String> {
    let Some(text) = run_ics(state, look) else { return Err("there is nothing for a calendar yet".to_owned()) };
    match std::fs::write(path, text) {
        Ok(()) => Ok(format!("wrote {}: open it with your calendar or phone", path.display())),
        Err(error) => Err(format!("cannot write `{}`: {error}", path.display())),
    }
}

/// A name for it that is not taken, in the present folder.
pub(super) fn free_name(state: &State) -> PathBuf {
    let title = state.pages.first().map(|page| page.spec.title.clone()).unwrap_or_default();
    let letters = title.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' });
    let slug: String = letters.collect::<String>().to_lowercase();
    let words: Vec<&str> = slug.split('-').filter(|word| !word.is_empty()).collect();
    let stem = if words.is_empty() { "page".to_owned() } else { words.join("-") };
    let mut path = PathBuf::from(format!("{stem}-after.ics"));
    let mut number = 2;
    while path.exists() {
        path = PathBuf::from(format!("{stem}-after-{number}.ics"));
        number += 1;
    }
    path
}
