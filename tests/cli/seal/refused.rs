//! What is refused, with a cure, and nothing lost by it.

use super::{Studio, seal};
use crate::support::flat;

fn refused(studio: &Studio, arguments: &[&str], code: i32, says: &str) {
    let output = studio.command(arguments).output().expect("it runs");
    let said = flat(&String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "{said}");
    assert!(said.contains(says), "`{says}` in {said}");
    assert!(said.contains("hint: ") || said.contains("tip: "), "{said}");
}

#[test]
fn wrong_flags() {
    let studio = Studio::new();
    for speed in ["0x", "-3", "fast", "inf", ""] {
        let speed = format!("--rehearse={speed}");
        refused(&studio, &seal(&[&speed]), 2, "is not a speed");
    }
    refused(&studio, &seal(&["--auto"]), 2, "it is for rehearsals");
    refused(&studio, &seal(&["--yes"]), 2, "nobody can be asked here");
    refused(&studio, &seal(&["--yes", "--masked"]), 2, "nobody can be asked here");
    refused(&studio, &seal(&["--yes", "--no-flames", "--no-input"]), 2, "nobody can be asked here");
    refused(&studio, &["seal", "--resume"], 1, "no run is under way");
    refused(&studio, &["seal", "--cancel"], 1, "no run is under way");
    assert!(!studio.state().exists(), "nothing was begun");
}

#[test]
fn a_plan_on_hold_is_not_begun() {
    let studio = Studio::new();
    studio.bench.write("room.toml", super::ROOM.replace("48 %", "88 %"));
    let output = studio.command(&seal(&["--yes", "--masked", "--no-flames"])).output().expect("it runs");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(4), "{text}");
    assert!(text.starts_with("HOLD") && text.contains("Nothing was begun."), "{text}");
    assert!(!studio.state().exists());
}

/// A run that was killed, and its journal.
fn left_behind(studio: &Studio) -> std::path::PathBuf {
    let mut run = studio.begin();
    run.wait_for("\"coat_due\"");
    run.child.kill().expect("kill");
    let _ = run.end();
    let folder = std::fs::read_dir(studio.state().join("runs")).expect("the folder of runs");
    let mut paths = folder.map(|entry| entry.expect("an entry").path());
    paths.find(|path| path.extension().is_some_and(|ending| ending == "jsonl")).expect("a journal")
}

const RESUME: [&str; 5] = ["seal", "--resume", "--yes", "--masked", "--no-flames"];

#[test]
fn a_journal_of_a_newer_version_or_a_damaged_one_is_left_alone() {
    let studio = Studio::new();
    let path = left_behind(&studio);
    let whole = std::fs::read_to_string(&path).expect("the journal");
    for (text, says) in [
        (
            format!("{whole}{{\"v\":7,\"at\":\"2030-01-01T00:00:00Z\",\"event\":\"new\"}}\n"),
            "written by a newer coatbell",
        ),
        (whole.replacen("\"checked\"", "\"chequered\"", 1), "is not an entry of a run"),
        (format!("rubbish\n{whole}"), "line 1 of"),
    ] {
        std::fs::write(&path, &text).expect("the journal");
        refused(&studio, &RESUME, 1, says);
        assert_eq!(std::fs::read_to_string(&path).expect("the journal"), text, "nothing was changed");
        let status = studio.command(&["status"]).output().expect("it runs");
        let said = String::from_utf8_lossy(&status.stdout).into_owned();
        assert!(said.contains("A run that cannot be read"), "{said}");
    }
}

#[test]
fn a_page_edited_since_is_said_and_can_be_insisted_on() {
    let studio = Studio::new();
    left_behind(&studio);
    studio.bench.write("page.toml", super::PAGE.replace("60 %", "61 %"));
    refused(&studio, &RESUME, 1, "was edited since the run began");
    let output = studio.command(&[&RESUME[..], &["--as-begun"]].concat()).output().expect("it runs");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(text.contains("Heron: the run goes on"), "{text}");
}

/// Only the administrator can give a file away, so only then can this be tried.
#[cfg(unix)]
#[test]
fn a_journal_of_another_user_is_not_taken_up() {
    let studio = Studio::new();
    let path = left_behind(&studio);
    if std::os::unix::fs::chown(&path, Some(12_345), None).is_err() {
        crate::support::say("skipped: only root can give a file to another user");
        return;
    }
    refused(&studio, &RESUME, 1, "belongs to another user");
}

#[test]
fn a_disk_that_takes_nothing_is_said_at_once_and_the_run_goes_on() {
    let studio = Studio::new();
    let flags = [&["--rehearse", "20000x"], &super::BY_ITSELF[..]].concat();
    let mut command = studio.command(&seal(&flags));
    // No process can make a folder there, not even root's.
    let output = command.env("COATBELL_STATE", "/proc/coatbell").output().expect("it runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert_eq!(output.status.code(), Some(0), "{text}");
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let events = super::events(&lines);
    let said = events.iter().filter(|event| event["head"].as_str().unwrap_or("").contains("cannot be written")).count();
    assert_eq!(said, 1, "{text}");
    assert_eq!(super::count(&events, "finished"), 1);
}
