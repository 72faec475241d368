//! Section 3 of a safety data sheet as a person types it: what is accepted, what is refused, and how. Whole output.

use super::harness::{Bench, PAGE};

const ROOM: &str =
    "size = \"3.4 m x 2.8 m x 2.4 m\"\ntemperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"cross-draught\"\n";

/// The short answer of a plan with a can of this composition, or its errors.
fn said_of(composition: &str) -> String {
    let bench = Bench::with("page.toml", PAGE);
    bench.write("room.toml", ROOM);
    bench.write("can.toml", format!("extends = \"acrylic-gloss\"\nname = \"my can\"\n{composition}"));
    bench.transcript(&["plan", "page.toml", "--room", "room.toml", "--sealer", "can.toml", "-q"])
}

/// The findings a plan has with a can of this composition: code and level.
fn findings_of(composition: &str) -> Vec<(String, String)> {
    findings_on(PAGE, composition)
}

/// The same on another page.
fn findings_on(page: &str, composition: &str) -> Vec<(String, String)> {
    let bench = Bench::with("page.toml", page);
    bench.write("room.toml", ROOM);
    bench.write("can.toml", format!("extends = \"acrylic-gloss\"\n{composition}"));
    let output = bench
        .command()
        .args(["plan", "page.toml", "--room", "room.toml", "--sealer", "can.toml", "--json"])
        .output()
        .expect("the binary runs");
    let plan: serde_json::Value = serde_json::from_slice(&output.stdout).expect("a plan as JSON");
    let text = |value: &serde_json::Value| value.as_str().unwrap_or_default().to_owned();
    let findings = plan["findings"].as_array().cloned().unwrap_or_default();
    findings.iter().map(|finding| (text(&finding["code"]), text(&finding["level"]))).collect()
}

#[test]
fn names_and_numbers_with_a_remainder() {
    insta::assert_snapshot!(said_of("[composition]\nacetone = \"30 % to 45 %\"\n\"123-86-4\" = \"< 10 %\"\n"));
}

#[test]
fn complete_as_it_stands() {
    insta::assert_snapshot!(said_of(
        "composition_complete = true\n[composition]\nacetone = \"45 %\"\nresin = \"10 %\"\n\"n-butyl acetate\" = \"10 %\"\n\
         propane = \"20 %\"\nbutane = \"15 %\"\n"
    ));
}

#[test]
fn an_unknown_number_is_accepted_with_care() {
    // A number with a right check digit that the catalog does not hold (acetylsalicylic acid).
    let findings = findings_of("[composition]\nacetone = \"30 %\"\n\"50-78-2\" = \"5 %\"\n");
    assert!(findings.iter().any(|(_, level)| level == "care"), "{findings:?}");
    insta::assert_snapshot!(said_of("[composition]\nacetone = \"30 %\"\n\"50-78-2\" = \"5 %\"\n"));
}

#[test]
fn an_unknown_number_is_taken_as_what_moves_the_page_most() {
    // The slowest liquid that is listed leaves markers alone; what nobody knows might be an alcohol.
    let levels = |composition: &str| {
        let page = PAGE.replace("watercolour", "alcohol-marker").replace("wax-pencil", "alcohol-marker");
        let findings = findings_on(&page, &format!("composition_complete = true\n[composition]\n{composition}"));
        findings.into_iter().filter(|(code, _)| code == "slow-solvent").map(|(_, level)| level).collect::<Vec<_>>()
    };
    let listed = "resin = \"10 %\"\nacetone = \"20 %\"\npropane = \"30 %\"\n";
    assert_eq!(levels(&format!("{listed}\"64742-47-8\" = \"40 %\"\n")), [""; 0]);
    assert_eq!(levels(&format!("{listed}\"64742-47-8\" = \"10 %\"\n\"50-78-2\" = \"30 %\"\n")), ["care"]);
}

#[test]
fn a_wrong_check_digit_is_refused() {
    insta::assert_snapshot!(said_of("[composition]\n\"67-64-2\" = \"30 %\"\n"));
}

#[test]
fn low_ends_over_the_whole_can_are_refused() {
    insta::assert_snapshot!(said_of("[composition]\nacetone = \"60 % to 70 %\"\n\"123-86-4\" = \"50 % to 55 %\"\n"));
}

#[test]
fn an_unknown_name_is_refused_with_a_suggestion() {
    insta::assert_snapshot!(said_of("[composition]\nacetoen = \"30 %\"\n"));
}

#[test]
fn a_range_that_runs_backwards_is_refused() {
    insta::assert_snapshot!(said_of("[composition]\nacetone = \"45 % to 30 %\"\n"));
}
