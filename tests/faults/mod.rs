//! What the machine round the program can do to it. The table of DEVELOPERS.md, Faults, names each of these tests.

#[cfg(unix)]
mod clocks;
#[cfg(unix)]
mod disks;
#[cfg(unix)]
mod hidden;
#[cfg(unix)]
mod state;
#[cfg(unix)]
mod streams;
#[cfg(unix)]
mod surroundings;
#[cfg(target_os = "linux")]
mod system_calls;
mod writers;

use assert_cmd::Command;

use crate::cli::harness::{Bench, PAGE};

/// A page, a room and a can in a folder.
fn bench() -> Bench {
    let bench = Bench::with("page.toml", PAGE);
    bench.write("room.toml", "size = \"3 m x 3 m x 2.4 m\"\nairflow = \"window-open\"\n");
    bench
}

/// What a command said and how it ended.
struct Said {
    code: Option<i32>,
    out: String,
    error: String,
}

/// Runs to the end: no panic, no signal, all text UTF-8.
fn end(command: &mut Command, what: &str) -> Said {
    let output = command.output().expect("the binary runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap_or_else(|error| panic!("{what}: {error}"));
    let said = Said { code: output.status.code(), out: text(output.stdout), error: text(output.stderr) };
    assert!(!said.error.contains("this is a bug") && !said.error.contains("panicked"), "{what}: {}", said.error);
    assert!(matches!(said.code, Some(0..=4)), "{what}: {:?} {}", output.status, said.error);
    said
}

/// Ends with one of the codes.
fn end_with(command: &mut Command, codes: &[i32], what: &str) -> Said {
    let said = end(command, what);
    assert!(
        said.code.is_some_and(|code| codes.contains(&code)),
        "{what}: {:?}\n{}\n{}",
        said.code,
        said.out,
        said.error
    );
    said
}

#[test]
fn the_table_names_every_test() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let table = std::fs::read_to_string(root.join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let mut named = 0;
    for entry in std::fs::read_dir(root.join("tests/faults")).expect("this folder").filter_map(Result::ok) {
        let path = entry.path();
        let room = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).expect("a test file");
        let tests = text.split("#[test]\nfn ").skip(1).filter_map(|rest| rest.split('(').next());
        for test in tests.filter(|test| !["writer", "the_table_names_every_test"].contains(test)) {
            let there = table.contains(&format!("::{test}`")) || table.contains(&format!("`faults::{room}` "));
            assert!(there, "DEVELOPERS.md, Faults, does not name `faults::{room}::{test}`");
            named += 1;
        }
    }
    assert!(named > 30, "{named} tests found");
}
