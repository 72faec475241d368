//! Disks that are full, that can only be read, or that belong to someone else.

use std::os::unix::fs::PermissionsExt;

use super::{bench, end_with};
use crate::support::say;

const ANSWERS: [&[&str]; 3] = [&["layers", "page.toml"], &["materials", "list"], &["man"]];

#[test]
fn a_full_device_and_places_where_no_file_can_be() {
    let bench = bench();
    for typed in ANSWERS {
        for place in ["/dev/full", "/proc/answer", "/nonexistent/answer", "page.toml/answer", "/proc/version"] {
            let what = format!("{typed:?} to {place}");
            let said = end_with(bench.command().args(typed).args(["-o", place]), &[1, 2], &what);
            assert!(said.error.contains(place), "{what}: {}", said.error);
        }
    }
}

#[test]
fn a_file_size_limit_leaves_the_old_answer_whole() {
    let bench = bench();
    bench.write("answer", "the old answer");
    let mut shell = bench.around("sh");
    // The signal of the limit is ignored by the shell, and so by what it becomes: writing fails instead.
    let line = "trap '' XFSZ; ulimit -f 1; exec \"$0\" plan page.toml --format svg -o answer";
    let said = end_with(shell.args(["-c", line, env!("CARGO_BIN_EXE_coatbell")]), &[1], "a small limit");
    assert!(said.error.contains("cannot write `answer`"), "{}", said.error);
    assert_eq!(std::fs::read_to_string(bench.path("answer")).expect("the answer"), "the old answer");
    let left: Vec<_> = std::fs::read_dir(bench.path("")).expect("the folder").filter_map(Result::ok).collect();
    assert_eq!(left.len(), 3, "nothing half-written is left: {left:?}");
}

#[test]
fn a_home_that_can_only_be_read() {
    let bench = bench();
    let home = bench.path("home");
    std::fs::create_dir(&home).expect("a folder");
    let rights = |path: &std::path::Path, mode| std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode));
    rights(&bench.path(""), 0o755).expect("our folder");
    rights(&home, 0o555).expect("our folder");
    let as_other = |arguments: &[&str]| {
        let mut command = bench.around("setpriv");
        command.args(["--reuid=65533", "--regid=65533", "--clear-groups"]).args(arguments);
        command.env("HOME", &home).env_remove("COATBELL_MATERIALS");
        command
    };
    if !as_other(&["test", "-x", env!("CARGO_BIN_EXE_coatbell")]).output().is_ok_and(|output| output.status.success()) {
        say("skipped: only the administrator can become another user");
        return;
    }
    let program = env!("CARGO_BIN_EXE_coatbell");
    end_with(&mut as_other(&[program, "plan", "page.toml"]), &[0, 4], "a plan");
    let said = end_with(&mut as_other(&[program, "plan", "page.toml", "-o", "answer"]), &[1], "an answer");
    assert!(said.error.contains("ermission denied"), "{}", said.error);
    // A page, and a folder of materials, that someone else keeps to himself.
    rights(&bench.path("page.toml"), 0o600).expect("our file");
    let said = end_with(&mut as_other(&[program, "plan", "page.toml"]), &[3], "a page of someone else");
    assert!(said.error.contains("check who may read it"), "{}", said.error);
    rights(&bench.path("page.toml"), 0o644).expect("our file");
    std::fs::create_dir(bench.path("theirs")).expect("a folder");
    rights(&bench.path("theirs"), 0o700).expect("our folder");
    let mut command = as_other(&[program, "plan", "page.toml"]);
    command.env("COATBELL_MATERIALS", bench.path("theirs"));
    let said = end_with(&mut command, &[1], "materials of someone else");
    assert!(said.error.contains("theirs"), "own figures are not left out in silence: {}", said.error);
    rights(&home, 0o755).expect("our folder");
}
