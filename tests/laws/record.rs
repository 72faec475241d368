//! What a person measures: ranges that shrink and hold the truth, and no milder warning by it.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::finding::Level;
use coatbell::input::read_page;
use coatbell::page::Sheet;
use coatbell::plan::{Plan, Request, SEED, make};
use coatbell::record::{
    CanRecord, CanWeighing, ConeReading, LogNormal, Measurement, Reading, read_can, read_cone, tune,
};
use coatbell::solve::fresh_share_under;
use coatbell::spray::Setting;
use coatbell::vapour::MoistAir;

/// Findings of the review of the air.
const AIR_CODES: [&str; 13] = [
    "fire-at-face",
    "fire-in-room",
    "acute-at-face",
    "air-15min",
    "air-short-term",
    "air-8h",
    "mask-does-not-hold",
    "mask-not-enough",
    "hazard-share",
    "no-limit",
    "mist",
    "not-clear-today",
    "air-not-today",
];

fn weighed(sealer: &Sealer, rate: f64, catalog: &Catalog) -> Reading {
    let weighing = CanWeighing {
        before_g: 300.0,
        after_g: 300.0 - 10.0 * rate,
        seconds: 10.0,
        bursts: 1,
        scale_g: 1.0,
        temperature_c: 22.0,
        discharge_factor: 1.0,
    };
    read_can(&weighing, sealer, &catalog.model.measure).unwrap()
}

/// The air a plan takes where no room is named.
const UNKNOWN: MoistAir = MoistAir { temperature_c: 18.0, relative_humidity: 0.65, pressure_pa: 101_325.0 };

fn record(sealer: &Sealer, readings: Vec<Reading>) -> CanRecord {
    let measurements = readings.into_iter().map(|reading| Measurement {
        at: "2026-11-28T14:00:00Z".to_owned(),
        insisted: false,
        reading,
    });
    CanRecord { sealer: sealer.id.clone(), measurements: measurements.collect() }
}

fn plan(sealer: &Sealer, catalog: &Catalog) -> Plan {
    let text = "title = \"t\"\nsize = \"A4\"\npaper = \"cardstock\"\nfinished = \"10 days ago\"\n[[layer]]\nmedium = \
                \"watercolour\"\ncover = \"40 %\"\n";
    let now: jiff::ZonedDateTime = "2026-11-28T14:00:00[UTC]".parse().unwrap();
    let source = coatbell::diagnostic::SourceText::new("t.toml", text);
    let page = read_page(&source, &now).unwrap();
    let sheet = Sheet::resolve(&page, &source, catalog).unwrap();
    let request = Request {
        sheet: &sheet,
        sealer: Some(sealer),
        room: None,
        room_named: false,
        respirator: None,
        start: &now,
        now: &now,
        seed: SEED,
        why: false,
    };
    make(&request, catalog)
}

#[test]
fn a_strong_can_passes_the_cap_until_it_is_weighed() {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers["acrylic-gloss"];
    let truth = 1.4 * sealer.discharge_g_s.at(0.5);
    let reading = weighed(sealer, truth, &catalog);
    let tuned = tune(sealer, &record(sealer, vec![reading.clone(), reading]), &catalog.model);
    let mut real = sealer.clone();
    let exactly = coatbell::estimate::Triple::exact(truth);
    real.can.discharge_g_s = Some(exactly);
    real.discharge_g_s = exactly;
    let share_of = |planned: &Plan| {
        let coat = &planned.coats[0];
        let (distance_cm, speed_cm_s, step_cm) = (coat.distance_cm, coat.pass_speed_cm_s, coat.step_over_cm);
        fresh_share_under(&real, &UNKNOWN, &catalog, &Setting { distance_cm, speed_cm_s, step_cm }, coat.cap_um, 77)
    };
    let (untuned, tuned) = (share_of(&plan(sealer, &catalog)), share_of(&plan(&tuned, &catalog)));
    assert!(untuned < 0.78 && tuned >= 0.78, "untuned {untuned}, tuned {tuned}");
}

#[test]
fn no_measurement_makes_a_warning_about_the_air_milder() {
    let catalog = Catalog::builtin();
    let mut warned = 0;
    for id in ["acrylic-gloss", "acrylic-gloss-aromatic"] {
        let sealer = &catalog.sealers[id];
        let before = plan(sealer, &catalog);
        for factor in [0.5, 0.8, 1.3, 1.8] {
            let mut readings = vec![weighed(sealer, factor * 0.9, &catalog)];
            readings.push(Reading::Drying {
                of: "t".to_owned(),
                minutes: 10.0 / factor,
                modelled_p10_min: 5.0,
                modelled_p50_min: 10.0,
                modelled_p90_min: 20.0,
                relative_sd: 0.2,
            });
            let held = |wet_um| Reading::Scrap { medium: "watercolour".to_owned(), wet_um, held: true, note: None };
            readings.push(held(30.0));
            let after = plan(&tune(sealer, &record(sealer, readings), &catalog.model), &catalog);
            for warning in before.findings.iter().filter(|one| AIR_CODES.contains(&one.code)) {
                let level = after.findings.iter().filter(|one| one.code == warning.code).map(|one| one.level).max();
                let kept = level >= Some(warning.level) || warning.level <= Level::Note;
                assert!(kept, "{id} × {factor}: {} is {level:?}", warning.code);
                warned += usize::from(warning.level > Level::Note);
            }
        }
    }
    assert!(warned > 0, "a small closed room is warned of");
}

#[test]
fn a_medium_that_bled_gets_less_and_one_that_held_never_more_than_is_known() {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers["acrylic-gloss"];
    let cap = |held, wet_um| {
        let reading = Reading::Scrap { medium: "watercolour".to_owned(), wet_um, held, note: None };
        plan(&tune(sealer, &record(sealer, vec![reading]), &catalog.model), &catalog).coats[0].cap_um
    };
    let before = plan(sealer, &catalog).coats[0].cap_um;
    let lowered = cap(false, before);
    assert!(lowered < before, "{lowered} {before}");
    let most = catalog.media["watercolour"].first_coat_um.high().max(before);
    let (little, much) = (cap(true, before + 1.0), cap(true, 150.0));
    assert!(little >= before && much <= most.min(15.0), "{before} {little} {much} {most}");
}

#[test]
fn readings_that_cannot_be_are_refused_with_what_would_do() {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers["acrylic-gloss"];
    let good = CanWeighing {
        before_g: 300.0,
        after_g: 291.0,
        seconds: 10.0,
        bursts: 1,
        scale_g: 1.0,
        temperature_c: 22.0,
        discharge_factor: 1.0,
    };
    let code = |weighing: CanWeighing| read_can(&weighing, sealer, &catalog.model.measure).map_err(|wrong| wrong.code);
    assert!(code(good).is_ok());
    assert_eq!(code(CanWeighing { after_g: 301.0, ..good }), Err("heavier-after"));
    assert_eq!(code(CanWeighing { seconds: 0.0, ..good }), Err("no-time"));
    assert_eq!(code(CanWeighing { after_g: 297.0, seconds: 3.0, scale_g: 10.0, ..good }), Err("scale-too-coarse"));
    let cone = ConeReading { distance_cm: 30.0, width_cm: 200.0 };
    assert_eq!(read_cone(&cone, &catalog.model.measure).unwrap_err().code, "not-a-cone");
    // Normal distributions with known spread, by hand: equal precisions meet half-way.
    let half = LogNormal { mu: 0.0, sigma: 0.2 }.updated(libm::exp(0.4), 0.2);
    assert!((half.mu - 0.2).abs() < 1e-12 && (half.sigma - 0.2 / libm::sqrt(2.0)).abs() < 1e-12);
}

#[test]
fn the_file_of_a_can_is_read_back() {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers["acrylic-gloss"];
    let whole = record(sealer, vec![weighed(sealer, 0.9, &catalog)]);
    let text = whole.to_text(&coatbell::record::posteriors(&whole, sealer, &catalog.model));
    let back = CanRecord::read(&coatbell::diagnostic::SourceText::new("can.toml", text.as_str())).unwrap();
    assert_eq!(back, whole, "{text}");
}
