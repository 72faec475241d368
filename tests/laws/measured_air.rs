//! No measurement and no outcome makes a warning milder: random cans, pages, rooms, readings and outcomes.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::diagnostic::SourceText;
use coatbell::estimate::Quantiles;
use coatbell::finding::Level;
use coatbell::input::{RoomInput, read_sealer};
use coatbell::page::Sheet;
use coatbell::plan::{Plan, make};
use coatbell::record::history::{Mishap, Outcome, PastRun, Rating, heard};
use coatbell::record::{CanRecord, Measurement, Reading, tune};

use std::fmt::Write;

use crate::support::{CATALOG, Numbers, level_of, now, page, request, room, say};

/// What is about the film on the page and not about a person or about what must never be sprayed: a measured can is
/// sprayed at other settings, and a warning that they miss their aim may go.
const OF_THE_FILM: [&str; 6] =
    ["blush", "dry-spray", "dry-mist", "first-coat-over-cap", "build-over-limit", "finish-out-of-reach"];

fn cases() -> usize {
    let many = std::env::var("PROPTEST_CASES").ok().and_then(|count| count.parse().ok());
    many.unwrap_or(60)
}

fn uniform(numbers: &mut Numbers, low: f64, high: f64) -> f64 {
    low + (high - low) * (numbers.next() >> 11) as f64 / (1_u64 << 53) as f64
}

fn reading(numbers: &mut Numbers, sealer: &Sealer) -> Reading {
    let relative_sd = uniform(numbers, 0.01, 0.25);
    let times = libm::exp(uniform(numbers, -1.5, 1.5));
    match numbers.below(5) {
        0 | 1 => Reading::Can {
            before_g: 300.0,
            after_g: 290.0,
            seconds: 10.0,
            scale_g: 1.0,
            temperature_c: 22.0,
            rate_g_s: times * sealer.discharge_at_22c_g_s().mode(),
            relative_sd,
        },
        2 => Reading::Cone { distance_cm: 30.0, width_cm: 13.0, half_angle_deg: 12.0 * libm::sqrt(times), relative_sd },
        3 => Reading::Transfer {
            gained_g: 0.2,
            seconds: 8.0,
            distance_cm: 20.0,
            rate_g_s: 0.9,
            share_at_15cm: 0.7 * times,
            relative_sd,
            solids_sd: 0.15,
        },
        _ => Reading::Drying {
            of: "a page, coat 2".to_owned(),
            minutes: 5.0 * times,
            modelled_p10_min: 2.5,
            modelled_p50_min: 5.0,
            modelled_p90_min: 10.0,
            relative_sd,
        },
    }
}

/// A past run of the plan with an outcome, and something that went wrong on the way in one of three.
fn outcome(numbers: &mut Numbers, plan: &Plan, catalog: &Catalog) -> Vec<Reading> {
    let mut run = PastRun::of(plan, "a run", "2026-11-20T14:00:00+00:00");
    let factor = libm::exp(uniform(numbers, -1.0, 1.0));
    for coat in &mut run.coats {
        let Quantiles { p10, p50, p90 } = coat.wet_film_um;
        coat.wet_film_um = Quantiles { p10: factor * p10, p50: factor * p50, p90: factor * p90 };
    }
    for number in 1..=run.coats.len() {
        run.sprayed(number, "2026-11-20T14:10:00+00:00", None);
    }
    if numbers.chance(33) {
        let coat = Some(1 + numbers.below(3));
        run.mishaps.push(Mishap { at: run.started_at.clone(), what: "bled".to_owned(), coat, note: None });
    }
    let rating = Rating {
        run: run.id.clone(),
        at: run.started_at.clone(),
        outcomes: vec![if numbers.chance(60) { Outcome::Good } else { Outcome::Bled }],
        media: Vec::new(),
        note: None,
    };
    heard(&run, &rating, |id| catalog.media.contains_key(id)).readings().to_vec()
}

fn scene(numbers: &mut Numbers) -> (String, RoomInput) {
    let media =
        ["watercolour", "alcohol-marker", "wax-pencil", "gouache", "gel-pen", "metallic-pen", "graphite", "toner"];
    let mut text = format!(
        "title = \"t\"\nsize = \"{}\"\npaper = \"{}\"\nfinished = \"20 days ago\"\n",
        numbers.one_of(&["A4", "A3", "A5"]),
        numbers.one_of(&["cardstock", "bristol-smooth", "mixed-media", "black-card"])
    );
    for _ in 0..=numbers.below(3) {
        let medium = numbers.one_of(&media);
        let _ = write!(text, "[[layer]]\nmedium = \"{medium}\"\ncover = \"{} %\"\n", numbers.from(5, 90));
    }
    let airflow = numbers.one_of(&["closed", "window-ajar", "window-open", "cross-draught"]);
    let keys = format!(
        "size = \"{} m x 3 m x 2.4 m\"\nairflow = \"{airflow}\"\ntemperature = \"{} C\"\nhumidity = \"{} %\"\n",
        numbers.from(2, 6),
        numbers.from(16, 28),
        numbers.from(35, 72)
    );
    (text, room(&keys))
}

fn planned(sheet: &Sheet<'_>, room: &RoomInput, sealer: &Sealer) -> Plan {
    make(&request(sheet, Some(sealer), room, &now()), &CATALOG)
}

#[test]
fn no_measurement_and_no_outcome_makes_a_warning_milder() {
    let (mut warned, mut with_outcomes) = (0, 0);
    for case in 0..cases() {
        let mut numbers = Numbers(0x5AFE ^ ((case as u64) << 16));
        let sealers = ["acrylic-gloss", "acrylic-gloss-aromatic", "acrylic-spirit", "acrylic-matte", "final-fixative"];
        let sealer = &CATALOG.sealers[numbers.one_of(&sealers)];
        let (text, room) = scene(&mut numbers);
        let (source, input) = page(&text);
        let sheet = Sheet::resolve(&input, &source, &CATALOG).expect("a page");
        let before = planned(&sheet, &room, sealer);
        let mut record = CanRecord::new(&sealer.id);
        for _ in 0..numbers.below(5) {
            let reading = reading(&mut numbers, sealer);
            record.measurements.push(Measurement { at: "2026-11-20".to_owned(), insisted: true, reading });
        }
        if numbers.chance(60) {
            record.hear("a run", "2026-11-20", outcome(&mut numbers, &before, &CATALOG));
            with_outcomes += 1;
        }
        let after = planned(&sheet, &room, &tune(sealer, &record, &CATALOG.model));
        for warning in before.findings.iter().filter(|one| one.level > Level::Note) {
            if OF_THE_FILM.contains(&warning.code) {
                continue;
            }
            let kept = level_of(&after.findings, warning.code);
            assert!(kept >= Some(warning.level), "case {case}, {}: {} is {kept:?}\n{text}", sealer.id, warning.code);
            warned += 1;
        }
    }
    assert!(warned > cases() && with_outcomes > cases() / 3, "{warned} warnings, {with_outcomes} with outcomes");
    say(&format!("{} measured cans, {with_outcomes} with an outcome: {warned} warnings, none milder", cases()));
}

/// The same of a rate that stands in the can's own file, weak or strong.
#[test]
fn a_rate_in_the_cans_file_makes_no_warning_milder() {
    let mut warned = 0;
    for case in 0..cases() / 2 {
        let mut numbers = Numbers(0xF11E ^ ((case as u64) << 16));
        let id = numbers.one_of(&["acrylic-gloss", "acrylic-gloss-aromatic", "acrylic-spirit", "acrylic-matte"]);
        let (text, room) = scene(&mut numbers);
        let (source, input) = page(&text);
        let sheet = Sheet::resolve(&input, &source, &CATALOG).expect("a page");
        let can = |more: &str| {
            let text = format!("extends = \"{id}\"\n[can]\nnet = \"400 g\"\n{more}");
            let input = read_sealer(&SourceText::new("can.toml", &text)).expect("a can");
            CATALOG.own_sealer(&input).expect("a can")
        };
        let rate = format!("discharge = \"{:.2} g/s\"\n", uniform(&mut numbers, 0.1, 2.0));
        let (before, after) = (planned(&sheet, &room, &can("")), planned(&sheet, &room, &can(&rate)));
        for warning in before.findings.iter().filter(|one| one.level > Level::Note) {
            if OF_THE_FILM.contains(&warning.code) {
                continue;
            }
            let kept = level_of(&after.findings, warning.code);
            assert!(kept >= Some(warning.level), "case {case}, {id}, {rate}: {} is {kept:?}\n{text}", warning.code);
            warned += 1;
        }
    }
    assert!(warned > cases() / 2, "{warned} warnings");
}
