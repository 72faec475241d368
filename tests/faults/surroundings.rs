//! Hostile environments, locales, arguments and paths.

use std::ffi::{OsStr, OsString};
use std::os::unix::ffi::{OsStrExt, OsStringExt};

use super::{Said, bench, end, end_with};
use crate::cli::harness::{Bench, PAGE};

/// Commands that look at everything there is to look at.
const COMMANDS: [&[&str]; 4] =
    [&["layers", "page.toml"], &["materials", "list", "papers"], &["safety", "--help"], &["plan", "missing.toml"]];

fn with(bench: &Bench, variable: &str, value: &[u8]) -> Vec<Said> {
    let each = COMMANDS.iter().map(|typed| {
        let what = format!("{typed:?} with {variable}={:?}", String::from_utf8_lossy(value));
        let mut command = bench.command();
        end_with(command.env(variable, OsStr::from_bytes(value)).args(*typed), &[0, 3, 4], &what)
    });
    each.collect()
}

#[test]
fn widths_of_every_kind() {
    let bench = bench();
    let widths: [&[u8]; 9] =
        [b"0", b"1", b"-1", b"99999999999999999999", b"wide", b"", b"80.5", b"\xff", b"4294967296"];
    for width in widths {
        for said in with(&bench, "COLUMNS", width) {
            let longest = said.out.lines().map(|line| line.chars().count()).max().unwrap_or(0);
            assert!(longest <= 160, "{longest} columns at {:?}: {}", String::from_utf8_lossy(width), said.out);
        }
    }
}

#[test]
fn locales_change_no_number_and_a_plain_one_gets_plain_letters() {
    let bench = bench();
    let usual: Vec<String> = with(&bench, "LC_ALL", b"C.UTF-8").into_iter().map(|said| said.out).collect();
    for locale in ["de_DE.UTF-8", "tr_TR.UTF-8", "ar_EG.utf8", "en_XX.UTF-8@nonsense"] {
        let said: Vec<String> = with(&bench, "LC_ALL", locale.as_bytes()).into_iter().map(|said| said.out).collect();
        assert_eq!(said, usual, "{locale}");
    }
    for locale in [&b"C"[..], b"POSIX", b"de_DE", b"\xff\xfe", b"/../../etc/passwd"] {
        for said in with(&bench, "LC_ALL", locale) {
            assert!(said.out.is_ascii() && said.error.is_ascii(), "{locale:?}: {}", said.out);
        }
    }
}

#[test]
fn zones_that_do_not_exist() {
    let bench = bench();
    let long = "Z/".repeat(5000);
    for zone in [
        &b"Mars/Phobos"[..],
        b":/etc/passwd",
        b"../../../etc/passwd",
        b"\xff\xfe",
        b"",
        b"UTC+99",
        b"<+99>-99",
        b"\x1b[31m",
        b"/dev/zero",
        b":/dev/zero",
        b"../../../../../../../dev/zero",
        b":/dev/zero",
        b"../../../../../../../dev/zero",
        b"/dev/stdin",
        long.as_bytes(),
    ] {
        with(&bench, "TZ", zone);
    }
}

#[test]
fn terminals_and_colours_that_make_no_sense() {
    let bench = bench();
    for (variable, value) in [
        ("TERM", &b"\xff"[..]),
        ("TERM", b"dumb"),
        ("CLICOLOR_FORCE", b"\xff"),
        ("NO_COLOR", b""),
        ("LINES", b"-1"),
        ("COATBELL_STATE", b"\xff"),
        ("COATBELL_CONFIG", b"/dev/null/x"),
        ("XDG_CONFIG_HOME", b"\xff\xfe"),
        ("XDG_STATE_HOME", b"relative"),
        ("RUST_BACKTRACE", b"full"),
        ("TMPDIR", b"/nonexistent"),
    ] {
        with(&bench, variable, value);
    }
}

#[test]
fn no_home_or_a_strange_one() {
    let bench = bench();
    for typed in COMMANDS {
        let mut command = bench.command();
        command.env_remove("HOME").env_remove("COATBELL_MATERIALS").args(typed);
        end_with(&mut command, &[0, 3, 4], "no home");
        for home in [&b""[..], b"relative", b"/dev/null", b"/nonexistent", b"/proc", b"\xff\xfe", b"page.toml"] {
            let mut command = bench.command();
            command.env("HOME", OsStr::from_bytes(home)).env_remove("COATBELL_MATERIALS").args(typed);
            end_with(&mut command, &[0, 3, 4], &format!("home {:?}", String::from_utf8_lossy(home)));
        }
    }
}

#[test]
fn nothing_at_all_in_the_environment() {
    let bench = bench();
    for typed in COMMANDS {
        end_with(bench.command().env_clear().args(typed), &[0, 3, 4], "an empty environment");
    }
}

#[test]
fn a_materials_folder_that_is_something_else() {
    let bench = bench();
    bench.write("a-file", "x");
    for folder in ["a-file", "/dev/null", "/dev/zero", "/proc/self/mem"] {
        with(&bench, "COATBELL_MATERIALS", folder.as_bytes());
    }
    // A pipe among the files, on which reading would wait for ever; a folder named like a file; a link to nowhere.
    let folder = bench.path("materials");
    std::fs::create_dir_all(folder.join("folder.toml")).expect("a folder");
    let made = std::process::Command::new("mkfifo").arg(folder.join("pipe.toml")).status();
    assert!(made.is_ok_and(|status| status.success()), "mkfifo makes a pipe");
    with(&bench, "COATBELL_MATERIALS", folder.as_os_str().as_bytes());
    std::os::unix::fs::symlink("/nowhere", folder.join("link.toml")).expect("a link");
    let mut command = bench.command();
    command.env("COATBELL_MATERIALS", &folder).args(["plan", "page.toml"]);
    let said = end_with(&mut command, &[3], "a link to nowhere");
    assert!(said.error.contains("link.toml"), "own figures are not left out in silence: {}", said.error);
}

#[test]
fn arguments_that_are_no_text() {
    let bench = bench();
    let odd = OsString::from_vec(b"odd-\xff\xfe".to_vec());
    let as_option = |name: &str| OsString::from_vec([name.as_bytes(), b"=\xff\xfe"].concat());
    for flag in
        ["--room", "--start", "--sealer", "--temperature", "--units", "--format", "--color", "--output", "--wrong"]
    {
        let mut command = bench.command();
        end(command.args(["plan", "page.toml"]).arg(as_option(flag)), flag);
    }
    end_with(bench.command().arg(&odd), &[2], "a command");
    end_with(bench.command().args(["materials", "show"]).arg(&odd), &[2], "a material");
    end_with(bench.command().args(["plan"]).arg(&odd), &[3], "a page that is not there");
    end_with(bench.command().args(["plan", ""]), &[2, 3], "an empty name");
    let long = "x".repeat(100_000);
    end_with(bench.command().args(["plan", &long]), &[2, 3], "a long name");
    end_with(bench.command().args(["materials", "show", &long]), &[2], "a long material");
}

#[test]
fn a_path_that_is_no_text_is_a_path() {
    let bench = bench();
    let odd = OsString::from_vec(b"odd-\xff\xfe.toml".to_vec());
    let path = bench.path("").join(&odd);
    if std::fs::write(&path, PAGE).is_err() {
        crate::support::say("skipped: this disk takes only names that are text");
        return;
    }
    end_with(bench.command().arg("layers").arg(&odd), &[0, 4], "a page");
    let answer = OsString::from_vec(b"answer-\xff".to_vec());
    end_with(bench.command().args(["plan", "page.toml", "-o"]).arg(&answer), &[0, 4], "an answer");
    assert!(bench.path("").join(&answer).is_file());
    std::fs::write(&path, "size = 1").expect("written before");
    let said = end_with(bench.command().arg("plan").arg(&odd), &[3], "a bad page");
    assert!(said.error.contains("odd-\u{FFFD}"), "{}", said.error);
}

#[test]
fn little_memory_few_files_few_threads() {
    let bench = bench();
    for limit in ["ulimit -v 150000", "ulimit -n 8", "ulimit -s 512", "ulimit -f 0", "ulimit -c 0; ulimit -t 60"] {
        let mut shell = bench.around("sh");
        shell.args(["-c", &format!("{limit}; exec \"$0\" plan page.toml -q"), env!("CARGO_BIN_EXE_coatbell")]);
        end_with(&mut shell, &[0, 4], limit);
    }
}

#[test]
fn no_more_threads() {
    let bench = bench();
    // The administrator is not held to a number of processes; another user is.
    let mut command = bench.around("setpriv");
    command.args(["--reuid=65533", "--clear-groups", "sh", "-c", "ulimit -u 1; exec \"$0\" plan page.toml -q"]);
    command.arg(env!("CARGO_BIN_EXE_coatbell"));
    let reachable = bench
        .around("setpriv")
        .args(["--reuid=65533", "--clear-groups", "test", "-x"])
        .arg(env!("CARGO_BIN_EXE_coatbell"))
        .output()
        .is_ok_and(|output| output.status.success());
    if !reachable || !open_to_all(&bench) {
        crate::support::say("skipped: only the administrator can become another user");
        return;
    }
    end_with(&mut command, &[0, 4], "one thread");
}

fn open_to_all(bench: &Bench) -> bool {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(bench.path(""), std::fs::Permissions::from_mode(0o755)).is_ok()
}
