//! What a person measures: ranges that shrink and hold the truth, and no milder warning by it.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::finding::Level;
use coatbell::input::read_page;
use coatbell::page::Sheet;
use coatbell::plan::{Plan, Request, SEED, make};
use coatbell::record::history::{Heard, Mishap, Outcome, PastRun, Rating, heard};
use coatbell::record::{
    CanRecord, CanWeighing, ConeReading, LogNormal, Measurement, Reading, read_can, read_cone, tune,
};
use coatbell::solve::fresh_share_under;
use coatbell::spray::{Samples, Setting, Spray};
use coatbell::vapour::MoistAir;

use crate::support::say;

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
    CanRecord { measurements: measurements.collect(), ..CanRecord::new(&sealer.id) }
}

fn seen(held: bool, wet_um: f64, over_mist: bool) -> Reading {
    Reading::Scrap { medium: "watercolour".to_owned(), wet_um, held, over_mist, run: None, note: None }
}

fn plan(sealer: &Sealer, catalog: &Catalog) -> Plan {
    plan_of("medium = \"watercolour\"\ncover = \"40 %\"\n", sealer, catalog)
}

fn plan_of(layer: &str, sealer: &Sealer, catalog: &Catalog) -> Plan {
    plan_on("cardstock", layer, sealer, catalog)
}

fn plan_on(paper: &str, layer: &str, sealer: &Sealer, catalog: &Catalog) -> Plan {
    let text =
        format!("title = \"t\"\nsize = \"A4\"\npaper = \"{paper}\"\nfinished = \"10 days ago\"\n[[layer]]\n{layer}");
    let now: jiff::ZonedDateTime = "2026-11-28T14:00:00[UTC]".parse().unwrap();
    let source = coatbell::diagnostic::SourceText::new("t.toml", text.as_str());
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
    let tuned = tune(sealer, &record(sealer, vec![reading]), &catalog.model);
    let mut real = sealer.clone();
    let exactly = coatbell::estimate::Triple::exact(truth);
    real.can.discharge_g_s = Some(exactly);
    real.discharge_g_s = exactly;
    // What the strong can lays as the mist of a plan, 85 places in 100 staying under it.
    let mist_of = |planned: &Plan| {
        let coat = &planned.coats[0];
        let (distance_cm, speed_cm_s, step_cm) = (coat.distance_cm, coat.pass_speed_cm_s, coat.step_over_cm);
        let setting = Setting { distance_cm, speed_cm_s, step_cm };
        let spray = Spray::new(&real, &UNKNOWN, &catalog);
        let samples = Samples::new(&spray, 4096, 77);
        let mut film = samples.film(&samples.at(distance_cm), &setting, 0);
        film.wet_um.sort_by(f64::total_cmp);
        let share = fresh_share_under(&real, &UNKNOWN, &catalog, &setting, coat.cap_um, 77);
        (coat.cap_um, share, film.wet_um[4096 * 85 / 100])
    };
    let (cap_um, share, wet_um) = mist_of(&plan(sealer, &catalog));
    let (tuned_cap_um, tuned_share, tuned_wet_um) = mist_of(&plan(&tuned, &catalog));
    say(&format!(
        "a can of {truth:.2} g/s under a cap of {cap_um:.1} µm: untuned {:.0} % under it, 85 of 100 under {wet_um:.1} µm; \
         tuned {:.0} %, {tuned_wet_um:.1} µm",
        100.0 * share,
        100.0 * tuned_share
    ));
    assert_eq!(cap_um, tuned_cap_um, "the cap is the page's, not the can's");
    assert!(share < 0.6 && wet_um > 1.1 * cap_um, "untuned {share}, {wet_um} µm");
    assert!(tuned_share >= 0.78 && tuned_wet_um <= 1.04 * cap_um, "tuned {tuned_share}, {tuned_wet_um} µm");
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
            readings.push(seen(true, 30.0, false));
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
        plan(&tune(sealer, &record(sealer, vec![seen(held, wet_um, false)]), &catalog.model), &catalog).coats[0].cap_um
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

/// A past run of the plan on the test's page, all coats on.
fn past(plan: &Plan) -> PastRun {
    let mut run = PastRun::of(plan, "one", "2026-11-20T14:00:00+00:00");
    for number in 1..=run.coats.len() {
        run.sprayed(number, "2026-11-20T14:10:00+00:00", None);
    }
    run
}

fn rated(outcome: Outcome) -> Rating {
    let at = "2026-11-21T09:00:00+00:00".to_owned();
    Rating { run: "one".to_owned(), at, outcomes: vec![outcome], media: Vec::new(), note: None }
}

#[test]
fn good_pages_raise_a_cap_step_by_step_and_never_past_what_is_known() {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers["acrylic-gloss"];
    let page = |tuned: &Sealer| plan_of("medium = \"alcohol-marker\"\ncover = \"40 %\"\n", tuned, &catalog);
    let mut known = CanRecord::new(&sealer.id);
    let mut caps = vec![page(sealer).coats[0].cap_um];
    for evening in 0..20 {
        let mut run = past(&page(&tune(sealer, &known, &catalog.model)));
        run.id = format!("evening {evening}");
        let Heard::Held(readings) = heard(&run, &rated(Outcome::Good), |_| true) else { panic!("it held") };
        known.hear(&run.id, "2026-11-21", readings);
        caps.push(page(&tune(sealer, &known, &catalog.model)).coats[0].cap_um);
    }
    let most = catalog.media["alcohol-marker"].first_coat_um.high().min(15.0);
    assert!(caps[1] > caps[0], "{caps:?}");
    assert!(caps.windows(2).all(|pair| pair[1] >= pair[0] && pair[1] <= 1.25 * pair[0]), "{caps:?}");
    assert!(caps[20] <= most && caps[20] > 0.99 * most, "{caps:?} {most}");
    // One that bled then counts more than all that held.
    let mut run = past(&page(&tune(sealer, &known, &catalog.model)));
    let Heard::Failed(readings) = heard(&run, &rated(Outcome::Bled), |_| true) else { panic!("it bled") };
    let film = run.coats[0].wet_film_um.p50;
    known.hear(&run.id, "2026-11-22", readings);
    let lowered = page(&tune(sealer, &known, &catalog.model)).coats[0].cap_um;
    assert!((lowered - catalog.rules.coats.after_bleed_share.get() * film).abs() < 1e-9, "{lowered} {film}");
    // The last word counts: said to be good after all, it is taken back.
    known.hear(&run.id, "2026-11-23", Vec::new());
    assert!(page(&tune(sealer, &known, &catalog.model)).coats[0].cap_um > 0.99 * most);
    // A page on which something went wrong raises nothing, nor does one with a coat left out.
    run.mishaps.push(Mishap { at: String::new(), what: "bled".to_owned(), coat: Some(2), note: None });
    assert_eq!(heard(&run, &rated(Outcome::Good), |_| true), Heard::NotSure);
    run.mishaps.clear();
    run.complete = false;
    assert_eq!(heard(&run, &rated(Outcome::Good), |_| true), Heard::NotSure);
}

#[test]
fn heavy_layers_and_hard_paper_keep_their_own_limits() {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers["acrylic-gloss"];
    let held = Reading::Scrap {
        medium: "wax-pencil".to_owned(),
        wet_um: 100.0,
        held: true,
        over_mist: false,
        run: None,
        note: None,
    };
    let tuned = tune(sealer, &record(sealer, vec![held]), &catalog.model);
    let figures = catalog.media["wax-pencil"].first_coat_um;
    let heavy = plan_of("medium = \"wax-pencil\"\ncover = \"20 %\"\nlaydown = \"heavy\"\n", &tuned, &catalog);
    assert!(heavy.coats[0].cap_um <= figures.mode(), "{}", heavy.coats[0].cap_um);
    let text = "medium = \"wax-pencil\"\ncover = \"20 %\"\n";
    let on_film = plan_on("synthetic", text, &tuned, &catalog).coats[0].cap_um;
    assert!(on_film <= catalog.rules.coats.non_absorbing_factor.get() * figures.high() + 1e-9, "{on_film}");
}

#[test]
fn a_build_that_bled_makes_builds_thinner_and_leaves_the_mist() {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers["acrylic-gloss"];
    let before = plan(sealer, &catalog);
    let after = plan(&tune(sealer, &record(sealer, vec![seen(false, 22.0, true)]), &catalog.model), &catalog);
    let limit = catalog.rules.coats.after_bleed_share.get() * 22.0;
    assert_eq!(before.coats[0].cap_um, after.coats[0].cap_um);
    assert!(after.coats[1].cap_um <= limit && before.coats[1].cap_um > limit);
    assert!(after.coats[1].limited_by.contains("bled"), "{}", after.coats[1].limited_by);
    assert!(after.coats[1].wet_film_um.p50 < before.coats[1].wet_film_um.p50);
    // The run says after which coat: so does what is learnt.
    let mut run = past(&before);
    run.mishaps.push(Mishap { at: String::new(), what: "bled".to_owned(), coat: Some(2), note: None });
    let Heard::Failed(readings) = heard(&run, &rated(Outcome::Bled), |_| true) else { panic!("it bled") };
    assert!(matches!(readings[..], [Reading::Scrap { over_mist: true, held: false, .. }]), "{readings:?}");
}

#[test]
fn after_each_measurement_another_is_worth_making_until_none_is() {
    let catalog = Catalog::builtin();
    for id in ["acrylic-gloss", "acrylic-spirit", "final-fixative", "ketone-varnish", "water-clear"] {
        let sealer = &catalog.sealers[id];
        let mut known = CanRecord::new(id);
        let mut named: Vec<String> = Vec::new();
        while let Some(next) = plan(&tune(sealer, &known, &catalog.model), &catalog).narrow_most {
            assert!(!named.contains(&next.measurement), "{id}: {} comes twice in {named:?}", next.measurement);
            let reading = match &*next.measurement {
                "the can's rate" => weighed(sealer, sealer.discharge_at_22c_g_s().mode(), &catalog),
                "when a coat is touch-dry" => Reading::Drying {
                    of: "t, coat 2".to_owned(),
                    minutes: 6.0,
                    modelled_p10_min: 2.5,
                    modelled_p50_min: 5.0,
                    modelled_p90_min: 10.0,
                    relative_sd: 0.2,
                },
                "how much of the spray stays on a sheet" => Reading::Transfer {
                    gained_g: 0.2,
                    seconds: 8.0,
                    distance_cm: 20.0,
                    rate_g_s: 0.9,
                    share_at_15cm: 0.7,
                    relative_sd: 0.14,
                    solids_sd: 0.12,
                },
                "whether your media hold under this can" => seen(true, 6.0, false),
                other => panic!("{other}"),
            };
            named.push(next.measurement);
            let at = "2026-11-28T14:00:00Z".to_owned();
            known.measurements.push(Measurement { at, insisted: false, reading });
        }
        say(&format!("{id}: {}, then none", named.join(", ")));
        assert!(named.len() >= 2, "{id}: {named:?}");
    }
}
