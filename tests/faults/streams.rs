//! Full disks under the streams, closed pipes, no terminal.

use std::process::Stdio;

use super::{bench, end_with};
use crate::cli::harness::Bench;

/// Through a shell, which can close and redirect; `$0` is the program.
fn by_shell(bench: &Bench, line: &str) -> assert_cmd::Command {
    let mut shell = bench.around("sh");
    shell.args(["-c", line, env!("CARGO_BIN_EXE_coatbell")]);
    shell
}

#[test]
fn an_answer_that_cannot_be_written_is_an_error() {
    let bench = bench();
    for typed in
        ["layers page.toml", "layers page.toml --json", "materials list", "--help", "plan page.toml --format svg"]
    {
        let said = end_with(&mut by_shell(&bench, &format!("\"$0\" {typed} > /dev/full")), &[1], typed);
        assert!(
            said.error.contains("cannot write") && said.error.to_lowercase().contains("space"),
            "{typed}: {}",
            said.error
        );
    }
}

#[test]
fn an_error_that_cannot_be_written_keeps_its_code() {
    let bench = bench();
    for (typed, code) in [("plan missing.toml", 3), ("plan --nonsense", 2), ("plan page.toml --start never", 2)] {
        end_with(&mut by_shell(&bench, &format!("\"$0\" {typed} 2> /dev/full")), &[code], typed);
        end_with(&mut by_shell(&bench, &format!("\"$0\" {typed} 2>&-")), &[code], typed);
        end_with(&mut by_shell(&bench, &format!("\"$0\" {typed} --json > /dev/full")), &[code], typed);
    }
}

#[test]
fn streams_that_are_closed() {
    let bench = bench();
    for typed in ["plan page.toml", "layers page.toml", "materials list"] {
        end_with(&mut by_shell(&bench, &format!("\"$0\" {typed} <&- >&- 2>&-")), &[0, 4], typed);
    }
    end_with(&mut by_shell(&bench, "\"$0\" plan - <&-"), &[2, 3], "a page from a closed stream");
    end_with(&mut by_shell(&bench, "\"$0\" new page <&-"), &[0, 2], "questions to nobody");
    end_with(&mut by_shell(&bench, "\"$0\" new page < /dev/full"), &[0, 2], "questions to nobody");
}

#[test]
fn a_reader_that_goes_away_ends_it_quietly() {
    let bench = bench();
    for typed in ["plan page.toml --why", "materials list", "layers page.toml --json", "man", "completions bash"] {
        // The reader is gone before the first byte is written, and again after it.
        for reader in ["true", "head -c 1 > /dev/null"] {
            let line = format!("( \"$0\" {typed}; echo $? >&2 ) | {reader}");
            let said = end_with(&mut by_shell(&bench, &line), &[0], typed);
            assert!(["0\n", "4\n"].contains(&said.error.as_str()), "{typed} | {reader}: {}", said.error);
        }
    }
}

#[test]
fn errors_into_a_pipe_nobody_reads() {
    let bench = bench();
    let mut command = bench.process(&["plan", "missing.toml"]);
    let mut child = command.stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("the binary runs");
    drop(child.stderr.take());
    assert_eq!(child.wait().expect("it ends").code(), Some(3));
}

#[test]
fn a_page_through_a_pipe_and_one_that_never_ends() {
    let bench = bench();
    end_with(&mut by_shell(&bench, "cat page.toml | \"$0\" plan -"), &[0, 4], "a pipe");
    end_with(&mut by_shell(&bench, "yes | \"$0\" plan -"), &[3], "an endless pipe");
    end_with(&mut by_shell(&bench, "\"$0\" plan /dev/urandom"), &[3], "random bytes");
    end_with(&mut by_shell(&bench, "\"$0\" plan /dev/null"), &[3], "nothing");
    end_with(&mut by_shell(&bench, "\"$0\" plan /dev/stdin < page.toml"), &[0, 4], "standard input by its name");
}
