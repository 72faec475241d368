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
