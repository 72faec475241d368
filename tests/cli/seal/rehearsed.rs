//! A run rehearsed from the first key to the last bell.

use super::{BY_ITSELF, Studio, count, events, seal};
use crate::support::flat;

#[test]
fn a_rehearsal_says_every_event_in_order_and_stays_out_of_the_real_runs() {
    let studio = Studio::new();
    let flags = [&["--rehearse", "20000x", "--calendar", "after.ics"], &BY_ITSELF[..]].concat();
    let output = studio.command(&seal(&flags)).output().expect("it runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert_eq!(output.status.code(), Some(0), "{text}");
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let events = events(&lines);
    let names: Vec<&str> = events.iter().filter_map(|event| event["event"].as_str()).collect();
    assert_eq!(names[0], "started");
    assert_eq!(events[0]["cautions"].as_array().map(Vec::len), Some(6));
    assert_eq!(names.last(), Some(&"finished"));
    assert!(events.iter().all(|event| event["rehearsal"] == true && event["schema"] == "coatbell.seal/1"));
    let coats = count(&events, "coat_done");
    assert!(coats >= 2, "{names:?}");
    for name in ["coat_due", "leave_room", "return_masked"] {
        assert_eq!(count(&events, name), coats, "{name} in {names:?}");
    }
    for name in ["clear_unmasked", "clear_others", "handle_dry"] {
        assert_eq!(count(&events, name), 1, "{name} in {names:?}");
    }
    assert_eq!(count(&events, "milestone"), 5, "{names:?}");
    // A service that is not there is said once, however many reminders it missed.
    let desktop = events.iter().filter(|event| event["head"].as_str().unwrap_or("").contains("desktop")).count();
    assert_eq!(desktop, 1);
    let calendar = std::fs::read_to_string(studio.bench.path("after.ics")).expect("the calendar");
    assert!(calendar.starts_with("BEGIN:VCALENDAR") && calendar.matches("BEGIN:VEVENT").count() == 6, "{calendar}");
    assert_eq!(studio.journals("runs").len(), 0);
    assert_eq!(studio.journals("rehearsals").len(), 1);
    assert!(!studio.state().join("cans.json").exists(), "a rehearsal empties no can");
    let status = studio.command(&["status"]).output().expect("it runs");
    assert_eq!(String::from_utf8_lossy(&status.stdout).trim(), "No run is under way.");
}

#[test]
fn lines_in_a_pipe_are_marked_and_begin_with_the_cautions() {
    let studio = Studio::new();
    let flags = ["--rehearse", "20000x", "--auto", "--yes", "--masked", "--no-flames"];
    let mut command = studio.command(&seal(&flags));
    let output = command.env("COLUMNS", "40").env("LC_ALL", "C").output().expect("it runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(text.is_ascii(), "{text}");
    assert!(text.lines().all(|line| line.len() <= 40), "{text}");
    let joined = flat(&text);
    assert!(joined.contains("REHEARSAL: Heron: coat 1 of"), "{text}");
    for caution in coatbell::caution::IN_FULL {
        assert!(joined.contains(caution), "{caution} in {text}");
    }
}

#[test]
fn rescue_says_what_to_do_without_a_run() {
    let studio = Studio::new();
    let output = studio.command(&["rescue", "hair"]).output().expect("it runs");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(text.starts_with("Dust, a hair or an insect landed in it."), "{text}");
    let output = studio.command(&["rescue", "elephant"]).output().expect("it runs");
    assert_eq!(output.status.code(), Some(2));
    let all = studio.command(&["rescue", "--json"]).output().expect("it runs");
    let document: serde_json::Value = serde_json::from_slice(&all.stdout).expect("JSON");
    assert_eq!(document["rescues"].as_array().map(Vec::len), Some(7));
}
