//! A real run: touched while it is under way, and when it is over.

use std::io::Write;

use super::super::seal::Studio;

#[test]
fn a_coat_of_a_run_under_way_is_timed_and_the_run_is_in_the_history_once() {
    let studio = Studio::new();
    let mut run = studio.begin();
    run.wait_for("\"coat_due\"");
    run.spray_all();
    let said = |arguments: &[&str]| -> serde_json::Value {
        let config = studio.bench.path("kept");
        let output = studio.command(arguments).arg("--json").env("COATBELL_CONFIG", config).output().expect("it runs");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}"))
    };
    let in_min = |minutes: i64| (jiff::Timestamp::now() + jiff::SignedDuration::from_mins(minutes)).to_string();
    let kept = said(&["measure", "drying", "--run", "now", "--touched", &in_min(3)]);
    assert_eq!(kept["measurements"][0]["of"], "Heron, coat 3", "{kept}");
    let minutes = kept["measurements"][0]["minutes"].as_f64().expect("minutes");
    assert!((2.5..=3.2).contains(&minutes), "{minutes}");
    let not_yet = said(&["measure", "drying", "--run", "now", "--coat", "7", "--touched", &in_min(3)]);
    assert_eq!(not_yet["errors"][0]["code"], "no-such-coat");
    run.child.stdin.as_mut().expect("a pipe").write_all(b"q\n").expect("a key");
    let _ = run.end();
    assert_eq!(said(&["history"])["runs"].as_array().map(Vec::len), Some(0));
    let later = (jiff::Timestamp::now() + jiff::SignedDuration::from_hours(8)).to_string();
    let status = studio.command(&["status"]).env("COATBELL_NOW", &later).output().expect("it runs");
    assert_eq!(status.status.code(), Some(0));
    // Its journal and the history's own line are one run.
    let history = said(&["history"]);
    assert_eq!(history["runs"].as_array().map(Vec::len), Some(1), "{history}");
    assert_eq!(history["runs"][0]["complete"], true);
    let again = said(&["measure", "drying", "--run", "1", "--coat", "2", "--touched", &in_min(2)]);
    assert_eq!(again["measurements"][1]["of"], "Heron, coat 2", "{again}");
    assert_eq!(said(&["history", "rate", "1", "good"])["runs"][0]["rating"]["outcomes"][0], "good");
}
