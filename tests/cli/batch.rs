//! `coatbell batch --problem`: the document, and the errors of a file that cannot be scheduled.

use super::harness::Bench;

const SMALL: &str = r#"{"name": "two pages", "tick_s": 30, "rack_slots": 2, "initial_can": 0, "setup": [[0]],
"pauses": [], "session_end": null, "air": null, "pages": [
 {"id": 0, "release": 0, "final_dry": 20, "coats": [{"p": 4, "can": 0, "lag_min": 10, "lag_max": null}, {"p": 5, "can": 0}]},
 {"id": 1, "release": 0, "final_dry": 20, "coats": [{"p": 6, "can": 0, "lag_min": 4, "lag_max": 8}, {"p": 3, "can": 0}]}]}"#;

/// Runs `batch` on a problem and reads the JSON it prints.
fn answer(problem: &str, more: &[&str]) -> (i32, serde_json::Value) {
    let bench = Bench::with("bench.json", problem);
    let output = bench
        .command()
        .args(["batch", "--problem", "bench.json", "--effort", "quick", "--json"])
        .args(more)
        .output()
        .expect("the binary runs");
    let text = String::from_utf8_lossy(&output.stdout);
    let json = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}"));
    (output.status.code().expect("it ended by itself"), json)
}

#[test]
fn a_schedule_has_its_steps_its_bound_and_its_proof() {
    let (code, json) = answer(SMALL, &[]);
    assert_eq!(code, 0);
    assert_eq!(json["schema"], "coatbell.batch/1");
    assert_eq!(json["instance"], "two pages");
    assert_eq!(json["proved"], true);
    // By hand, in ticks of 30 s: page 0 from 0 to 4 and again from 14 on, page 1 from 4 to 10 and again from 14 to 18
    // on. So two second coats of 5 and 3 follow 14, whichever is first, and the last page dries for 20 after 22.
    assert_eq!((json["makespan_min"].as_f64(), json["lower_bound_min"].as_f64()), (Some(21.0), Some(21.0)));
    assert_eq!(json["gap_pct"], 0.0);
    assert_eq!(json["steps"].as_array().map(Vec::len), Some(4));
    assert_eq!(json["starts"].as_array().map(Vec::len), Some(2));
    assert_eq!(json["pages"][1]["fits"], true);
    assert_eq!(json["rack_peak"], 2);
    assert_eq!(json["air"], serde_json::Value::Null);
}

#[test]
fn the_same_problem_has_the_same_bytes() {
    assert_eq!(answer(SMALL, &[]), answer(SMALL, &[]));
}

#[test]
fn a_page_that_does_not_fit_is_named_and_the_rest_is_sprayed() {
    let short = SMALL.replace("\"session_end\": null", "\"session_end\": 17");
    let (code, json) = answer(&short, &[]);
    assert_eq!(code, 4);
    assert_eq!(json["verdict"], "hold");
    assert_eq!(json["findings"][0]["code"], "page-does-not-fit");
    let fitting = json["pages"].as_array().expect("pages").iter().filter(|page| page["fits"] == true).count();
    assert_eq!(fitting, 1);
    assert_eq!(answer(&short, &["--exit-zero"]).0, 0);
}

/// What is changed in the small problem, and the errors that must name it.
const BROKEN: [(&str, &str, &str, &str); 17] = [
    ("\"rack_slots\": 2", "\"rack_slots\": 0", "rack-empty", "rack_slots"),
    ("\"session_end\": null", "\"session_end\": -5", "session-ends-before-start", "session_end"),
    ("\"lag_max\": 8", "\"lag_max\": 3", "window-shorter-than-wait", "pages[1].coats[0]"),
    ("\"p\": 6", "\"p\": 0", "spray-out-of-range", "pages[1].coats[0]"),
    ("\"p\": 6, ", "", "missing-key", "pages[1].coats[0].p"),
    ("\"p\": 6", "\"p\": 6.5", "not-whole", "pages[1].coats[0].p"),
    ("\"lag_min\": 4, ", "", "missing-key", "pages[1].coats[0].lag_min"),
    ("\"can\": 0}]}]}", "\"can\": 3}]}]}", "unknown-can", "pages[1].coats[1]"),
    ("\"setup\": [[0]]", "\"setup\": [[0, 1]]", "setup-not-square", "setup"),
    ("\"pauses\": []", "\"pauses\": [[9, 4]]", "bad-break", "pauses[0]"),
    ("\"tick_s\": 30", "\"tick_s\": 0", "bad-tick", "tick_s"),
    ("\"tick_s\": 30", "\"tick_s\": 1e-323", "bad-tick", "tick_s"),
    ("\"tick_s\": 30", "\"tick_s\": 1e308", "bad-tick", "tick_s"),
    ("\"final_dry\"", "\"final_dri\"", "unknown-key", "pages[0].final_dri"),
    ("\"release\": 0", "\"release\": -1", "release-out-of-range", "pages[0]"),
    (
        "\"air\": null",
        "\"air\": {\"V\": 0, \"ach\": 3, \"k\": 0.2, \"ceiling\": 1, \"twa_limit\": 1}",
        "missing-key",
        "pages[0].coats[0].q",
    ),
    ("\"name\": \"two pages\",", "\"name\": \"two pages\"", "json-syntax", ""),
];

#[test]
fn every_fault_is_named_with_its_place_and_its_cure() {
    for (old, new, code, key) in BROKEN {
        assert!(SMALL.contains(old), "{old}");
        let (exit, json) = answer(&SMALL.replacen(old, new, 1), &[]);
        assert_eq!(exit, 3, "{code}");
        let errors = json["errors"].as_array().expect("errors");
        let named = errors.iter().find(|error| error["code"] == code && (key.is_empty() || error["key"] == key));
        let named = named.unwrap_or_else(|| panic!("{code} {key}: {json:#}"));
        assert!(named["line"].is_u64() && named["hint"].is_string(), "{code}: {named}");
    }
}

#[test]
fn all_faults_come_at_once() {
    let broken = SMALL.replace("\"rack_slots\": 2", "\"rack_slots\": 0").replace("\"lag_max\": 8", "\"lag_max\": 3");
    let (_, json) = answer(&broken, &[]);
    assert_eq!(json["errors"].as_array().map(Vec::len), Some(2));
}

#[test]
fn what_stands_there_and_is_wrong_is_not_missing_too() {
    let cases = [
        (
            "\"air\": null",
            "\"air\": {\"V\": \"20\", \"ach\": 3, \"k\": 0.2, \"ceiling\": 1, \"twa_limit\": 1}",
            1 + 2 * 4,
        ),
        ("\"p\": 6", "\"p\": \"6\"", 1),
        ("\"lag_min\": 4", "\"lag_min\": \"4\"", 1),
    ];
    for (old, new, count) in cases {
        let (_, json) = answer(&SMALL.replacen(old, new, 1), &[]);
        let codes: Vec<&str> =
            json["errors"].as_array().expect("errors").iter().filter_map(|error| error["code"].as_str()).collect();
        assert_eq!(codes.len(), count, "{new}: {codes:?}");
        assert_eq!(codes.iter().filter(|code| **code == "wrong-type").count(), 1, "{new}: {codes:?}");
    }
}

#[test]
fn more_than_may_be_breathed_is_a_hold() {
    let aired = |limit: &str| {
        let air = format!(
            "\"air\": {{\"V\": 20, \"ach\": 3, \"k\": 0.2, \"ceiling\": 1, \"twa_limit\": {limit}, \"presence\": \"all\"}}"
        );
        SMALL.replace("\"air\": null", &air).replace("\"can\": 0", "\"can\": 0, \"q\": 4, \"f\": 0.5")
    };
    let (code, json) = answer(&aired("1"), &[]);
    assert_eq!((code, &json["verdict"]), (0, &"go".into()));
    let breathed = json["air"]["index_8h"].as_f64().expect("what is breathed");
    assert!(breathed > 0.0, "{breathed}");
    let (code, json) = answer(&aired(&format!("{}", 0.5 * breathed)), &[]);
    assert_eq!((code, &json["verdict"]), (4, &"hold".into()));
    assert_eq!(json["findings"][0]["code"], "dose-over-limit");
}

#[test]
fn a_coat_that_alone_passes_the_ceiling_is_refused_before_any_search() {
    let aired = SMALL
        .replace(
            "\"air\": null",
            "\"air\": {\"V\": 20, \"ach\": 3, \"k\": 0.2, \"ceiling\": 1, \"twa_limit\": 1, \"presence\": \"ops\"}",
        )
        .replace("\"can\": 0", "\"can\": 0, \"q\": 4, \"f\": 0.5")
        .replacen("\"q\": 4", "\"q\": 60", 1);
    let (code, json) = answer(&aired, &[]);
    assert_eq!(code, 3);
    assert_eq!(json["errors"][0]["code"], "coat-over-ceiling");
    assert_eq!(json["errors"][0]["key"], "pages[0].coats[0]");
}

#[test]
fn a_hundred_thousand_pages_are_one_error() {
    let page = "{\"final_dry\":1,\"coats\":[{\"p\":1}]}";
    let many = format!("{{\"pages\":[{}]}}", vec![page; 20_000].join(","));
    let (code, json) = answer(&many, &[]);
    assert_eq!(code, 3);
    assert_eq!(json["errors"].as_array().map(Vec::len), Some(1));
    assert_eq!(json["errors"][0]["code"], "too-many-pages");
}

#[cfg(unix)]
#[test]
fn ctrl_c_hands_out_the_best_so_far() {
    // Twenty pages under everything at once keep `thorough` busy for much longer than this waits.
    let problem = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/batch/F_full_20.json"));
    let bench = Bench::with("bench.json", problem.expect("the problem is there"));
    let mut command = bench.process(&["batch", "--problem", "bench.json", "--effort", "thorough", "--json"]);
    let child = command.stdout(std::process::Stdio::piped()).spawn().expect("the binary runs");
    std::thread::sleep(std::time::Duration::from_secs(2));
    let sent = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(sent.expect("kill is there").success());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(0), "it ends by itself");
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("one document");
    assert_eq!(json["stopped"], true);
    assert!(json["findings"].as_array().unwrap().iter().any(|finding| finding["code"] == "search-stopped"));
    let (makespan, bound) = (json["makespan_min"].as_f64().unwrap(), json["lower_bound_min"].as_f64().unwrap());
    assert!(makespan >= bound && bound > 0.0);
}
