//! Where answers go: standard output, or a file that is either whole or untouched.

use std::io::Write;
use std::path::Path;

use anyhow::Context as _;

use super::Context;
use super::failure::Failure;
use crate::diagnostic::escape_untrusted;
use crate::report::to_json;

/// Gives out a text for people. Escape sequences are taken out unless colour is wanted.
///
/// # Errors
/// If it cannot be written.
pub fn text(context: &Context, styled: &str) -> Result<(), Failure> {
    if context.colour {
        give_out(context, styled.trim_end_matches('\n'))
    } else {
        give_out(context, anstream::adapter::strip_str(styled).to_string().trim_end_matches('\n'))
    }
}

/// Gives out a JSON document.
///
/// # Errors
/// If it cannot be written.
pub fn json(context: &Context, document: &impl serde::Serialize) -> Result<(), Failure> {
    give_out(context, to_json(document).trim_end_matches('\n'))
}

/// Gives out a document that is rendered already, byte for byte.
///
/// # Errors
/// If it cannot be written.
pub fn raw(context: &Context, rendered: &str) -> Result<(), Failure> {
    give_out(context, rendered.trim_end_matches('\n'))
}

/// Writes a document to the file asked for, whole or not at all.
///
/// # Errors
/// If it cannot be written.
pub fn file(context: &Context, path: &Path, document: &str) -> Result<(), Failure> {
    to_file(path, document.trim_end_matches('\n'), context)?;
    if !context.quiet {
        let _ = writeln!(std::io::stderr().lock(), "wrote {}", escape_untrusted(&path.display().to_string()));
    }
    Ok(())
}

fn give_out(context: &Context, text: &str) -> Result<(), Failure> {
    match &context.output {
        None => to_stdout(text),
        Some(path) => file(context, path, text),
    }
}

/// Writes lines to standard output; a reader that went away is not an error.
pub fn to_stdout(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    let written = writeln!(out, "{text}").and_then(|()| out.flush());
    match written {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Err(Failure::ClosedPipe),
        Err(error) => Err(Failure::Other(anyhow::Error::new(error).context("cannot write the answer"))),
    }
}

/// Writes a file beside its place and moves it there, so that no half-written answer is ever found.
fn to_file(path: &Path, text: &str, context: &Context) -> Result<(), Failure> {
    if let Ok(whole) = path.canonicalize() {
        if context.files_read.borrow().contains(&whole) {
            let message = format!("`{}` is one of the files this answer was made from", path.display());
            return Err(Failure::usage("output-is-input", message, "give `-o` another name"));
        }
        if whole.is_dir() {
            let message = format!("`{}` is a folder", path.display());
            return Err(Failure::usage("output-is-folder", message, "give `-o` the name of a file in it"));
        }
        if !whole.is_file() {
            let mut device = std::fs::OpenOptions::new()
                .write(true)
                .open(path)
                .with_context(|| format!("cannot open `{}`", path.display()))?;
            return match writeln!(device, "{text}") {
                Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Err(Failure::ClosedPipe),
                written => Ok(written.with_context(|| format!("cannot write `{}`", path.display()))?),
            };
        }
    }
    let write = || -> anyhow::Result<()> {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let mut file = new_file_in(folder)?;
        writeln!(file, "{text}")?;
        file.as_file().sync_all()?;
        file.persist(path)?;
        Ok(())
    };
    Ok(write().with_context(|| format!("cannot write `{}`", path.display()))?)
}

/// A new file with the rights any file of this user has.
#[cfg(unix)]
pub(super) fn new_file_in(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    use std::os::unix::fs::PermissionsExt;
    tempfile::Builder::new().permissions(std::fs::Permissions::from_mode(0o666)).tempfile_in(folder)
}

/// A new file with the rights any file of this user has.
#[cfg(not(unix))]
pub(super) fn new_file_in(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    tempfile::NamedTempFile::new_in(folder)
}
