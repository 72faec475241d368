//! `measure`: what is kept and shown, and what is refused or asked about.

use super::{CAN, CARD, CONE, Desk, measure};

const THUMB: [&str; 9] =
    ["page.toml", "--room", "room.toml", "--coat", "2", "--sprayed", "13:10:00", "--touched", "13:13:30"];

#[test]
fn a_can_is_measured_from_the_first_weighing_to_the_thumb() {
    let desk = Desk::new();
    let mut all = desk.says(&["measure", "show"]);
    all += &desk.says(&measure("can", &CAN));
    all += &desk.says(&measure("cone", &CONE));
    all += &desk.says(&measure("transfer", &CARD));
    all += &desk.says(&measure("drying", &THUMB));
    insta::assert_snapshot!(all);
    let shelf = ["measure", "can", "--sealer", "shelf.toml", "--before", "280.5 g", "--after", "271.3 g"];
    let both = [&shelf[..], &["--seconds", "10", "--scale", "0.1 g"]].concat();
    assert!(desk.says(&both).contains("[exit 0]"));
    insta::assert_snapshot!(desk.says(&["measure", "show"]));
    insta::assert_snapshot!(desk.says_on(40, &["measure", "show"]));
    let shown = desk.json(&["measure", "show"]);
    assert_eq!(shown["cans"].as_array().map(Vec::len), Some(2));
    assert_eq!(shown["cans"][1]["sealer"], "acrylic-gloss:shelf");
    assert_eq!(shown["cans"][0]["known"].as_array().map(Vec::len), Some(4));
    // A plan says what was measured and that it was.
    let plan = desk.plan();
    assert!(plan["coats"][1]["touch_dry_modelled_min"]["p50"].is_number());
    insta::assert_snapshot!(desk.says_on(40, &["measure", "undo", "--sealer", "acrylic-gloss"]));
    assert_eq!(
        desk.json(&["measure", "show", "--sealer", "acrylic-gloss"])["measurements"].as_array().map(Vec::len),
        Some(3)
    );
    assert!(desk.plan()["coats"][1].get("touch_dry_modelled_min").is_none());
}

#[test]
fn readings_that_cannot_be_are_refused_with_what_would_do() {
    let desk = Desk::new();
    let can = |before, after, seconds, scale| {
        measure("can", &["--before", before, "--after", after, "--seconds", seconds, "--scale", scale])
    };
    let thumb = |coat, sprayed, touched| {
        measure("drying", &["page.toml", "--coat", coat, "--sprayed", sprayed, "--touched", touched])
    };
    let card = |card, before, after| {
        let swept = ["--swept", "45 cm x 35 cm", "--seconds", "8", "--distance", "20 cm"];
        [measure("transfer", &["--card", card, "--before", before, "--after", after]), swept.to_vec()].concat()
    };
    let cases = [
        ("heavier-after", 1, can("303 g", "312 g", "10", "1 g")),
        ("no-time", 1, can("312 g", "303 g", "0", "1 g")),
        ("not-seconds", 2, can("312 g", "303 g", "5000", "1 g")),
        ("scale-too-coarse", 1, can("310 g", "310 g", "3", "10 g")),
        ("scale-too-coarse", 1, can("310 g", "300 g", "3", "10 g")),
        ("far-from-expected", 1, can("312 g", "290 g", "10", "1 g")),
        ("not-a-quantity", 2, can("312", "303 g", "10", "1 g")),
        ("no-size", 1, measure("cone", &["--distance", "0 cm", "--width", "13 cm"])),
        ("not-a-cone", 1, measure("cone", &["--distance", "30 cm", "--width", "2 m"])),
        ("spot-too-small", 1, measure("cone", &["--distance", "30 cm", "--width", "2 cm"])),
        ("lighter-after", 1, card("A4", "15.60 g", "15.50 g")),
        ("card-beyond-passes", 1, card("A2", "15.60 g", "15.80 g")),
        ("far-from-expected", 1, card("A4", "15.60 g", "15.92 g")),
        ("far-from-expected", 1, card("A4", "15.60 g", "15.66 g")),
        ("dry-before-sprayed", 1, thumb("2", "13:10", "13:05")),
        ("clock-too-coarse", 1, thumb("1", "13:10", "13:11")),
        ("clock-too-coarse", 1, thumb("2", "13:10", "13:10")),
        ("no-such-coat", 2, thumb("7", "13:10", "13:18")),
        ("not-a-time", 2, thumb("2", "13:10", "soonish")),
        ("far-from-expected", 1, thumb("2", "11:10", "13:18")),
        ("nothing-to-undo", 1, measure("undo", &[])),
        ("unknown-run", 2, vec!["measure", "drying", "--run", "1", "--touched", "13:11"]),
        ("unknown-run", 2, vec!["measure", "drying", "--run", "now", "--touched", "13:11"]),
    ];
    let mut said = String::new();
    for (code, exit, arguments) in cases {
        assert_eq!(desk.refused(&arguments), (code.to_owned(), exit), "{arguments:?}");
        said += &desk.says(&arguments);
    }
    insta::assert_snapshot!(said);
    let not_modelled = ["measure", "drying", "page.toml", "--sealer", "water-clear", "--sprayed", "13:10", "--touched"];
    assert_eq!(desk.refused(&[&not_modelled[..], &["13:40"]].concat()), ("not-modelled".to_owned(), 1));
    assert_eq!(
        desk.says(&["measure", "show"]).lines().nth(3),
        Some("Nothing was measured of any can yet: `coatbell measure can` begins with a")
    );
}

#[test]
fn a_card_that_kept_more_than_all_is_asked_about_and_counts_as_it_stands_when_insisted_on() {
    let desk = Desk::new();
    let card =
        ["--card", "A4", "--swept", "45 cm x 35 cm", "--before", "15.60 g", "--after", "15.92 g", "--seconds", "8"];
    let asked = [measure("transfer", &card), vec!["--distance", "20 cm"]].concat();
    let said = desk.says(&asked);
    assert!(said.contains("[exit 1]") && said.contains("would explain it:"), "{said}");
    let kept = desk.json(&[asked, vec!["--insist"]].concat());
    let share = kept["measurements"][0]["share_at_15cm"].as_f64().expect("a share");
    assert!(share > 1.0 && kept["measurements"][0]["insisted"] == true, "{kept}");
    // What a plan takes is a share all the same.
    assert!(kept["known"][0]["now"]["p50"].as_f64().expect("a share") < 0.8, "{kept}");
    // A reading nobody needs to ask about is not marked as insisted on.
    let plain = desk.json(&[measure("can", &CAN), vec!["--insist"]].concat());
    assert!(plain["measurements"][1].get("insisted").is_none(), "{plain}");
}

#[test]
fn damaged_measurements_are_pointed_at() {
    let desk = Desk::new();
    assert!(desk.says(&measure("can", &CAN)).contains("[exit 0]"));
    let path = desk.bench.path("kept/cans/acrylic-gloss.toml");
    let text = std::fs::read_to_string(&path).expect("the file of the can");
    std::fs::write(&path, text.replace("rate_g_s = 0.9", "rate_g_s = -0.9")).expect("it can be written");
    insta::assert_snapshot!(desk.says(&["measure", "show"]));
    assert_eq!(desk.refused(&["plan", "page.toml"]), ("bad-measurements".to_owned(), 3));
}
