//! An evening beyond its schedule: its bench sheets, and its run.

use super::harness::{Bench, PAGE};

const EVENING: &str = "rack = 4\nstart = \"15:00\"\n[[page]]\nfile = \"heron.toml\"\nsealer = \"acrylic-satin\"\ncopies = 2\n\
     [[page]]\nfile = \"other.toml\"\nsealer = \"acrylic-satin\"\n";

fn bench() -> Bench {
    let bench = Bench::with("evening.toml", EVENING);
    bench.write("heron.toml", PAGE);
    bench.write("other.toml", PAGE.replace("Heron", "Second <b>heron</b>"));
    bench
}

#[test]
fn the_sheets_of_an_evening_have_its_times_and_its_air() {
    let bench = bench();
    let output = bench.command().args(["print", "evening.toml", "--room", "cross-draught", "-o", "e.html"]).output();
    let output = output.expect("the binary runs");
    assert!(matches!(output.status.code(), Some(0)), "{}", String::from_utf8_lossy(&output.stderr));
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(said.contains(coatbell::caution::IN_ONE_LINE), "{said}");
    let html = std::fs::read_to_string(bench.path("e.html")).expect("written");
    assert_eq!(html.matches("data-sheet").count() - html.matches("[data-sheet]").count(), 3, "a sheet a page");
    for words in ["The steps", "Heron, copy 2", "page 1 of 2, copy 2 of 2", "Air and order", "others after"] {
        assert!(html.contains(words), "{words}");
    }
    assert!(!html.contains("<b>heron</b>") && html.contains("&lt;b&gt;heron"));
    for caution in coatbell::caution::IN_FULL {
        assert!(html.contains(caution), "{caution}");
    }
    let batch = bench.command().args(["batch", "evening.toml", "--room", "cross-draught", "--json"]).output();
    let evening: serde_json::Value = serde_json::from_slice(&batch.expect("it runs").stdout).expect("JSON");
    // Every sheet's first coat begins when the schedule says.
    for page in evening["pages"].as_array().expect("pages") {
        let clock = &page["starts_at"].as_str().expect("a time")[11..16];
        assert!(html.contains(clock), "{clock}");
    }
    // What a sheet says of handling and later is counted from its own last coat, not from that of the page alone.
    let sheets: Vec<&str> = html.split("<article").skip(1).filter(|part| part.contains("data-sheet")).collect();
    let pages = evening["pages"].as_array().expect("pages");
    assert_eq!(sheets.len(), pages.len());
    for (sheet, page) in sheets.iter().zip(pages) {
        let handle = &page["handle_at"].as_str().expect("a time")[11..16];
        assert!(sheet.contains(&format!("handle it from {handle} ")), "{handle}: {sheet}");
        let (_, allowed) = sheet.split_once("What is allowed when").expect("the list");
        assert!(allowed.contains(&format!("<dt>{handle}</dt><dd>Handle by the edges")), "{handle}: {allowed}");
    }
    let refused = bench.transcript(&["print", "evening.toml", "--sealer", "acrylic-gloss", "-o", "f.html"]);
    assert!(refused.contains("[exit 2]") && refused.contains("names its sealers"), "{refused}");
}

#[test]
fn an_evening_is_run_coat_by_coat() {
    let bench = bench();
    let run = ["seal", "evening.toml", "--room", "cross-draught", "--rehearse", "6000x", "--auto", "--yes", "--masked"];
    let output = bench.command().args(run).args(["--no-flames", "--json"]).env_remove("COATBELL_NOW").output();
    let output = output.expect("the binary runs");
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let events: Vec<serde_json::Value> =
        text.lines().map(|line| serde_json::from_str(line).expect("one JSON object a line")).collect();
    let of = |name: &str| events.iter().filter(|event| event["event"] == name).count();
    let batch = bench.command().args(["batch", "evening.toml", "--room", "cross-draught", "--json"]).output();
    let evening: serde_json::Value = serde_json::from_slice(&batch.expect("it runs").stdout).expect("JSON");
    let steps = evening["steps"].as_array().expect("steps").len();
    assert!(steps >= 9, "{steps}");
    assert_eq!(of("coat_done"), steps);
    assert_eq!(of("handle_dry"), 3);
    assert_eq!(of("finished"), 1);
    let done: std::collections::BTreeSet<(u64, u64)> = events
        .iter()
        .filter(|event| event["event"] == "coat_done")
        .map(|event| (event["page"].as_u64().expect("a page"), event["coat"].as_u64().expect("a coat")))
        .collect();
    assert_eq!(done.len(), steps, "no coat twice");
}

#[test]
fn an_evening_on_hold_is_not_begun() {
    let bench = bench();
    let words =
        ["seal", "evening.toml", "--room", "closed", "--temperature", "12 C", "--yes", "--masked", "--no-flames"];
    let said = bench.transcript(&words);
    assert!(said.contains("[exit 4]") && said.contains("Nothing was begun"), "{said}");
}

#[test]
fn pages_that_do_not_fit_are_left_out_when_told_and_not_else() {
    let bench = bench();
    bench.write("other.toml", format!("{PAGE}[[layer]]\nmedium = \"masking-fluid\"\ncover = \"3 %\"\n"));
    let words = ["seal", "evening.toml", "--room", "cross-draught", "--yes", "--masked", "--no-flames"];
    let said = |words: &[&str]| bench.transcript(words).split_whitespace().collect::<Vec<_>>().join(" ");
    let held = said(&words);
    assert!(held.contains("[exit 4]") && held.contains("Nothing was begun"), "{held}");
    assert!(held.contains("`--what-fits` conducts the 2 pages that fit"), "{held}");
    let begun = said(&[&words[..], &["--what-fits"]].concat());
    assert!(begun.contains("Heron, copy 1 and 1 more page: the run begins"), "{begun}");
    assert!(begun.contains("2 pages, 6 coats: the last coat at 15:"), "{begun}");
    // Where the air of all forbids it, nothing is left to fit.
    let air = ["--room", "closed", "--temperature", "12 C", "--yes", "--masked", "--no-flames", "--what-fits"];
    let held = said(&[&["seal", "evening.toml"], &air[..]].concat());
    assert!(held.contains("[exit 4]") && !held.contains("conducts the"), "{held}");
    let page = said(&["seal", "heron.toml", "--yes", "--masked", "--no-flames", "--what-fits"]);
    assert!(page.contains("[exit 2]") && page.contains("this is one page"), "{page}");
}

#[test]
fn a_page_that_stands_in_two_entries_is_as_many_sheets_of_a_run() {
    let entry = |sealer: &str| format!("[[page]]\nfile = \"heron.toml\"\nsealer = \"{sealer}\"\ncopies = 2\n");
    let evening = format!("rack = 4\n{}{}", entry("acrylic-satin"), entry("acrylic-gloss"));
    let bench = Bench::with("evening.toml", evening);
    bench.write("heron.toml", PAGE);
    let room = "temperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"outdoors\"\nwind = \"1 m/s\"\n";
    bench.write("room.toml", room);
    let run = ["seal", "evening.toml", "--room", "room.toml", "--rehearse", "6000x", "--auto", "--yes", "--masked"];
    let output = bench.command().args(run).args(["--no-flames", "--json"]).env_remove("COATBELL_NOW").output();
    let output = output.expect("the binary runs");
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert_eq!(text.matches("\"event\":\"handle_dry\"").count(), 4, "{text}");
}
