//! What a file, a name or an argument hides: characters that move the cursor, recolour, or turn a line round.

use super::{bench, end, end_with};
use crate::cli::harness::PAGE;

/// Escape, bell, a cleared screen, a line turned round, a joiner, a line end of another alphabet.
const HOSTILE: &str = "\u{1b}[2J\u{7}\u{202E}\u{200B}\u{2028}\u{9b}31m";

/// The same inside TOML, where control characters have to be escaped.
const HOSTILE_IN_TOML: &str = "\\u001b[2J\\u0007\u{202E}\u{200B}\u{2028}\\u009b31m";

fn hidden_in(text: &str) -> Option<char> {
    text.chars().find(|letter| {
        (letter.is_control() && *letter != '\n') || matches!(letter, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}')
    })
}

fn nothing_hidden(what: &str, text: &str) {
    assert_eq!(hidden_in(text), None, "{what}: {text:?}");
}

#[test]
fn titles_areas_and_names_of_files() {
    let bench = bench();
    let page = PAGE.replace("Heron", &format!("He{HOSTILE_IN_TOML}ron"));
    let page = page.replacen("cover", &format!("areas = [\"s{HOSTILE_IN_TOML}ky\"]\ncover"), 1);
    bench.write("page.toml", page);
    let room = format!("name = \"r{HOSTILE_IN_TOML}oom\"\nsize = \"3 m x 3 m x 2.4 m\"\nairflow = \"window-open\"\n");
    bench.write("room.toml", room);
    bench.write("can.toml", format!("extends = \"acrylic-gloss\"\nname = \"c{HOSTILE_IN_TOML}an\"\n"));
    let all = ["--room", "room.toml", "--sealer", "can.toml"];
    for typed in [
        &["plan", "page.toml", "-q"][..],
        &["plan", "page.toml"],
        &["plan", "page.toml", "--why", "--verbose"],
        &["plan", "page.toml", "--finish-by", "in 20 h"],
        &["plan", "page.toml", "--sealer", "acrylic-matte"],
        &["safety", "page.toml"],
        &["layers", "page.toml"],
    ] {
        let all = if typed[0] == "layers" { &all[..2] } else { &all[..] };
        let said = end_with(bench.command().args(typed).args(all), &[0, 4], &format!("{typed:?}"));
        nothing_hidden(&format!("{typed:?}"), &(said.out.clone() + &said.error));
        assert!(said.out.contains("\\u{1b}") || typed.contains(&"-q"), "{typed:?} shows them: {}", said.out);
    }
    // A calendar may fold its lines, and nothing else.
    let said = end(bench.command().args(["plan", "page.toml", "--format", "ics"]).args(all), "a calendar");
    nothing_hidden("a calendar", &said.out.replace("\r\n", "\n"));
    assert!(said.out.starts_with("BEGIN:VCALENDAR") && said.out.contains("u{1b}"), "{} {}", said.out, said.error);
}

#[test]
fn excerpts_of_files_and_names_in_errors() {
    let bench = bench();
    for (old, new) in [
        ("A4", format!("A{HOSTILE_IN_TOML}4")),
        ("watercolour", format!("w{HOSTILE_IN_TOML}ater")),
        ("5 days ago", format!("5 {HOSTILE_IN_TOML} ago")),
        ("60 %", format!("6{HOSTILE_IN_TOML}0 %")),
        ("size =", format!("\"si{HOSTILE_IN_TOML}ze\" =")),
        ("title = \"Heron\"", format!("title = \"{HOSTILE}\"")),
        ("title", format!("{HOSTILE}title")),
    ] {
        bench.write("page.toml", PAGE.replacen(old, &new, 1));
        for form in ["text", "json"] {
            let said = end_with(bench.command().args(["plan", "page.toml", "--format", form]), &[3], old);
            nothing_hidden(old, &said.error);
        }
    }
}

#[test]
fn what_was_typed() {
    let bench = bench();
    let odd = format!("o{HOSTILE}dd");
    for typed in [
        &["plan", &odd][..],
        &[&odd],
        &["plan", "page.toml", &odd],
        &["plan", "page.toml", "--units", &odd],
        &["plan", "page.toml", "--start", &odd],
        &["layers", "page.toml", "--temperature", &odd],
        &["layers", "page.toml", "--room", &odd],
        &["plan", "page.toml", "--sealer", &odd],
        &["plan", "--media", &odd, "--paper", "cardstock"],
        &["plan", "--media", "watercolour", "--paper", &odd],
        &["materials", "show", &odd],
        &["materials", "check", &odd],
        &["verify", "--checks", &odd],
        &["batch", "--problem", &odd],
        &["layers", "page.toml", "-o", "missing/x\u{1b}[2J"],
        &["layers", "page.toml", "-o", &odd],
        &["print", "page.toml", "-o", &odd],
        &["new", "page", &odd, "--title", &odd, "--size", "A4", "--paper", "cardstock", "--layer", "watercolour"],
        &["new", "room", "--name", &odd, "--airflow", &odd],
    ] {
        // What the parser of the command line says is the one text that is coloured before it is made safe.
        let coloured = typed.contains(&"--units") || typed.len() == 1;
        for colour in [&[][..], &["--color", "always"]].into_iter().take(1 + usize::from(coloured)) {
            let said = end(bench.command().args(typed).args(colour), &format!("{typed:?}"));
            // Colours are the program's own; the rest of an escape is not.
            let plain = |text: &str| anstream::adapter::strip_str(text).to_string();
            let (out, error) =
                if colour.is_empty() { (said.out, said.error) } else { (plain(&said.out), plain(&said.error)) };
            nothing_hidden(&format!("{typed:?} {colour:?}"), &(out + &error));
        }
    }
}
