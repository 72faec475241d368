//! `coatbell safety` as a person meets it: the bathroom, the garden, the reference page, the notes, wrong input.

use super::harness::{Bench, PAGE};
use crate::support::flat;

/// A can with two fifths and more acetone and few slow solvents, its section 3 complete; invented figures.
const ACETONE_RICH: &str = "extends = \"acrylic-gloss\"\nname = \"acetone-rich can\"\ncomposition_complete = true\n\
     [composition]\nacetone = \"45 %\"\nresin = \"10 %\"\n\"n-butyl acetate\" = \"8 %\"\npropane = \"20 %\"\nbutane = \"17 %\"\n";

const SPARE_ROOM: &str =
    "size = \"3.4 m x 2.8 m x 2.4 m\"\ntemperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"window-open\"\n";

fn room(air: &str) -> String {
    format!("temperature = \"21 C\"\nhumidity = \"48 %\"\n{air}\n")
}

fn bench(air: &str) -> Bench {
    let bench = Bench::with("room.toml", room(air));
    bench.write("can.toml", ACETONE_RICH);
    bench.write("page.toml", PAGE);
    bench
}

const FOUR_COATS: [&str; 11] =
    ["safety", "--sealer", "can.toml", "--room", "room.toml", "--amount", "8 g", "--coats", "4", "--every", "15 min"];

fn json(bench: &Bench, arguments: &[&str]) -> (i32, serde_json::Value) {
    let output = bench.command().args(arguments).arg("--json").output().expect("the binary runs");
    (output.status.code().expect("a code"), serde_json::from_slice(&output.stdout).expect("one JSON document"))
}

#[test]
fn a_shut_bathroom_holds_and_the_garden_does_not() {
    // Common practice, no source: four coats in a shut bathroom are not safe for anyone; outdoors in a light breeze they
    // are.
    let (code, bathroom) = json(&bench("volume = \"6 m3\"\nairflow = \"closed\""), &FOUR_COATS);
    assert_eq!((code, bathroom["verdict"].as_str()), (4, Some("hold")), "{bathroom:#}");
    let (code, garden) = json(&bench("airflow = \"outdoors\"\nwind = \"1 m/s\""), &FOUR_COATS);
    assert_eq!(code, 0);
    assert!(["go", "care"].contains(&garden["verdict"].as_str().unwrap()), "{garden:#}");
    for document in [&bathroom, &garden] {
        assert_eq!(document["schema"], "coatbell.safety/1");
        assert_eq!(document["coats"].as_array().unwrap().len(), 4);
        let released: f64 =
            document["air"]["solvents"].as_array().unwrap().iter().map(|row| row["released_g"].as_f64().unwrap()).sum();
        // Four times 8 g, less the resin that stays on the sheet and the mist of it.
        assert!((released - 0.9 * 32.0).abs() < 0.05 * 32.0, "{released}");
        assert!(document["air"]["series"].as_array().unwrap().len() > 50);
    }
    assert!(bathroom["answer"].as_str().unwrap().starts_with("Do not spray this here"));
}

#[test]
fn a_page_says_when_to_leave_and_who_may_return_when() {
    let bench = bench("");
    bench.write("room.toml", SPARE_ROOM);
    let (code, document) = json(&bench, &["safety", "page.toml", "--room", "room.toml"]);
    assert_eq!(code, 0, "{document:#}");
    assert!(["go", "care"].contains(&document["verdict"].as_str().unwrap()));
    for time in ["return_masked_min", "clear_unmasked_min", "clear_others_min"] {
        assert!(document["air"][time].is_u64(), "{time}");
    }
    let text = bench.transcript(&["safety", "page.toml", "--room", "room.toml"]);
    for words in ["Leave the room as soon as a coat is on", "without a mask", "children, pregnancy", "Keep the sheet"] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn the_air_of_a_page_is_that_of_its_plan() {
    let bench = bench("");
    bench.write("room.toml", SPARE_ROOM);
    let (_, safety) = json(&bench, &["safety", "page.toml", "--room", "room.toml", "--sealer", "can.toml"]);
    let (_, plan) = json(&bench, &["plan", "page.toml", "--room", "room.toml", "--sealer", "can.toml"]);
    assert!(plan["air"].is_object());
    assert_eq!(safety["air"], plan["air"]);
}

#[test]
fn what_the_plan_warns_of_in_the_air_the_review_warns_of_too() {
    // A cupboard: after a coat it does not clear within a day, so no second one can follow.
    let bench = bench("volume = \"1 m3\"\nairflow = \"closed\"");
    let words = ["page.toml", "--room", "room.toml", "--sealer", "acrylic-gloss"];
    for command in ["plan", "safety"] {
        let (_, document) = json(&bench, &[&[command][..], &words].concat());
        let findings = document["findings"].as_array().expect("findings");
        assert!(findings.iter().any(|found| found["code"] == "air-not-today"), "{command}: {findings:?}");
    }
}

#[test]
fn bathroom_in_words() {
    insta::assert_snapshot!(bench("volume = \"6 m3\"\nairflow = \"closed\"").transcript(&FOUR_COATS));
}

#[test]
fn garden_in_short() {
    let mut arguments = FOUR_COATS.to_vec();
    arguments.push("-q");
    insta::assert_snapshot!(bench("airflow = \"outdoors\"\nwind = \"1 m/s\"").transcript(&arguments));
}

#[test]
fn a_better_mask_counts_and_holds_no_propellant() {
    let bench = bench("volume = \"20 m3\"\nairflow = \"window-open\"");
    let mut arguments = FOUR_COATS.to_vec();
    arguments.extend(["--mask", "full-apr"]);
    let (_, half) = json(&bench, &FOUR_COATS);
    let (_, full) = json(&bench, &arguments);
    // 29 CFR 1910.134(d)(3)(i)(A), table 1.
    assert_eq!(half["air"]["respirator"]["protection_factor"], 10.0);
    assert_eq!(full["air"]["respirator"]["protection_factor"], 50.0);
    assert_eq!(half["air"]["index_unmasked_only"], full["air"]["index_unmasked_only"]);
    let minutes = |document: &serde_json::Value| document["air"]["return_masked_min"].as_u64().unwrap();
    assert!(minutes(&full) <= minutes(&half));
}

#[test]
fn a_weaker_mask_is_said_to_be_one() {
    let bench = bench("volume = \"20 m3\"\nairflow = \"cross-draught\"");
    let weaker = |mask: &[&str]| {
        let (_, document) = json(&bench, &[&FOUR_COATS[..], mask].concat());
        let found = document["findings"].as_array().expect("findings").iter();
        let levels: Vec<String> = found
            .filter(|finding| finding["code"] == "mask-too-weak")
            .map(|finding| finding["level"].as_str().unwrap_or_default().to_owned())
            .collect();
        (levels, document["air"]["respirator"]["protection_factor"].as_f64())
    };
    assert_eq!(weaker(&["--mask", "quarter-apr"]), (vec!["care".to_owned()], Some(10.0)));
    assert_eq!(weaker(&["--mask", "sar-demand-half"]), (vec![], Some(10.0)));
    assert_eq!(weaker(&[]), (vec![], Some(10.0)));
}

#[test]
fn coats_that_begin_before_anyone_may_be_back_are_told() {
    let told = |air: &str, every: &str| {
        let bench = bench(air);
        let arguments: Vec<&str> =
            FOUR_COATS.iter().map(|word| if *word == "15 min" { every } else { *word }).collect();
        let (_, document) = json(&bench, &arguments);
        let found = document["findings"].as_array().expect("findings").iter();
        let text = |finding: &serde_json::Value| finding["text"].as_str().unwrap_or_default().to_owned();
        found.filter(|finding| finding["code"] == "coats-before-return").map(text).collect::<Vec<_>>()
    };
    // Never back before five minutes, whatever the air.
    let early = told("airflow = \"outdoors\"", "2 min");
    assert!(early.len() == 1 && early[0].ends_with("may be back only after 5 min"), "{early:?}");
    assert_eq!(told("airflow = \"outdoors\"", "15 min"), [""; 0]);
    let shut = told("volume = \"6 m3\"\nairflow = \"closed\"", "15 min");
    assert_eq!(shut.len(), 1, "{shut:?}");
}

#[test]
fn the_notes_stand_whole_on_a_narrow_screen() {
    let bench = Bench::new();
    for width in ["40", "80"] {
        let output = bench.command().env("COLUMNS", width).args(["safety", "--notes"]).output().expect("it runs");
        let text = String::from_utf8(output.stdout).expect("UTF-8");
        let widest = text.lines().map(|line| line.chars().count()).max().unwrap();
        assert!(widest <= width.parse().unwrap(), "{widest} of {width}");
        let joined = flat(&text);
        for caution in coatbell::caution::IN_FULL {
            assert!(joined.contains(caution), "{width}: {caution}");
        }
        assert!(joined.contains("29 CFR 1910.1000(d)(2)(i)"));
    }
}

#[test]
fn wrong_rooms_are_refused_at_their_place() {
    let mut said = String::new();
    for air in [
        "volume = \"0 m3\"\nairflow = \"closed\"",
        "volume = \"20 m3\"\nfan = \"-900 m3/h\"",
        "volume = \"20 m3\"\nairflow = \"window-open\"\nwind = \"2 m/s\"",
        "volume = \"20 m3\"\nfan = \"2000 m3/h\"\nsealed = true\nwindow = { area = \"0.02 m2\", height = \"0.2 m\" }",
        "volume = \"20 m3\"\nairflow = \"closed\"\nwindow = { area = \"0.5 m2\", height = \"1 m\" }",
    ] {
        said += &bench(air).transcript(&FOUR_COATS);
    }
    insta::assert_snapshot!(said);
}

#[test]
fn a_fan_counts_only_for_what_its_opening_passes() {
    let air = |fan: &str| {
        format!(
            "volume = \"20 m3\"\nfan = \"{fan}\"\nsealed = true\nwindow = {{ area = \"0.02 m2\", height = \"0.2 m\" }}"
        )
    };
    let (_, large) = json(&bench(&air("400 m3/h")), &FOUR_COATS);
    let (_, huge) = json(&bench(&air("480 m3/h")), &FOUR_COATS);
    let moved = |document: &serde_json::Value| document["air"]["ventilation"]["m3_h"].as_f64().expect("a flow");
    // 0.02 m² × 2.5 m/s × 3600 s/h, by hand; half of the ratings would be 200 and 240.
    assert_eq!((moved(&large), moved(&huge)), (180.0, 180.0));
    let codes: Vec<&str> =
        large["findings"].as_array().unwrap().iter().map(|finding| finding["code"].as_str().unwrap()).collect();
    assert!(codes.contains(&"fan-beats-opening"), "{codes:?}");
}

#[test]
fn wrong_amounts_are_refused_with_the_cure() {
    let bench = bench("volume = \"20 m3\"\nairflow = \"window-open\"");
    let mut said = String::new();
    for rest in [
        &["--amount", "8"][..],
        &["--amount", "0 g"],
        &["--amount", "3 kg"],
        &["--amount", "8 g", "--coats", "0"],
        &["--amount", "8 g", "--coats", "4"],
        &["--amount", "8 g", "--coats", "4", "--every", "15"],
        &["--amount", "8 g", "--coats", "4", "--every", "0 min"],
        &["--amount", "8 g", "--mask", "scarf"],
        &["page.toml", "--amount", "8 g"],
        &[],
    ] {
        let mut arguments = vec!["safety", "--sealer", "can.toml", "--room", "room.toml"];
        arguments.extend(rest);
        said += &bench.transcript(&arguments);
    }
    said += &bench.transcript(&["safety", "--amount", "8 g"]);
    insta::assert_snapshot!(said);
}
