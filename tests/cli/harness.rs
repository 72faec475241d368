//! Running the binary with a fixed clock, zone, locale and width, and writing down all it said.

use std::ffi::OsString;
use std::fmt::Write;
use std::path::{Path, PathBuf};

use assert_cmd::Command;

/// The moment every test counts from.
pub(crate) const NOW: &str = "2026-11-28T14:00:00Z";

/// A folder for a test's own files, and the binary run in it.
pub(crate) struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    /// An empty folder.
    pub(crate) fn new() -> Self {
        Self { folder: tempfile::tempdir().expect("a temporary folder") }
    }

    /// A folder with one file.
    pub(crate) fn with(name: &str, content: impl AsRef<[u8]>) -> Self {
        let bench = Self::new();
        bench.write(name, content);
        bench
    }

    /// Writes a file of the folder.
    pub(crate) fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        std::fs::write(self.path(name), content).expect("a file in a temporary folder can be written");
    }

    /// The place of a file of the folder.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The binary, ready to be run in the folder.
    pub(crate) fn command(&self) -> Command {
        self.around(env!("CARGO_BIN_EXE_coatbell"))
    }

    /// Another program with the same surroundings, to run the binary in its own way.
    pub(crate) fn around(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.current_dir(self.folder.path()).env_clear().envs(surroundings(self.folder.path()));
        command.timeout(std::time::Duration::from_secs(60));
        command
    }

    /// The binary with the same surroundings as a process that is begun and not waited for.
    pub(crate) fn process(&self, arguments: &[&str]) -> std::process::Command {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_coatbell"));
        command.args(arguments).current_dir(self.folder.path()).env_clear().envs(surroundings(self.folder.path()));
        command
    }

    /// Runs `coatbell ARGUMENTS` and writes down what was typed, how it ended and all it said.
    pub(crate) fn transcript(&self, arguments: &[&str]) -> String {
        transcript_of(self.command().args(arguments), arguments)
    }
}

/// A fixed clock, zone, locale and width, and nothing of the home of whoever runs the tests.
fn surroundings(folder: &Path) -> [(&'static str, OsString); 8] {
    [
        ("PATH", std::env::var_os("PATH").unwrap_or_default()),
        ("COATBELL_NOW", NOW.into()),
        ("COATBELL_MATERIALS", folder.join("no-materials").into()),
        ("TZ", "UTC".into()),
        ("NO_COLOR", "1".into()),
        ("COLUMNS", "80".into()),
        ("LC_ALL", "C.UTF-8".into()),
        ("HOME", folder.into()),
    ]
}

/// Runs a prepared command and writes down what was typed, how it ended and all it said.
pub(crate) fn transcript_of(command: &mut Command, arguments: &[&str]) -> String {
    let output = command.output().expect("the binary runs");
    let typed: Vec<String> = arguments
        .iter()
        .map(|word| if word.contains(' ') || word.is_empty() { format!("\"{word}\"") } else { (*word).to_owned() })
        .collect();
    let typed = format!("$ coatbell {}", typed.join(" "));
    let mut text = format!("{}\n[exit {}]\n", typed.trim_end(), output.status.code().unwrap_or(-1));
    for (name, bytes) in [("stdout", &output.stdout), ("stderr", &output.stderr)] {
        if !bytes.is_empty() {
            let said = std::str::from_utf8(bytes).expect("all output is UTF-8");
            let _ = write!(text, "--- {name}\n{said}");
        }
    }
    text
}

/// A whole valid page to break in one place.
pub(crate) const PAGE: &str = "\
title = \"Heron\"
size = \"A4\"
paper = \"cardstock\"
finished = \"5 days ago\"

[[layer]]
medium = \"watercolour\"
cover = \"60 %\"

[[layer]]
medium = \"wax-pencil\"
cover = \"20 %\"
";

/// The valid page with one text put in place of another.
pub(crate) fn page_with(old: &str, new: &str) -> String {
    assert!(PAGE.contains(old), "the page has no {old:?}");
    PAGE.replacen(old, new, 1)
}
