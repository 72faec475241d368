//! How a run ends before its end: keys, signals, a reader that goes away, a second window.

use std::io::Write;

use super::{Studio, Watched, count, events, seal};
use crate::support::flat;

#[test]
fn ctrl_c_and_term_keep_the_run_and_say_how_to_go_on() {
    for (signal, code) in [("-INT", 130), ("-TERM", 143), ("-HUP", 143)] {
        let studio = Studio::new();
        let mut command = studio.command(&seal(&["--yes", "--masked", "--no-flames"]));
        command.stdin(std::process::Stdio::piped());
        let mut run = Watched::of(command);
        run.wait_for("is due (mist)");
        run.child.stdin.as_mut().expect("a pipe").write_all(b"\n").expect("a key");
        run.wait_for("coat 1 of");
        run.signal(signal);
        let (ended, lines) = run.end();
        assert_eq!(ended, Some(code), "{lines:?}");
        let text = lines.iter().map(|(_, line)| line.as_str()).collect::<Vec<_>>().join(" ");
        assert!(text.contains("`coatbell seal --resume` goes on"), "{text}");
        let journal = studio.journals("runs").concat();
        assert_eq!(journal.matches("\"event\":\"coat_done\"").count(), 1);
        assert!(journal.trim_end().ends_with("\"event\":\"paused\"}"), "{journal}");

        let status = studio.command(&["status", "--json"]).output().expect("it runs");
        let status: serde_json::Value = serde_json::from_slice(&status.stdout).expect("JSON");
        assert_eq!(status["runs"][0]["pages"][0]["coats_on"], 1);
        assert_eq!(status["runs"][0]["conducted_by"], serde_json::Value::Null);

        // It goes on where it was: the coat that is on counts, the next is waited for.
        let mut command = studio.command(&["seal", "--resume", "--yes", "--masked", "--no-flames", "--json"]);
        command.stdin(std::process::Stdio::piped());
        let mut run = Watched::of(command);
        let resumed = run.wait_for("\"resumed\"");
        assert!(resumed.contains("Next: coat 2 at"), "{resumed}");
        // Too early: refused, and nothing is written.
        run.child.stdin.as_mut().expect("a pipe").write_all(b"\n").expect("a key");
        run.wait_for("Too early");
        // Insisted on: noted.
        run.child.stdin.as_mut().expect("a pipe").write_all(b"y\n").expect("a key");
        let done = run.wait_for("\"coat_done\"");
        assert!(!done.contains("\"early_s\":0"), "{done}");
        run.child.stdin.as_mut().expect("a pipe").write_all(b"q\n").expect("a key");
        assert_eq!(run.end().0, Some(0));
    }
}

#[test]
fn grams_are_kept_and_a_coat_taken_back_gives_them_back() {
    let studio = Studio::new();
    studio.bench.write("can.toml", "extends = \"acrylic-satin\"\n[can]\nnet = \"300 g\"\nleft = \"100 g\"\n");
    let arguments = [
        "seal",
        "page.toml",
        "--room",
        "room.toml",
        "--sealer",
        "can.toml",
        "--yes",
        "--masked",
        "--no-flames",
        "--json",
    ];
    let mut command = studio.command(&arguments);
    command.stdin(std::process::Stdio::piped());
    let mut run = Watched::of(command);
    let left = |studio: &Studio| -> f64 {
        let status = studio.command(&["status", "--json"]).output().expect("it runs");
        let status: serde_json::Value = serde_json::from_slice(&status.stdout).expect("JSON");
        status["runs"][0]["pages"][0]["can_left_g"].as_f64().unwrap_or(f64::NAN)
    };
    run.wait_for("\"coat_due\"");
    assert_eq!(left(&studio), 100.0);
    run.child.stdin.as_mut().expect("a pipe").write_all(b"\n").expect("a key");
    run.wait_for("\"leave_room\"");
    let after = left(&studio);
    assert!(after < 100.0 && after > 80.0, "{after}");
    run.child.stdin.as_mut().expect("a pipe").write_all(b"undo\n").expect("a key");
    run.wait_for("\"undone\"");
    std::thread::sleep(std::time::Duration::from_millis(300));
    assert_eq!(left(&studio), 100.0);
    run.child.stdin.as_mut().expect("a pipe").write_all(b"q\n").expect("a key");
    assert_eq!(run.end().0, Some(0));
}

#[test]
fn a_second_window_is_told_of_the_first() {
    let studio = Studio::new();
    let mut first = studio.begin();
    first.wait_for("\"coat_due\"");
    for arguments in [
        seal(&["--yes", "--masked", "--no-flames"]),
        vec!["seal", "--resume", "--yes", "--masked", "--no-flames"],
        vec!["seal", "--cancel"],
    ] {
        let second = studio.command(&arguments).output().expect("it runs");
        let said = String::from_utf8_lossy(&second.stderr).into_owned();
        assert_eq!(second.status.code(), Some(1), "{said}");
        let said = flat(&said);
        let process = format!("(process {}, since", first.child.id());
        assert!(said.contains("the run of \"Heron\" is already at it") && said.contains(&process), "{said}");
    }
    // Killed outright it holds nothing any more, and the page is not begun twice.
    first.child.kill().expect("kill");
    let _ = first.end();
    let again = studio.command(&seal(&["--yes", "--masked", "--no-flames"])).output().expect("it runs");
    let said = String::from_utf8_lossy(&again.stderr).into_owned();
    assert!(said.contains("is under way already, with 0 coats on"), "{said}");
    let cancelled = studio.command(&["seal", "--cancel", "--json"]).output().expect("it runs");
    assert_eq!(cancelled.status.code(), Some(0));
    let line = String::from_utf8_lossy(&cancelled.stdout).into_owned();
    assert_eq!(count(&events([&line]), "cancelled"), 1);
    let none = studio.command(&["seal", "--resume"]).output().expect("it runs");
    assert!(String::from_utf8_lossy(&none.stderr).contains("no run is under way"));
}

#[test]
fn no_more_keys_is_a_pause_not_a_loss() {
    let studio = Studio::new();
    let output = studio.command(&seal(&["--yes", "--masked", "--no-flames"])).output().expect("it ends by itself");
    assert_eq!(output.status.code(), Some(1));
    let text = flat(&String::from_utf8_lossy(&output.stdout));
    assert!(text.contains("No more keys can arrive here. The run is kept"), "{text}");
}

#[test]
fn a_run_whose_end_nobody_watched_is_said_by_status_and_then_over() {
    let studio = Studio::new();
    let mut run = studio.begin();
    run.wait_for("\"coat_due\"");
    run.spray_all();
    run.child.stdin.as_mut().expect("a pipe").write_all(b"q\n").expect("a key");
    assert_eq!(run.end().0, Some(0));
    let status = |hours: i64, arguments: &[&str]| {
        let now = jiff::Timestamp::now() + jiff::SignedDuration::from_hours(hours);
        let mut command = studio.command(arguments);
        let output = command.env("COATBELL_NOW", now.to_string()).output().expect("it runs");
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        flat(&String::from_utf8_lossy(&output.stdout))
    };
    let at_once = status(0, &["status"]);
    assert!(at_once.contains("3 of 3 coats on; handle from"), "{at_once}");
    let later = status(8, &["status"]);
    assert!(later.contains("it may be handled (") && later.contains("the room is clear for everyone ("), "{later}");
    assert!(studio.journals("runs").concat().trim_end().ends_with("\"event\":\"finished\"}"));
    let after = status(9, &["status"]);
    assert!(!after.contains("it may be handled (") && after.contains("Scan on glass or photograph from"), "{after}");
    let written = status(9, &["status", "--calendar", "after.ics"]);
    assert!(written.contains("wrote after.ics"), "{written}");
    let history = std::fs::read_to_string(studio.state().join("history.jsonl")).expect("the history");
    assert_eq!(history.lines().count(), 1, "{history}");
    let read = coatbell::record::history::read(history.lines());
    assert!(read.runs[0].run.complete && read.unreadable.is_empty(), "{history}");
    assert_eq!(read.runs[0].run.coats.iter().filter(|coat| coat.sprayed_at.is_some()).count(), 3);
    assert!(read.runs[0].run.coats[1].note.as_ref().is_some_and(|note| note.ends_with("early")), "{history}");
    assert!(studio.bench.path("after.ics").exists());
    // The page is free again.
    let mut again = studio.begin();
    again.wait_for("\"coat_due\"");
    again.child.kill().expect("kill");
    let _ = again.end();
}
