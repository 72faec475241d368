//! Reminders on the desktop: all of them arrive, and a service that is dead or silent delays nothing and is said once.

use std::os::unix::net::UnixListener;
use std::sync::{Arc, Mutex};

use super::bus::{Bus, Service, serve};
use super::{BY_ITSELF, Studio, Watched, events, seal};

/// How often faster than the clock; a second of the run is five milliseconds.
const SPEED: i64 = 200;
/// Latest a reminder may be, in milliseconds of the wall.
const LATEST_MS: i64 = 250;

/// Reminders of a run, as events.
fn reminders(events: &[serde_json::Value]) -> Vec<&serde_json::Value> {
    let kinds = [
        "coat_due",
        "overdue",
        "leave_room",
        "return_masked",
        "clear_unmasked",
        "clear_others",
        "handle_dry",
        "window_closing",
    ];
    events.iter().filter(|event| kinds.iter().any(|kind| event["event"] == *kind)).collect()
}

#[test]
fn every_reminder_arrives_in_the_words_of_the_plan_and_replaces_the_one_before() {
    let Some(bus) = Bus::start() else { return };
    let asked = Arc::new(Mutex::new(Vec::new()));
    let _connection = serve(&bus, Service { asked: Arc::clone(&asked), silent: false });
    let studio = Studio::new();
    studio.bench.write("page.toml", super::PAGE.replace("Heron", "Heron <b>& Co"));
    let mut command = studio.command(&seal(&[&["--rehearse", "6000x"], &BY_ITSELF[..]].concat()));
    let output = command.env("DBUS_SESSION_BUS_ADDRESS", &bus.address).output().expect("it runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let events = events(&lines);
    let asked = asked.lock().expect("no panic").clone();
    let said: Vec<(String, String)> = reminders(&events)
        .iter()
        .map(|event| {
            let text = event["text"].as_str().expect("a text").replace('&', "&amp;").replace('<', "&lt;");
            (event["head"].as_str().expect("a head").to_owned(), text)
        })
        .collect();
    assert!(said.len() >= 9, "{said:#?}");
    let arrived: Vec<(String, String)> = asked.iter().map(|one| (one.summary.clone(), one.body.clone())).collect();
    assert_eq!(arrived, said);
    assert!(said[0].0.contains("Heron <b>& Co: coat 1 of"), "a summary is no markup: {said:?}");
    assert_eq!(asked[0].replaces, 0);
    assert!(asked[1..].iter().all(|one| one.replaces == 41), "{asked:#?}");
    assert!(!text.contains("No reminders on the desktop"), "{text}");
}

/// Rehearses the beginning of a run with that bus, until the trouble was said and two coats were due.
fn with_bus(address: &str) {
    let studio = Studio::new();
    let speed = format!("{SPEED}x");
    let mut command = studio.command(&seal(&[&["--rehearse", &speed], &BY_ITSELF[..]].concat()));
    command.env("DBUS_SESSION_BUS_ADDRESS", address);
    let mut run = Watched::of(command);
    run.wait_for("\"coat_due\"");
    if !run.seen.iter().any(|(_, line)| line.contains("No reminders on the desktop")) {
        run.wait_for("No reminders on the desktop");
    }
    while run.seen.iter().filter(|(_, line)| line.contains("\"return_masked\"")).count() < 3 {
        run.wait_for("\"return_masked\"");
    }
    run.child.kill().expect("kill");
    let (_, lines) = run.end();
    let lines: Vec<String> = lines.into_iter().map(|(_, line)| line).collect();
    let events = events(lines.iter().filter(|line| line.ends_with('}')));
    let said = lines.iter().filter(|line| line.contains("No reminders on the desktop")).count();
    assert_eq!(said, 1, "{lines:#?}");
    for event in reminders(&events) {
        let late_ms = event["late_s"].as_i64().expect("seconds") * 1000 / SPEED;
        assert!(late_ms <= LATEST_MS, "{late_ms} ms late: {event}");
    }
}

#[test]
fn no_bus() {
    with_bus("unix:path=/nowhere/bus");
    with_bus("nonsense");
}

#[test]
fn a_bus_without_a_service() {
    let Some(bus) = Bus::start() else { return };
    with_bus(&bus.address);
}

#[test]
fn a_service_that_never_answers() {
    let Some(bus) = Bus::start() else { return };
    let asked = Arc::new(Mutex::new(Vec::new()));
    let _connection = serve(&bus, Service { asked, silent: true });
    with_bus(&bus.address);
}

#[test]
fn a_bus_that_hangs_up() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bus");
    let listener = UnixListener::bind(&path).expect("a socket");
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            drop(stream);
        }
    });
    with_bus(&format!("unix:path={}", path.display()));
}

#[test]
fn a_socket_that_never_speaks() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bus");
    let listener = UnixListener::bind(&path).expect("a socket");
    std::thread::spawn(move || {
        let mut kept = Vec::new();
        for stream in listener.incoming() {
            kept.push(stream);
        }
    });
    with_bus(&format!("unix:path={}", path.display()));
}
