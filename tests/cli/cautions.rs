//! Walks every command and every format of the command definitions and finds the cautions wherever the output can lead
//! someone to spray.

use coatbell::caution;

use super::harness::{Bench, PAGE};
use crate::support::flat;

/// What a command is run with, and whether someone may spray after reading its answer.
enum Use {
    /// It can lead to spraying; the words after the command's name.
    Sprays(&'static [&'static str]),
    /// It cannot, for this reason.
    Harmless(&'static str),
}

/// How each command is used here. A new command has to be placed: the test fails until it is.
fn uses(command: &str) -> Vec<Use> {
    const IN_WORDS: [&str; 4] = ["--media", "wax-pencil", "--paper", "cardstock"];
    match command {
        "plan" => vec![
            Use::Sprays(&["page.toml", "--room", "room.toml"]),
            Use::Sprays(&IN_WORDS),
            Use::Sprays(&["page.toml", "--room", "room.toml", "--sealer", "acrylic-satin", "--finish-by", "23:00"]),
        ],
        "safety" => vec![
            Use::Sprays(&["page.toml", "--room", "room.toml"]),
            Use::Sprays(&["--sealer", "acrylic-gloss", "--amount", "8 g"]),
            Use::Sprays(&["--notes"]),
        ],
        "print" | "scrap" => vec![Use::Sprays(&["page.toml", "--room", "room.toml"])],
        "weather" => vec![Use::Sprays(&["page.toml", "--forecast", "forecast.csv"])],
        "seal" => vec![Use::Harmless("it goes on for hours; its own tests look for the cautions at its start")],
        "status" => vec![Use::Harmless("it says when, not how; the run itself showed the cautions")],
        "rescue" => vec![Use::Sprays(&["pooled"])],
        "measure" => {
            vec![Use::Harmless("it takes down what was read; the plan that asks for a burst shows the cautions")]
        }
        "history" => vec![Use::Harmless("it tells what is over")],
        "layers" => vec![Use::Harmless("it judges what lies on the page and names no coat")],
        "materials" => vec![Use::Harmless("a reference card")],
        "new" => vec![Use::Harmless("it writes a file that plan reads")],
        "batch" => vec![
            Use::Sprays(&["evening.toml", "--room", "room.toml", "--effort", "quick"]),
            Use::Harmless("a bare problem in ticks names no page, no can and no room"),
        ],
        "completions" | "man" | "help" => vec![Use::Harmless("it describes the program")],
        "verify" => vec![Use::Harmless("it recomputes published values")],
        other => panic!("`{other}` is new: say here how it is used and whether someone may spray after it"),
    }
}

/// A calendar's text with its folded lines joined and its escapes taken back.
fn unfolded(calendar: &str) -> String {
    let whole = calendar.replace("\r\n ", "").replace("\r\n\t", "");
    whole.replace("\\n", " ").replace("\\,", ",").replace("\\;", ";").replace("\\\\", "\\")
}

/// A document's text without its elements.
fn without_marks(document: &str) -> String {
    let inside = document.split('<').map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text));
    inside.collect::<Vec<_>>().join(" ").replace("&#39;", "'").replace("&quot;", "\"").replace("&amp;", "&")
}

/// Which of the cautions an output lacks.
fn lacks(format: &str, output: &str) -> Vec<&'static str> {
    let shown = match format {
        "json" => {
            let document: serde_json::Value = serde_json::from_str(output).expect("one JSON document");
            let cautions = document["cautions"].as_array().cloned().unwrap_or_default();
            cautions.iter().filter_map(|line| line.as_str()).collect::<Vec<_>>().join("\n")
        }
        "ics" => flat(&unfolded(output)),
        "svg" | "html" => flat(&without_marks(output)),
        _ => flat(output),
    };
    caution::IN_FULL.into_iter().filter(|line| !shown.contains(line)).collect()
}

#[test]
fn cautions_stand_wherever_someone_may_spray() {
    let bench = Bench::with("page.toml", PAGE);
    bench.write(
        "room.toml",
        "size = \"3.4 m x 2.8 m x 2.4 m\"\ntemperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"window-open\"\n",
    );
    bench.write("evening.toml", "rack = 2\n[[page]]\nfile = \"page.toml\"\nsealer = \"acrylic-satin\"\n");
    bench.write(
        "forecast.csv",
        "time,temperature,humidity,wind\n2026-11-28 15:00,20,50,2\n2026-11-28 16:00,20,50,2\n2026-11-28 17:00,20,50,2\n",
    );
    let definition = coatbell::cli::command_line();
    let formats: Vec<String> = definition
        .get_arguments()
        .find(|argument| argument.get_id() == "format")
        .expect("the flag --format")
        .get_possible_values()
        .iter()
        .map(|value| value.get_name().to_owned())
        .collect();
    assert!(formats.iter().any(|format| format == "ics"), "{formats:?}");
    let mut seen = 0;
    for command in definition.get_subcommands() {
        for used in uses(command.get_name()) {
            let words = match used {
                Use::Sprays(words) => words,
                Use::Harmless(why) => {
                    assert!(!why.is_empty());
                    continue;
                }
            };
            for format in &formats {
                let output = bench
                    .command()
                    .arg(command.get_name())
                    .args(words)
                    .args(["--format", format])
                    .output()
                    .expect("the binary runs");
                // A command that has no such format says so; a plan that holds is still shown.
                if output.status.code() == Some(2) {
                    assert_ne!(format, "text", "{}", String::from_utf8_lossy(&output.stderr));
                    continue;
                }
                let text = String::from_utf8(output.stdout).expect("UTF-8");
                let format = if text.starts_with("<!") { "html" } else { format };
                assert_eq!(lacks(format, &text), Vec::<&str>::new(), "{} {words:?} as {format}", command.get_name());
                seen += 1;
            }
            if words != ["--notes"] {
                let quiet = bench.command().arg(command.get_name()).args(words).arg("-q").output().expect("it runs");
                let text = String::from_utf8(quiet.stdout).expect("UTF-8");
                let short = flat(&text).contains(&flat(caution::IN_ONE_LINE));
                assert!(short || lacks("html", &text).is_empty(), "{} {words:?} -q", command.get_name());
            }
        }
    }
    assert!(seen >= 12, "only {seen} outputs were looked at");
}

#[test]
fn a_missing_caution_is_found() {
    let all: Vec<String> = caution::in_full();
    let text = all[1..].join(" ");
    assert_eq!(lacks("text", &text), [caution::IN_FULL[0]]);
    let document = serde_json::json!({ "cautions": all[..5].to_vec() }).to_string();
    assert_eq!(lacks("json", &document), [caution::IN_FULL[5]]);
}
