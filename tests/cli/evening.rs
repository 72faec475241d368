//! The worked evening of the examples: every command of it is run, and what it says is compared.
//!
//! After a wanted change of wording or figures, `COATBELL_WRITE=1` with this test writes the new outputs into the
//! text. A line that begins with `…` stands for the rest of an output; a number behind it, only while writing, says
//! after how many lines to cut.

use super::harness::Bench;

const EVENING: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/profiles/examples/README.md");

/// Splits what was typed in a shell into words: spaces separate, double quotes hold together.
fn words(typed: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in typed.chars() {
        match (letter, words.last_mut()) {
            ('"', _) => quoted = !quoted,
            (' ', _) if !quoted => words.push(String::new()),
            (_, Some(word)) => word.push(letter),
            (_, None) => {}
        }
    }
    assert!(!quoted, "an open quote in {typed}");
    words.into_iter().filter(|word| !word.is_empty()).collect()
}

/// All a command says, answer first.
fn output(bench: &Bench, typed: &str) -> Vec<String> {
    let arguments = words(typed.strip_prefix("coatbell ").expect("a command of coatbell"));
    let output = bench.command().args(&arguments).output().expect("the binary runs");
    assert!(matches!(output.status.code(), Some(0 | 4)), "{typed}: {}", String::from_utf8_lossy(&output.stderr));
    let said = String::from_utf8([output.stdout, output.stderr].concat()).expect("all output is UTF-8");
    said.trim_end().lines().map(|line| line.trim_end().to_owned()).collect()
}

/// The expected lines of one command, cut as the text has it.
fn as_shown(mut said: Vec<String>, shown: &[&str]) -> Vec<String> {
    if let Some(at) = shown.iter().position(|line| line.starts_with('…')) {
        let asked = shown[at].trim_start_matches('…').parse().unwrap_or(at);
        if said.len() > asked {
            said.truncate(asked);
            said.push("…".to_owned());
        }
    }
    said
}

#[test]
fn every_command_says_what_the_text_shows() {
    let text = std::fs::read_to_string(EVENING).expect("the text of the evening");
    let bench = Bench::new();
    let mut rewritten: Vec<String> = Vec::new();
    let mut lines = text.lines().peekable();
    let mut commands = 0;
    while let Some(line) = lines.next() {
        rewritten.push(line.to_owned());
        if line != "```console" {
            continue;
        }
        while let Some(line) = lines.next_if(|line| *line != "```") {
            let typed = line.strip_prefix("$ ").expect("a block begins with a command");
            rewritten.push(line.to_owned());
            let mut shown = Vec::new();
            while let Some(line) = lines.next_if(|line| *line != "```" && !line.starts_with("$ ")) {
                shown.push(line);
            }
            rewritten.extend(as_shown(output(&bench, typed), &shown));
            commands += 1;
        }
    }
    assert!(commands >= 10, "{commands} commands found");
    let rewritten = rewritten.join("\n") + "\n";
    if std::env::var_os("COATBELL_WRITE").is_some() {
        std::fs::write(EVENING, rewritten).expect("the text can be written");
    } else {
        assert!(text == rewritten, "the evening is out of date:\n{rewritten}");
    }
}
