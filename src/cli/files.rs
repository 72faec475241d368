//! Reading the files a person names, without ever hanging on one or swallowing an endless one.

use std::fs::File;
use std::io::{IsTerminal, Read};
use std::path::{Path, PathBuf};

use super::Context;
use super::context::input_is_terminal;
use super::failure::Failure;
use crate::diagnostic::{Problem, Problems, SourceText, nearest};
use crate::input::{LARGEST_FILE, text_from_bytes};

/// Name under which standard input is shown.
const STDIN_NAME: &str = "<stdin>";

/// Reads a text file, or standard input for `-`. `command` is whose help is shown if nobody is piping.
///
/// # Errors
/// If it is missing, a folder, too large, binary, not UTF-8, empty, or may not be read.
pub fn read_text(path: &Path, context: &Context, command: &'static str) -> Result<SourceText, Failure> {
    if path.as_os_str() == "-" {
        if input_is_terminal() {
            return Err(Failure::Help(command));
        }
        let bytes = read_capped(&mut std::io::stdin().lock()).map_err(|error| unreadable(STDIN_NAME, &error))?;
        return Ok(text_from_bytes(STDIN_NAME, &bytes)?);
    }
    let name = path.display().to_string();
    let metadata = match std::fs::metadata(path) {
        Ok(metadata) => metadata,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Err(missing(path, &name).into()),
        Err(error) => return Err(unreadable(&name, &error).into()),
    };
    if metadata.is_dir() {
        let problem = Problem::new("file-is-folder", "this is a folder, not a file")
            .with_hint_if(first_toml(path).map(|file| format!("did you mean `{}`?", path.join(file).display())));
        return Err(Problems::whole(&name, problem).into());
    }
    if metadata.is_file() && metadata.len() > LARGEST_FILE {
        return Err(Problems::whole(&name, too_large()).into());
    }
    let mut file = File::open(path).map_err(|error| unreadable(&name, &error))?;
    if file.is_terminal() {
        return Err(Failure::Help(command));
    }
    let bytes = read_capped(&mut file).map_err(|error| unreadable(&name, &error))?;
    if let Ok(whole) = path.canonicalize() {
        context.files_read.borrow_mut().push(whole);
    }
    Ok(text_from_bytes(&name, &bytes)?)
}

/// Reads one byte more than is allowed, so that an endless device ends as a file that is too large.
fn read_capped(reader: &mut impl Read) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    reader.take(LARGEST_FILE + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn too_large() -> Problem {
    Problem::new("file-too-large", format!("the file is over {} kB", LARGEST_FILE / 1000))
        .with_hint("a page, room or sealer file is a few kilobytes of text; check that this is the right file")
}

fn unreadable(name: &str, error: &std::io::Error) -> Problems {
    let hint = match error.kind() {
        std::io::ErrorKind::PermissionDenied => "check who may read it",
        _ => "check the path",
    };
    let reason = error.to_string();
    let reason = reason.split(" (os error").next().unwrap_or_default().to_lowercase();
    Problems::whole(name, Problem::new("file-unreadable", format!("cannot read the file: {reason}")).with_hint(hint))
}

fn missing(path: &Path, name: &str) -> Problems {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let problem = Problem::new("file-missing", "there is no such file");
    if !folder.is_dir() {
        let hint = format!("the folder `{}` does not exist either", folder.display());
        return Problems::whole(name, problem.with_hint(hint));
    }
    let wanted = path.file_name().map(|file| file.to_string_lossy().into_owned()).unwrap_or_default();
    let there = file_names(folder);
    let near = nearest(&wanted, there.iter().map(String::as_str))
        .or_else(|| there.iter().map(String::as_str).find(|file| file.strip_suffix(".toml") == Some(&wanted)));
    let hint = match near {
        Some(near) => format!("did you mean `{}`?", path.with_file_name(near).display()),
        None => "check the path, or let `coatbell new` write one".to_owned(),
    };
    Problems::whole(name, problem.with_hint(hint))
}

/// Names of the files of a folder in order of the alphabet; a folder too large to be looked through gives its first.
fn file_names(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> = entries
        .take(2000)
        .filter_map(Result::ok)
        .filter(|entry| entry.path().is_file())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort_unstable();
    names
}

fn first_toml(folder: &Path) -> Option<String> {
    file_names(folder)
        .into_iter()
        .find(|name| Path::new(name).extension().is_some_and(|extension| extension.eq_ignore_ascii_case("toml")))
}

/// A name as the name of a file: letters and digits, the rest hyphens; `otherwise` where that leaves
/// nothing.
pub(super) fn file_stem(name: &str, otherwise: &str) -> String {
    let mut stem = String::new();
    for letter in name.to_lowercase().chars().take(60) {
        if letter.is_alphanumeric() {
            stem.push(letter);
        } else if !stem.ends_with('-') {
            stem.push('-');
        }
    }
    let stem = stem.trim_matches('-');
    if stem.is_empty() { otherwise.to_owned() } else { stem.to_owned() }
}

/// A path in a folder that is not taken yet: `stem.ending`, else `stem-2.ending` and so on.
pub(super) fn free_path(folder: &Path, stem: &str, ending: &str) -> PathBuf {
    let mut path = folder.join(format!("{stem}.{ending}"));
    let mut number = 2;
    while path.exists() {
        path = folder.join(format!("{stem}-{number}.{ending}"));
        number += 1;
    }
    path
}

#[cfg(test)]
mod tests {
    #[test]
    fn titles_become_file_names() {
        assert_eq!(super::file_stem("Lantern carp, no. 2", "page"), "lantern-carp-no-2");
        assert_eq!(super::file_stem("../..", "page"), "page");
    }
}
