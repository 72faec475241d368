//! Writing the finished file: whole or not at all, and never over an old one without a yes.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context as _;
use serde::Serialize;

use super::Ready;
use super::asker::{Asker, Question};
use crate::cli::common::Format;
use crate::cli::{Context, Failure, output};
use crate::diagnostic::escape_untrusted;

/// Where to.
#[derive(Debug)]
pub(super) struct Place {
    pub(super) file: Option<PathBuf>,
    pub(super) force: bool,
}

#[derive(Debug, Serialize)]
struct WrittenDocument {
    schema: &'static str,
    version: &'static str,
    file: String,
    next: String,
}

/// Writes and says what to do next.
pub(super) fn write(ready: &Ready, place: &Place, asker: &mut Asker<'_>, context: &Context) -> Result<(), Failure> {
    let named = place.file.clone().or_else(|| context.output.clone());
    if named.as_ref().is_some_and(|name| name.as_os_str() == "-") {
        return output::to_stdout(ready.text.trim_end());
    }
    let path = named.unwrap_or_else(|| PathBuf::from(format!("{}.toml", ready.name)));
    if path.is_dir() {
        let hint = format!("name a file in it: `{}`", path.join(format!("{}.toml", ready.name)).display());
        return Err(Failure::usage("output-is-folder", format!("`{}` is a folder", path.display()), hint));
    }
    let over = path.exists() && (place.force || may_replace(&path, asker)?);
    to_file(&path, &ready.text, over)?;
    let shown = path.display().to_string();
    let next = ready.next.replace("FILE", &in_shell(&shown));
    match context.format {
        Format::Json => {
            let version = env!("CARGO_PKG_VERSION");
            let document = WrittenDocument { schema: "coatbell.new/1", version, file: shown, next };
            output::to_stdout(crate::report::to_json(&document).trim_end())
        }
        Format::Text if context.quiet => output::to_stdout(&format!("wrote {}", escape_untrusted(&shown))),
        Format::Text => {
            let next: Vec<String> = next.lines().map(escape_untrusted).collect();
            output::to_stdout(&format!("wrote {}\nnext:\n{}", escape_untrusted(&shown), next.join("\n")))
        }
    }
}

/// A file name as it is typed in a shell.
pub(super) fn in_shell(name: &str) -> String {
    let plain = name.chars().all(|c| c.is_alphanumeric() || "-_./\\:".contains(c));
    if plain { name.to_owned() } else { format!("\"{name}\"") }
}

fn may_replace(path: &Path, asker: &mut Asker<'_>) -> Result<bool, Failure> {
    let text = format!("`{}` is there already. Write over it? yes or no", path.display());
    let yes = asker.yes_no(&Question::optional("--force", &text, "no"), None)?;
    if yes == Some(true) {
        return Ok(true);
    }
    let message = format!("`{}` is there already, and stays as it is", path.display());
    Err(Failure::usage("file-exists", message, "give another name, or `--force` to write over it"))
}

/// Writes beside the place and moves it there. Without `over`, a file that has appeared meanwhile stays.
fn to_file(path: &Path, text: &str, over: bool) -> Result<(), Failure> {
    let write = || -> anyhow::Result<()> {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let mut file = output::new_file_in(folder)?;
        file.write_all(text.as_bytes())?;
        file.as_file().sync_all()?;
        if over {
            file.persist(path)?
        } else {
            file.persist_noclobber(path)?
        };
        Ok(())
    };
    Ok(write().with_context(|| format!("cannot write `{}`", path.display()))?)
}
