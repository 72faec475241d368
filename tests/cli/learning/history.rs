//! `history`: past runs, how they turned out, and what their can learns from that.

use coatbell::estimate::Quantiles;
use coatbell::record::history::{Entry, Mishap, PastCoat, PastRun};

use super::Desk;

fn coat(number: usize, wet_um: f64) -> PastCoat {
    let range = |middle: f64| Quantiles { p10: 0.7 * middle, p50: middle, p90: 1.4 * middle };
    PastCoat {
        number,
        kind: if number == 1 { "mist" } else { "build" }.to_owned(),
        distance_cm: if number == 1 { 32.0 } else { 20.0 },
        pass_speed_cm_s: 50.0,
        step_over_cm: 8.0,
        wet_film_um: range(wet_um),
        touch_dry_min: Some(range(if number == 1 { 0.9 } else { 2.4 })),
        touch_dry_modelled_min: None,
        sealer_g: 5.0,
        planned_at: Some(format!("2026-11-27T18:{number}0:00+00:00")),
        sprayed_at: None,
        note: None,
    }
}

/// A run of the desk's page a day ago, every coat on in time.
fn run(id: &str, day: u32) -> PastRun {
    let mut run = PastRun {
        id: id.to_owned(),
        started_at: format!("2026-11-{day}T18:00:00+00:00"),
        finished_at: format!("2026-11-{day}T19:40:00+00:00"),
        complete: false,
        title: "Heron".to_owned(),
        page_file: Some("page.toml".to_owned()),
        paper: "cardstock".to_owned(),
        media: vec!["watercolour".to_owned(), "wax-pencil".to_owned()],
        sealer: "acrylic-gloss".to_owned(),
        sealer_name: "low-aromatic acrylic gloss".to_owned(),
        room: Some("room.toml".to_owned()),
        temperature_c: 21.0,
        relative_humidity_pct: 48.0,
        coats: vec![coat(1, 6.0), coat(2, 22.0), coat(3, 22.0)],
        mishaps: Vec::new(),
        grams_used: 0.0,
    };
    for number in 1..=3 {
        let note = (number == 2).then(|| "2 min late".to_owned());
        run.sprayed(number, format!("2026-11-{day}T18:{number}0:20+00:00"), note);
    }
    run
}

fn desk(runs: &[PastRun]) -> Desk {
    let desk = Desk::new();
    std::fs::create_dir_all(desk.bench.path("state")).expect("a folder");
    let lines: Vec<String> = runs.iter().map(|run| Entry::Run(run.clone()).to_line() + "\n").collect();
    desk.bench.write("state/history.jsonl", lines.concat());
    desk
}

#[test]
fn runs_are_listed_shown_rated_and_exported() {
    let mut dripped = run("second", 27);
    dripped.mishaps.push(Mishap {
        at: "2026-11-27T18:24:00+00:00".to_owned(),
        what: "dripped".to_owned(),
        coat: Some(2),
        note: None,
    });
    let desk = desk(&[run("first", 26), dripped]);
    let mut all = desk.says(&["history"]);
    all += &desk.says(&["history", "show", "1"]);
    all += &desk.says(&["history", "rate", "1", "pooled", "--media", "wax-pencil", "--note", "at the left edge"]);
    all += &desk.says(&["history", "rate", "2", "good"]);
    all += &desk.says(&["history", "rate", "1", "good"]);
    all += &desk.says(&["history", "rate", "1", "bled"]);
    all += &desk.says(&["history", "rate", "1", "dusty"]);
    all += &desk.says(&["history", "list"]);
    insta::assert_snapshot!(all);
    let mut narrow = desk.says_on(40, &["history"]);
    narrow += &desk.says_on(40, &["history", "show", "1"]);
    narrow += &desk.says_on(40, &["history", "rate", "2", "good"]);
    insta::assert_snapshot!(narrow);
    insta::assert_snapshot!(desk.says_on(200, &["history", "export"]).replace(',', ", "));
    assert_eq!(desk.json(&["history", "export"])["runs"].as_array().map(Vec::len), Some(2));
    for (code, exit, arguments) in [
        ("unknown-run", 2, vec!["history", "show", "7"]),
        ("unknown-outcome", 2, vec!["history", "rate", "1", "purple"]),
        ("good-and-bad", 2, vec!["history", "rate", "1", "good", "bled"]),
        ("not-on-page", 2, vec!["history", "rate", "1", "bled", "--media", "gouache"]),
        ("unknown-medium", 2, vec!["history", "rate", "1", "bled", "--media", "watercolr"]),
    ] {
        assert_eq!(desk.refused(&arguments), (code.to_owned(), exit), "{arguments:?}");
    }
}

#[test]
fn an_outcome_changes_the_next_plan_and_the_last_word_counts() {
    let desk = desk(&[run("one", 27)]);
    let cap = || desk.plan()["coats"][0]["cap_um"].as_f64().expect("a cap");
    let before = cap();
    // The page held under a first coat of 6 µm: the next may be planned with half as much again, where that is more.
    let _ = desk.json(&["history", "rate", "1", "good"]);
    assert!((cap() - before.max(9.0)).abs() < 1e-9, "{before} {}", cap());
    let _ = desk.json(&["history", "rate", "1", "bled", "--media", "watercolour"]);
    assert!((cap() - 0.7 * 6.0).abs() < 1e-9, "{}", cap());
    // What was said first of the run is gone with it.
    assert_eq!(desk.json(&["measure", "show"])["cans"][0]["measurements"].as_array().map(Vec::len), Some(1));
    let _ = desk.json(&["history", "rate", "1", "dusty"]);
    assert_eq!(cap(), before);
}

#[test]
fn a_mishap_after_a_build_makes_builds_thinner() {
    let mut bled = run("one", 27);
    let at = "2026-11-27T18:24:00+00:00".to_owned();
    bled.mishaps.push(Mishap { at, what: "bled".to_owned(), coat: Some(2), note: None });
    let desk = desk(&[bled]);
    let before = desk.plan();
    let rated = desk.json(&["history", "rate", "1", "bled", "--media", "watercolour"]);
    assert!(rated["answer"].to_string().contains("builds"), "{rated}");
    let after = desk.plan();
    assert_eq!(after["coats"][0]["cap_um"], before["coats"][0]["cap_um"]);
    let limit = after["coats"][1]["cap_um"].as_f64().expect("a limit");
    assert!((limit - 0.7 * 22.0).abs() < 1e-9, "{limit}");
}

#[test]
fn a_coat_of_a_past_run_is_timed_by_the_thumb() {
    let desk = desk(&[run("one", 27)]);
    let thumb = |more: &[&'static str]| [&["measure", "drying", "--run", "1", "--touched"], more].concat();
    // The last coat before the touch; a clock alone is of the run's day.
    insta::assert_snapshot!(desk.says(&thumb(&["18:33:40"])));
    let kept = desk.json(&thumb(&["2026-11-27 18:23:00", "--coat", "2"]));
    let readings = kept["measurements"].as_array().expect("readings");
    assert_eq!(readings[0]["of"], "Heron, coat 3");
    assert_eq!(readings[1]["of"], "Heron, coat 2");
    assert!((readings[1]["minutes"].as_f64().expect("minutes") - 160.0 / 60.0).abs() < 1e-6);
    assert_eq!(readings[1]["modelled_p50_min"], 2.4);
    for (code, exit, arguments) in [
        ("dry-before-sprayed", 1, thumb(&["17:50:00"])),
        ("no-such-coat", 2, thumb(&["18:33:40", "--coat", "4"])),
        ("clock-too-coarse", 1, thumb(&["18:11", "--coat", "1"])),
        ("not-a-time", 2, thumb(&["late"])),
    ] {
        assert_eq!(desk.refused(&arguments), (code.to_owned(), exit), "{arguments:?}");
    }
}

#[test]
fn a_cell_that_a_spreadsheet_would_compute_is_kept_as_text() {
    let mut sly = run("one", 27);
    sly.title = "=HYPERLINK(\"x\")".to_owned();
    let desk = desk(&[sly]);
    let said = desk.says_on(200, &["history", "export"]);
    assert!(said.contains("'=HYPERLINK"), "{said}");
}
