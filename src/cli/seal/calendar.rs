//! Writing the calendar of the days after.

use std::path::{Path, PathBuf};

use crate::cli::files::{file_stem, free_path};
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
    let title = state.pages.first().map_or("", |page| page.spec.title.as_str());
    free_path(Path::new(""), &format!("{}-after", file_stem(title, "page")), "ics")
}
