//! A run on a terminal: raw keys, a window made narrow, and a terminal given back however the run ends. The terminal is a
//! pseudo-terminal that `terminal.py` holds.

use std::process::Command;

use serde_json::{Value, json};

use crate::cli::seal::Studio;
use crate::support::{flat, there};

/// The page that is sealed.
const PAGE: [&str; 6] = ["seal", "page.toml", "--room", "room.toml", "--sealer", "acrylic-satin"];

/// Past the cautions, then the twelve points of the list, each confirmed by a key.
fn begun() -> Vec<Value> {
    vec![
        json!(["see", "No flame, pilot light, heater"]),
        json!(["keys", " "]),
        json!(["see", "Before the first coat, 1 of 12"]),
        json!(["keys", "   "]),
        json!(["see", "Before the first coat, 4 of 12"]),
        // Escape alone: nothing may follow it at once, or it is the head of another key.
        json!(["keys", "\u{1b}"]),
        json!(["see", "Before the first coat, 3 of 12"]),
        json!(["keys", "yyyyy\r\r\r\r\r"]),
        json!(["see", "Spray coat 1 of 3"]),
    ]
}

/// Plays the steps after the beginning, and hands back how it ended.
fn played(studio: &Studio, steps: &[Value]) -> Option<Value> {
    let steps: Vec<Value> = begun().iter().chain(steps).cloned().collect();
    played_from_the_start(studio, &PAGE, &[], steps)
}

/// Plays steps from the start on.
fn played_from_the_start(studio: &Studio, words: &[&str], flags: &[&str], steps: Vec<Value>) -> Option<Value> {
    if !there(&["python3"]) {
        return None;
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/live/terminal.py");
    let run = studio.command(&words.iter().chain(flags).copied().collect::<Vec<_>>());
    let mut command = Command::new("python3");
    command.args([script, &Value::from(steps).to_string()]).arg(run.get_program()).args(run.get_args());
    command.current_dir(run.get_current_dir().expect("a folder")).env_clear();
    command
        .envs(run.get_envs().filter_map(|(name, value)| Some((name, value?))).filter(|(name, _)| *name != "COLUMNS"));
    command.env("PATH", std::env::var_os("PATH").unwrap_or_default()).env("TERM", "xterm-256color");
    let output = command.output().expect("python3 runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    let ended: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    // Keys came one by one and unseen while it ran, and at the end the terminal is as it was found.
    for (what, wanted) in [("raw", true), ("restored", true), ("cursor_shown", true), ("other_screen_left", true)] {
        assert_eq!(ended[what], wanted, "{what}: {ended:#}");
    }
    Some(ended)
}

fn screen(ended: &Value) -> String {
    flat(ended["screen"].as_str().expect("a text"))
}

#[test]
fn keys_conduct_a_run_and_q_gives_the_terminal_back() {
    let studio = Studio::new();
    let steps = [
        json!(["keys", " "]),
        json!(["see", "coat 2 of 3"]),
        json!(["see", "leave the room now"]),
        // Too early for the next: asked again, and anything else than yes is no.
        json!(["keys", " "]),
        json!(["see", "Too early"]),
        json!(["keys", "?"]),
        json!(["see", "What went wrong?"]),
        json!(["keys", "\u{1b}"]),
        json!(["see", "coat 2 of 3"]),
        json!(["keys", "u"]),
        json!(["see", "Press u again"]),
        json!(["keys", "u"]),
        json!(["see", "Spray coat 1 of 3"]),
        json!(["keys", " "]),
        json!(["see", "coat 2 of 3"]),
        json!(["keys", "q"]),
        json!(["end", null]),
    ];
    let Some(ended) = played(&studio, &steps) else { return };
    assert_eq!(ended["code"], 0, "{ended:#}");
    assert!(screen(&ended).contains("`coatbell seal --resume` goes on"), "{ended:#}");
    let journal = studio.journals("runs").concat();
    assert_eq!(journal.matches("\"event\":\"coat_done\"").count(), 2, "{journal}");
    assert_eq!(journal.matches("\"event\":\"undone\"").count(), 1, "{journal}");
    assert!(journal.trim_end().ends_with("\"event\":\"paused\"}"), "{journal}");
}

#[test]
fn a_window_made_narrow_or_low_shows_the_same_run() {
    let studio = Studio::new();
    let steps = [
        json!(["size", [40, 24]]),
        json!(["see", "Mist from 30 cm"]),
        json!(["see", "SPACE: sprayed"]),
        json!(["within", 40]),
        json!(["keys", " "]),
        json!(["see", "coat 2 of 3"]),
        json!(["within", 40]),
        json!(["size", [30, 8]]),
        json!(["see", "coat 2 of 3"]),
        json!(["size", [200, 50]]),
        json!(["see", "Out of the room until"]),
        json!(["size", [40, 16]]),
        json!(["see", "coat 2 of 3"]),
        json!(["keys", "?"]),
        json!(["see", "What went wrong?"]),
        json!(["see", "The nozzle spits"]),
        json!(["within", 40]),
        json!(["signal", "SIGTERM"]),
        json!(["end", null]),
    ];
    let Some(ended) = played(&studio, &steps) else { return };
    assert_eq!(ended["code"], 143, "{ended:#}");
}

#[test]
fn nothing_goes_on_before_the_cautions_were_shown_to_their_end() {
    // Each window, and how many parts the cautions take in it at least.
    for (columns, rows, least) in [(40, 14, 2), (30, 10, 3), (24, 5, 6)] {
        let studio = Studio::new();
        let second = if least > 2 { "space: read on, 2 of" } else { "space: go on" };
        let steps = vec![
            json!(["size", [columns, rows]]),
            json!(["see", "space: read on, 1 of"]),
            json!(["keys", " "]),
            json!(["see", second]),
            // In a window of another size they begin anew.
            json!(["size", [columns, rows + 1]]),
            json!(["see", "space: read on, 1 of"]),
            json!(["size", [columns, rows]]),
            json!(["see", "space: read on, 1 of"]),
            json!(["through", [" ", "space: go on", "Before the first coat"]]),
            json!(["within", columns]),
            json!(["keys", " "]),
            json!(["through", [" ", "1 of 12", "2 of 12"]]),
            json!(["keys", "q"]),
            json!(["end", null]),
        ];
        let Some(ended) = played_from_the_start(&studio, &PAGE, &[], steps) else { return };
        let bare = |text: &str| text.split_whitespace().collect::<String>().replace(['•', '-'], "");
        let read: Vec<String> = ended["read"]
            .as_array()
            .expect("screens")
            .iter()
            .map(|screen| bare(screen.as_str().unwrap_or_default()))
            .collect();
        assert!(read.len() >= least, "{columns} x {rows}: {read:#?}");
        // A keys' line stands below each screen.
        let all: String = read.iter().map(|screen| screen.split("space:").next().unwrap_or_default()).collect();
        for caution in coatbell::caution::IN_FULL {
            assert!(all.contains(&bare(caution)), "{columns} x {rows}: {caution}\n{all}");
        }
        assert!(!all.contains('…'), "{all}");
    }
}

#[test]
fn flags_do_not_hide_the_cautions_on_a_screen() {
    let studio = Studio::new();
    let steps = vec![
        json!(["see", "Children, anyone pregnant or with asthma, pets and birds stay out"]),
        json!(["keys", " "]),
        json!(["see", "Spray coat 1 of 3"]),
        json!(["keys", "q"]),
        json!(["end", null]),
    ];
    let Some(ended) = played_from_the_start(&studio, &PAGE, &["--yes", "--masked", "--no-flames"], steps) else {
        return;
    };
    assert_eq!(ended["code"], 0, "{ended:#}");
}

#[test]
fn a_page_taken_out_of_an_evening_is_said_and_the_rest_planned_anew() {
    let studio = Studio::new();
    let evening = "rack = 1\n[[page]]\nfile = \"page.toml\"\nsealer = \"acrylic-satin\"\ncopies = 2\n";
    studio.bench.write("evening.toml", evening);
    let words = ["seal", "evening.toml", "--room", "cross-draught", "--rehearse", "1x"];
    let steps = vec![
        json!(["see", "Children, anyone pregnant"]),
        json!(["through", [" ", "o: take the page out", "!"]]),
        json!(["keys", "o"]),
        json!(["see", "Press o again to take this page out"]),
        json!(["keys", "o"]),
        json!(["see", "Rest of the evening planned anew: done"]),
        json!(["see", "copy 2: coat 1 now"]),
        json!(["keys", "q"]),
        json!(["end", null]),
    ];
    let flags = ["--yes", "--masked", "--no-flames"];
    let Some(ended) = played_from_the_start(&studio, &words, &flags, steps) else { return };
    let journal = studio.journals("rehearsals").concat();
    assert!(journal.contains("\"event\":\"taken_out\",\"page\":1"), "{ended:#} {journal}");
}

#[test]
fn a_low_window_shows_every_warning_in_parts() {
    let studio = Studio::new();
    let steps = [
        json!(["keys", " "]),
        json!(["see", "coat 2 of 3"]),
        json!(["size", [30, 10]]),
        json!(["see", "m: read on, 1 of"]),
        json!(["keys", " "]),
        json!(["see", "Too early"]),
        json!(["through", ["m", "leave the room now", "!"]]),
        json!(["within", 30]),
        json!(["keys", "?"]),
        json!(["see", "What went wrong?"]),
        json!(["keys", "5"]),
        json!(["see", "Dust, a hair"]),
        json!(["through", [" ", "space: back to the run", "coat 2 of 3"]]),
        json!(["within", 30]),
        json!(["keys", " "]),
        json!(["see", "coat 2 of 3"]),
        json!(["keys", "q"]),
        json!(["end", null]),
    ];
    let Some(ended) = played(&studio, &steps) else { return };
    let journal = studio.journals("runs").concat();
    assert_eq!(journal.matches("\"event\":\"coat_done\"").count(), 1, "{journal}");
    let all = flat(&ended["read"].to_string().replace("\\n", " "));
    for wanted in ["Out of the room until", "Back with the mask on", "Nothing changes: lift it"] {
        assert!(all.contains(wanted), "{wanted} in {all}");
    }
}

#[test]
fn ctrl_c_and_signals_give_the_terminal_back_and_keep_the_run() {
    for (how, code) in [(["keys", "\u{3}"], 130), (["signal", "SIGTERM"], 143), (["signal", "SIGHUP"], 143)] {
        let studio = Studio::new();
        let steps = [json!(["keys", " "]), json!(["see", "coat 2 of 3"]), json!(how), json!(["end", null])];
        let Some(ended) = played(&studio, &steps) else { return };
        assert_eq!(ended["code"], code, "{how:?} {ended:#}");
        let journal = studio.journals("runs").concat();
        assert!(journal.trim_end().ends_with("\"event\":\"paused\"}"), "{journal}");
    }
}

#[test]
fn stopped_and_continued_it_draws_and_hears_as_before() {
    let studio = Studio::new();
    let steps = [
        json!(["signal", "SIGSTOP"]),
        json!(["keys", " "]),
        json!(["wait", 2]),
        json!(["signal", "SIGCONT"]),
        json!(["see", "coat 2 of 3"]),
        json!(["keys", "q"]),
        json!(["end", null]),
    ];
    let Some(ended) = played(&studio, &steps) else { return };
    assert_eq!(ended["code"], 0, "{ended:#}");
    assert_eq!(studio.journals("runs").concat().matches("\"event\":\"coat_done\"").count(), 1);
}
