//! `coatbell batch BATCH`: an evening as a person meets it, as a program reads it, and with wrong input.

use std::time::Duration;

use super::harness::{Bench, PAGE};

const ROOM: &str = "temperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"outdoors\"\nwind = \"1 m/s\"\n";
const CLOSED: &str =
    "size = \"3 m x 3 m x 2.4 m\"\ntemperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"window-open\"\n";
const EVENING: &str = "\
rack = 4
start = \"14:00\"
stop_by = \"21:00\"
breaks = [[\"14:20\", \"14:30\"]]
[[page]]
file = \"heron.toml\"
sealer = \"acrylic-satin\"
copies = 2
[[page]]
file = \"heron.toml\"
sealer = \"can.toml\"
";
const CAN: &str = "extends = \"acrylic-spirit\"\nname = \"the spirit can\"\n[label]\nrecoat = \"15 min to 20 min\"\n\
     recoat_window = \"within 2 h or after 24 h\"\n[can]\nnet = \"400 g\"\nleft = \"5 g\"\n";

fn bench(evening: &str) -> Bench {
    let bench = Bench::with("evening.toml", evening);
    bench.write("heron.toml", PAGE);
    bench.write("can.toml", CAN);
    bench.write("room.toml", ROOM);
    bench.write("closed.toml", CLOSED);
    bench
}

fn said(bench: &Bench, more: &[&str]) -> (i32, String) {
    let mut command = bench.command();
    command.timeout(Duration::from_secs(300));
    let room = if more.contains(&"--room") { &[][..] } else { &["--room", "room.toml"] };
    command.args(["batch", "evening.toml", "--effort", "quick"]).args(room).args(more);
    let output = command.output().expect("the binary runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    (output.status.code().expect("a code"), text + &String::from_utf8_lossy(&output.stderr))
}

fn json(evening: &str, more: &[&str]) -> (i32, serde_json::Value) {
    let arguments: Vec<&str> = more.iter().copied().chain(["--json"]).collect();
    let (code, text) = said(&bench(evening), &arguments);
    (code, serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}")))
}

#[test]
fn an_evening_as_a_person_reads_it() {
    let (code, text) = said(&bench(EVENING), &[]);
    assert_eq!(code, 0, "{text}");
    insta::assert_snapshot!("an_evening", text);
}

#[test]
fn an_evening_is_the_same_twice_and_fits_a_narrow_screen() {
    let bench = bench(EVENING);
    assert_eq!(said(&bench, &["--json"]), said(&bench, &["--json"]));
    let mut command = bench.command();
    command.args(["batch", "evening.toml", "--effort", "quick", "--room", "room.toml"]).env("COLUMNS", "40");
    let output = command.output().expect("the binary runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(text.lines().all(|line| line.chars().count() <= 40), "{text}");
}

/// The moments of a step: its start, its end, and that of the page's next step.
fn minutes(step: &serde_json::Value, key: &str) -> i64 {
    step[key].as_i64().unwrap_or_else(|| panic!("{key}: {step}"))
}

#[test]
fn the_steps_keep_the_rules() {
    let (code, evening) = json(EVENING, &[]);
    assert_eq!((code, &evening["schema"]), (0, &"coatbell.batch/1".into()));
    let steps = evening["steps"].as_array().expect("steps");
    assert!(steps.len() >= 6, "{evening:#}");
    let mut windows = 0;
    for two in steps.windows(2) {
        let change = if two[1]["change_can"] == true { 2 } else { 0 };
        assert!(minutes(&two[1], "start_min") >= minutes(&two[0], "end_min") + change, "{two:#?}");
    }
    for (at, step) in steps.iter().enumerate() {
        let (start, end) = (minutes(step, "start_min"), minutes(step, "end_min"));
        assert!(end > start && (end <= 20 || start >= 30), "a break is kept: {step:#}");
        let next = steps[at..].iter().find(|next| {
            (&next["page"], &next["copy"]) == (&step["page"], &step["copy"])
                && next["coat"].as_i64() == step["coat"].as_i64().map(|coat| coat + 1)
        });
        if let Some(next) = next {
            let wait = minutes(next, "start_min") - end;
            assert_eq!(wait, minutes(step, "wait_min"));
            assert!(wait >= minutes(step, "least_wait_min"), "{step:#}");
            if step["sealer"].as_str().is_some_and(|sealer| sealer.contains("spirit")) {
                // The window of two hours, less the handling, holds from the end of the step.
                assert!(wait < 120 && step["next_by"].is_string() && step["next_again_from"].is_string(), "{step:#}");
                windows += 1;
            }
        } else {
            assert_eq!(step["coat"], step["of"]);
        }
    }
    assert!(windows > 0, "{evening:#}");
    assert_eq!(evening["pages"].as_array().map(Vec::len), Some(3));
    assert_eq!(evening["plans"].as_array().map(Vec::len), Some(2), "each distinct page is planned once");
    assert_eq!(evening["cans"].as_array().map(Vec::len), Some(2));
    let [bound, end, apart] = ["lower_bound_min", "makespan_min", "one_by_one_min"].map(|key| minutes(&evening, key));
    assert!(0 < bound && bound <= end && end < apart, "{bound} {end} {apart}");
    let codes: Vec<_> = evening["findings"].as_array().expect("findings").iter().map(|one| &one["code"]).collect();
    assert!(codes.contains(&&"can-too-empty".into()), "{codes:?}");
    for key in ["gap_pct", "proved", "effort", "rack_peak", "air", "cautions", "answer", "verdict", "inputs"] {
        assert!(!evening[key].is_null(), "{key}");
    }
}

#[test]
fn a_page_that_does_not_fit_is_named_with_when_it_would() {
    let short = EVENING.replace("21:00", "14:40");
    let (code, evening) = json(&short, &[]);
    assert_eq!((code, &evening["verdict"]), (4, &"hold".into()), "{evening:#}");
    let out: Vec<_> = evening["pages"].as_array().expect("pages").iter().filter(|page| page["fits"] == false).collect();
    assert!(!out.is_empty());
    for page in out {
        assert!(page["reason"].is_string() && page["would_fit_at"].is_string(), "{page:#}");
    }
    assert_eq!(evening["findings"][0]["code"], "page-does-not-fit");
}

#[test]
fn a_page_that_is_merely_fresh_waits_until_it_is_ready() {
    let bench = bench(&EVENING.replace("copies = 2", "copies = 1"));
    // Watercolour of half an hour ago: too fresh at the start, ready later this evening.
    bench.write(
        "heron.toml",
        PAGE.replace("5 days ago", "30 min ago").replace("medium = \"wax-pencil\"", "medium = \"graphite\""),
    );
    let (_, text) = said(&bench, &["--json"]);
    let evening: serde_json::Value = serde_json::from_str(&text).expect("one document");
    for page in evening["pages"].as_array().expect("pages") {
        let start = page["starts_at"].as_str().or(page["would_fit_at"].as_str());
        assert!(start.is_some_and(|start| start > "2026-11-28T14:00:00+00:00"), "{page:#}");
    }
}

#[test]
fn the_air_of_all_coats_together_decides() {
    let many = EVENING.replace("copies = 2", "copies = 6").replace("stop_by = \"21:00\"", "stop_by = \"15:30\"");
    let (code, evening) = json(&many, &["--room", "closed.toml"]);
    assert_eq!(code, 4, "{evening:#}");
    assert_eq!(evening["air"]["decides"], true);
    assert_ne!(evening["air"]["verdict"], "hold", "what is sprayed stays within the rules");
    let [peak, ceiling] = ["fullness_peak", "ceiling"].map(|key| evening["air"][key].as_f64().expect(key));
    assert!(peak > 0.0 && peak <= ceiling + 1e-6, "{peak} {ceiling}");
    let reasons = evening["pages"].as_array().expect("pages").iter().filter_map(|page| page["reason"].as_str());
    assert!(reasons.clone().any(|reason| reason.contains("the air")), "{:?}", reasons.collect::<Vec<_>>());
}

/// What is changed in the evening, and the error that must name it with a cure.
const BROKEN: [(&str, &str, &str, &str); 12] = [
    ("rack = 4", "rack = 0", "not-a-count", "rack"),
    ("rack = 4", "racks = 4", "unknown-key", "racks"),
    ("stop_by = \"21:00\"", "stop_by = \"13:00\"", "stop-before-start", "stop_by"),
    ("start = \"14:00\"", "start = \"tea time\"", "not-a-time", "start"),
    ("\"14:20\"", "\"13:20\"", "break-outside", "breaks"),
    ("]]\n", "], [\"14:25\", \"14:40\"]]\n", "breaks-overlap", "breaks"),
    ("copies = 2", "copies = 100000", "not-a-count", "page 1.copies"),
    ("copies = 2", "copies = 5000", "too-many-pages", "page 2.copies"),
    ("copies = 2", "copy = 2", "unknown-key", "page 1.copy"),
    ("file = \"heron.toml\"\nsealer = \"acrylic-satin\"", "file = \"hero.toml\"", "file-missing", "page 1.file"),
    ("sealer = \"acrylic-satin\"", "sealer = \"acrylic-stain\"", "unknown-sealer", "page 1.sealer"),
    ("rack = 4", "rack = 4\nhandling = \"3 h\"", "out-of-range", "handling"),
];

#[test]
fn every_mistake_is_named_with_its_place_and_its_cure() {
    for (old, new, code, key) in BROKEN {
        let mut broken = EVENING.replacen(old, new, 1);
        if code == "too-many-pages" {
            broken += "copies = 1\n";
        }
        let (exit, document) = json(&broken, &[]);
        assert_eq!(exit, 3, "{code}: {document:#}");
        let errors = document["errors"].as_array().expect("errors");
        let named = errors.iter().find(|error| error["code"] == code && error["key"] == key);
        let named = named.unwrap_or_else(|| panic!("{code} {key}: {document:#}"));
        assert!(named["line"].is_u64() && named["hint"].is_string(), "{code}: {named}");
        assert!(named["file"].as_str().is_some_and(|file| file.ends_with("evening.toml")), "{named}");
    }
}

#[test]
fn mistakes_of_the_evening_and_its_files_come_together() {
    let files = |evening: &str| -> Vec<String> {
        let bench = bench(evening);
        bench.write("heron.toml", PAGE.replace("watercolour", "watercolor-ish"));
        bench.write("can.toml", CAN.replace("acrylic-spirit", "acrylic-spoon"));
        let (code, text) = said(&bench, &["--json"]);
        assert_eq!(code, 3, "{text}");
        let document: serde_json::Value = serde_json::from_str(&text).expect("one document");
        let errors = document["errors"].as_array().expect("errors");
        let mut files: Vec<String> = errors.iter().map(|error| error["file"].as_str().unwrap_or("?").into()).collect();
        files.sort();
        files
    };
    // The evening names the page twice, and each mistake comes once.
    assert_eq!(files(EVENING), ["can.toml", "heron.toml"]);
    assert_eq!(files(&EVENING.replace("rack = 4", "rack = 0")), ["can.toml", "evening.toml", "heron.toml"]);
}

#[test]
fn a_window_shorter_than_its_wait_names_the_page_and_the_cure() {
    let bench = bench(EVENING);
    bench.write(
        "can.toml",
        CAN.replace("15 min to 20 min", "5 min").replace("within 2 h or after 24 h", "within 16 min"),
    );
    let (code, text) = said(&bench, &["--json"]);
    let evening: serde_json::Value = serde_json::from_str(&text).expect("one document");
    assert_eq!(code, 4, "{evening:#}");
    let page = &evening["pages"][2];
    assert_eq!(page["fits"], false);
    assert!(page["reason"].as_str().is_some_and(|reason| reason.contains("window")), "{page:#}");
    assert!(evening["findings"][0]["remedy"].is_string());
}

#[test]
fn a_calendar_rings_for_every_coat_and_every_sheet() {
    let (code, calendar) = said(&bench(EVENING), &["--format", "ics"]);
    assert_eq!(code, 0, "{calendar}");
    let (_, evening) = json(EVENING, &[]);
    let count = |key: &str| evening[key].as_array().map_or(0, Vec::len);
    assert_eq!(calendar.matches("BEGIN:VEVENT").count(), count("steps") + count("pages"));
    assert!(calendar.contains("TRIGGER:-PT15M") && calendar.ends_with("END:VCALENDAR\r\n"), "{calendar}");
    let identities: std::collections::BTreeSet<&str> =
        calendar.lines().filter(|line| line.starts_with("UID:")).collect();
    assert_eq!(identities.len(), count("steps") + count("pages"));
}

#[test]
fn the_calendar_rings_for_a_change_of_can_before_its_coat() {
    let (code, calendar) = said(&bench(EVENING), &["--format", "ics"]);
    assert_eq!(code, 0, "{calendar}");
    let calendar = calendar.replace("\r\n ", "");
    let (_, evening) = json(EVENING, &[]);
    let steps = evening["steps"].as_array().expect("steps");
    let changes = steps.iter().skip(1).filter(|step| step["change_can"] == true).count();
    assert!(changes > 0, "an evening with two cans");
    assert_eq!(calendar.matches("TRIGGER:-PT2M").count(), changes, "{calendar}");
    assert_eq!(calendar.matches("passes of").count(), steps.len(), "how to spray stands at every coat: {calendar}");
}

#[cfg(unix)]
#[test]
fn ctrl_c_in_the_first_schedule_hands_out_one_that_the_air_bears() {
    let bench = bench(&EVENING.replace("stop_by = \"21:00\"\n", "").replace("copies = 2", "copies = 60"));
    let arguments =
        ["batch", "evening.toml", "--room", "closed.toml", "--effort", "thorough", "--json", "-o", "e.json"];
    let mut child = bench.process(&arguments).stdout(std::process::Stdio::null()).spawn().expect("it runs");
    // Long before the search is through, and after the program hears the signal.
    std::thread::sleep(Duration::from_secs(1));
    let sent = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(sent.expect("kill is there").success());
    let code = child.wait().expect("it ends").code();
    let text = std::fs::read_to_string(bench.path("e.json")).expect("written whole");
    let evening: serde_json::Value = serde_json::from_str(&text).expect("JSON, whole");
    assert_eq!(code, Some(0), "{}", evening["answer"]);
    assert_eq!((&evening["stopped"], evening["pages"].as_array().map(Vec::len)), (&true.into(), Some(61)));
    assert!(evening["findings"].as_array().expect("findings").iter().any(|one| one["code"] == "search-stopped"));
    let (peak, ceiling) = (evening["air"]["fullness_peak"].as_f64(), evening["air"]["ceiling"].as_f64());
    assert!(peak.expect("a peak") <= ceiling.expect("a ceiling") * 1.001, "{peak:?} {ceiling:?}");
}

/// A can of one's own that empties faster than its kind is known for fills the air faster: an evening has to know it.
#[test]
fn what_was_measured_of_a_can_of_ones_own_counts_in_an_evening() {
    let evening = "rack = 2\nstart = \"14:00\"\n[[page]]\nfile = \"heron.toml\"\nsealer = \"can.toml\"\n";
    let bench = bench(evening);
    bench.write("can.toml", CAN.replace("left = \"5 g\"", "left = \"300 g\""));
    let answer = |arguments: &[&str]| -> serde_json::Value {
        let mut command = bench.command();
        command.timeout(Duration::from_secs(300)).env("COATBELL_CONFIG", bench.path("kept")).args(arguments);
        let output = command.output().expect("the binary runs");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}"))
    };
    let evening = || answer(&["batch", "evening.toml", "--room", "room.toml", "--effort", "quick", "--json"]);
    let at_the_face = |evening: &serde_json::Value| evening["air"]["index_15min"].as_f64().expect("an index");
    let before = at_the_face(&evening());
    let weighed =
        ["measure", "can", "--sealer", "can.toml", "--before", "300 g", "--after", "260 g", "--seconds", "20"];
    let kept = answer(&[&weighed[..], &["--insist", "--json"]].concat());
    assert!(kept["errors"].is_null(), "{kept}");
    let after = at_the_face(&evening());
    assert!(after > 1.05 * before, "{after} beside {before}");
}
