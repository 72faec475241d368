//! The catalog with the user's own materials on its shelves.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::{Context, Failure, files};
use crate::catalog::Catalog;
use crate::diagnostic::{Problem, SourceText};
use crate::record::{CanRecord, tune};
use crate::store::Folders;

/// The built-in materials, and those of the user's folder if there is one.
///
/// # Errors
/// Everything wrong with the files of that folder.
pub fn catalog(context: &Context, command: &'static str) -> Result<Catalog, Failure> {
    let mut catalog = unmeasured(context, command)?;
    // Most people have measured nothing: one look at the folder instead of one for every sealer.
    if !context.folders().is_ok_and(|folders| cans(&folders).is_dir()) {
        return Ok(catalog);
    }
    for id in catalog.sealers.keys().cloned().collect::<Vec<_>>() {
        let Some(record) = can_record(&id, context, command)? else { continue };
        let tuned = tune(&catalog.sealers[&id], &record, &catalog.model);
        catalog.sealers.insert(id, tuned);
    }
    Ok(catalog)
}

/// The same without what was measured of the cans.
///
/// # Errors
/// Everything wrong with the files of that folder.
pub fn unmeasured(context: &Context, command: &'static str) -> Result<Catalog, Failure> {
    catalog_with(&own_files(context)?, context, command)
}

/// The file of what was measured of a can; it need not exist.
///
/// # Errors
/// If the system has no folder for it.
pub fn can_path(sealer: &str, context: &Context) -> Result<PathBuf, Failure> {
    Ok(cans(&context.folders()?).join(CanRecord::file_name(sealer)))
}

/// The lock of what was measured.
///
/// # Errors
/// If the system has no folder for it.
pub fn can_lock(context: &Context) -> Result<PathBuf, Failure> {
    Ok(cans(&context.folders()?).join("measuring.lock"))
}

/// The files of all cans something was measured of, in order; none if there is no folder for them.
///
/// # Errors
/// If the folder is there and cannot be looked into.
pub fn measured_files(context: &Context) -> Result<Vec<PathBuf>, Failure> {
    let Ok(folders) = context.folders() else { return Ok(Vec::new()) };
    let folder = cans(&folders);
    toml_files(&folder).map_err(|error| {
        let message = format!("cannot look into the folder of what was measured, `{}`: {error}", folder.display());
        Failure::Refused(Box::new(Problem::new("cans-unreadable", message).with_hint("check who may read it")))
    })
}

/// The folder of what was measured.
fn cans(folders: &Folders) -> PathBuf {
    folders.config.join("cans")
}

/// What was measured of a can; `None` if nothing was.
///
/// # Errors
/// If its file cannot be read.
pub fn can_record(sealer: &str, context: &Context, command: &'static str) -> Result<Option<CanRecord>, Failure> {
    // Without a home there is nothing to read; a plan is made all the same.
    let Ok(path) = can_path(sealer, context) else { return Ok(None) };
    if !path.exists() {
        return Ok(None);
    }
    Ok(Some(CanRecord::read(&files::read_text(&path, context, command)?)?))
}

/// The built-in materials, and those of the files named.
///
/// # Errors
/// Everything wrong with those files.
pub fn catalog_with(own: &[PathBuf], context: &Context, command: &'static str) -> Result<Catalog, Failure> {
    let (mut sources, mut wrong): (Vec<SourceText>, Vec<_>) = (Vec::new(), Vec::new());
    for path in own {
        match files::read_text(path, context, command) {
            Ok(source) => sources.push(source),
            Err(Failure::Input(problems)) => wrong.extend(problems),
            Err(other) => return Err(other),
        }
    }
    if !wrong.is_empty() {
        return Err(Failure::Input(wrong));
    }
    let built_in = Catalog::builtin();
    if sources.is_empty() {
        return Ok(built_in);
    }
    built_in.with_overlays(&sources).map_err(Failure::Input)
}

/// The files of the user's own materials, in order of the alphabet; none if the folder does not exist.
///
/// # Errors
/// If the folder is there and cannot be looked into: what is in it may be what the answer hangs on.
pub fn own_files(context: &Context) -> Result<Vec<PathBuf>, Failure> {
    let Some(folder) = &context.materials else { return Ok(Vec::new()) };
    toml_files(folder).map_err(|error| {
        let message = format!("cannot look into the folder of your own materials, `{}`: {error}", folder.display());
        let hint = format!("check who may read it, or set {} to another folder", super::MATERIALS_VARIABLE);
        Failure::Refused(Box::new(Problem::new("materials-unreadable", message).with_hint(hint)))
    })
}

fn toml_files(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut files: Vec<PathBuf> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    // A pipe would be waited on for ever by every command. A link that leads nowhere is complained of when it is read.
    files.retain(|file| file.metadata().map_or(true, |found| found.is_file()));
    files.retain(|file| file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml")));
    files.sort_unstable();
    Ok(files)
}
