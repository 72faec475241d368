//! `scrap`: the test to copy, and what came of it.

use super::Desk;
use crate::support::flat;

const RECORD: [&str; 6] = ["scrap", "record", "--sealer", "acrylic-gloss", "--medium", "watercolour"];

fn record<'w>(more: &[&'w str]) -> Vec<&'w str> {
    RECORD.iter().chain(more).copied().collect()
}

#[test]
fn the_test_fits_a_wide_and_a_narrow_screen() {
    let desk = Desk::new();
    let arguments = ["scrap", "page.toml", "--room", "room.toml", "--sealer", "acrylic-gloss"];
    insta::assert_snapshot!(desk.says(&arguments));
    insta::assert_snapshot!(desk.says_on(40, &arguments));
    let test = desk.json(&arguments);
    assert_eq!(test["zones"].as_array().map(Vec::len), Some(3));
    assert!(test["bars"][0]["medium"].is_string() && test["cautions"].as_array().is_some_and(|all| all.len() > 4));
    // An own can is typed as its file.
    let own = desk.says(&["scrap", "page.toml", "--sealer", "shelf.toml"]);
    assert!(flat(&own).contains("--sealer shelf.toml"), "{own}");
}

#[test]
fn a_first_coat_that_held_or_bled_changes_the_next_one() {
    let desk = Desk::new();
    let cap = || desk.plan()["coats"][0]["cap_um"].as_f64().expect("a cap");
    let build = || desk.plan()["coats"][1]["cap_um"].as_f64().expect("a limit");
    let (before, build_before) = (cap(), build());
    let held = format!("{:.1} um", before * 0.75);
    insta::assert_snapshot!(desk.says(&record(&["--film", "6.8 um", "--result", "held", "--note", "not a hair"])));
    let _ = desk.json(&record(&["--film", &held, "--result", "held"]));
    let wax = ["scrap", "record", "--sealer", "acrylic-gloss", "--medium", "wax-pencil", "--film", &held];
    let _ = desk.json(&[&wax[..], &["--result", "held"]].concat());
    let raised = cap();
    assert!(raised > before && raised < 1.25 * before, "{before} {raised}");
    assert_eq!(build(), build_before);
    let _ = desk.json(&record(&["--film", "22 um", "--zone", "build", "--result", "bled"]));
    assert!(build() < build_before && cap() == raised);
    insta::assert_snapshot!(desk.says_on(40, &record(&["--film", "22 um", "--zone", "full", "--result", "held"])));
    let _ = desk.json(&record(&["--film", "6 um", "--result", "bled"]));
    assert!((cap() - 0.7 * 6.0).abs() < 1e-9, "{}", cap());
    let limited = desk.plan()["coats"][0]["limited_by"].to_string();
    assert!(limited.contains("bled under this can"), "{limited}");
}

#[test]
fn what_a_scrap_cannot_say_is_refused() {
    let desk = Desk::new();
    let cases = [
        ("unknown-outcome", 2, record(&["--film", "6 um", "--result", "purple"])),
        ("no-effect", 1, record(&["--film", "6 um", "--result", "dull"])),
        ("no-film", 2, record(&["--film", "2 mm", "--result", "held"])),
        ("not-a-quantity", 2, record(&["--film", "6", "--result", "held"])),
        ("usage", 2, record(&["--film", "6 um", "--zone", "corner", "--result", "held"])),
    ];
    for (code, exit, arguments) in cases {
        let (got, ended) = desk.refused(&arguments);
        assert_eq!((&*got, ended), (code, exit), "{arguments:?}");
    }
}

#[test]
fn what_the_help_says_is_what_the_rules_say() {
    let coats = &crate::support::CATALOG.rules.coats;
    assert_eq!((coats.after_bleed_share.get(), coats.held_cap_factor.get()), (0.7, 1.5));
    let desk = Desk::new();
    for arguments in [["scrap", "record", "--help"], ["history", "rate", "--help"]] {
        let said = flat(&desk.says_on(200, &arguments));
        assert!(said.contains("at most 70 %") && said.contains("one and a half times"), "{said}");
    }
}
