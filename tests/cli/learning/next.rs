//! The one measurement worth making next: its steps end with a command that runs as it stands.

use std::path::Path;

use super::Desk;

/// The commands between backticks in a text, as words.
fn commands(text: &str) -> Vec<Vec<String>> {
    let quoted = text.split('`').skip(1).step_by(2).filter(|part| part.starts_with("coatbell ") && part.len() > 20);
    quoted.map(words).collect()
}

fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (place, part) in command.split('"').enumerate() {
        if place % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[test]
fn the_steps_of_three_example_pages_run_as_they_stand_and_another_measurement_follows() {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("profiles/examples");
    for (page, sealer) in [
        ("night-market", "cans/shelf-gloss.toml"),
        ("tide-pool", "acrylic-satin"),
        ("storm-petrel", "cans/studio-spirit.toml"),
    ] {
        let desk = Desk::new();
        for file in [format!("pages/{page}.toml"), "rooms/spare-room.toml".to_owned()] {
            let text = std::fs::read_to_string(examples.join(&file)).expect("an example");
            desk.bench.write(file.rsplit('/').next().expect("a name"), text);
        }
        if let Some(file) = sealer.strip_prefix("cans/") {
            let text = std::fs::read_to_string(examples.join(sealer)).expect("an example");
            desk.bench.write(file, text);
        }
        let sealer = sealer.trim_start_matches("cans/");
        let page = format!("{page}.toml");
        let plan = || {
            let arguments = ["plan", &page, "--room", "spare-room.toml", "--sealer", sealer, "--exit-zero"];
            desk.json(&arguments)["narrow_most"].clone()
        };
        let mut named = Vec::new();
        loop {
            let next = plan();
            let Some(measurement) = next["measurement"].as_str().map(str::to_owned) else { break };
            assert!(!named.contains(&measurement), "{page}: {measurement} comes twice: {named:?}");
            named.push(measurement.clone());
            let steps = next["steps"].to_string().replace("\\\"", "\"");
            let command = commands(&steps).into_iter().next().unwrap_or_else(|| panic!("no command in {steps}"));
            let typed: Vec<String> =
                command[1..].iter().map(|word| if word == "PAGE" { page.clone() } else { word.clone() }).collect();
            let mut arguments: Vec<&str> = typed.iter().map(String::as_str).collect();
            if typed[0] == "scrap" {
                arguments.push("--exit-zero");
            }
            // The figures in it are an example; a can that is far from them is insisted on.
            if typed[0] == "measure" {
                arguments.push("--insist");
            }
            let document = desk.json(&arguments);
            if typed[0] == "scrap" {
                // What the scrap says then is kept for every bar.
                for bar in document["bars"].as_array().expect("bars") {
                    let medium = bar["medium"].as_str().expect("an id");
                    let kept = ["scrap", "record", "--sealer", sealer, "--medium", medium, "--film", "5 um"];
                    let _ = desk.command(80).args(kept).args(["--result", "held"]).output().expect("it runs");
                }
            }
        }
        // The rate of the studio's spirit varnish stands in its file already.
        let first = if sealer == "studio-spirit.toml" { "when a coat is touch-dry" } else { "the can's rate" };
        assert!(named.len() >= 3 && named[0] == first, "{page}: {named:?}");
    }
}
