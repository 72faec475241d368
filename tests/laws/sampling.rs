//! Sampling is fine enough: more points change the figures of a plan by less than is stated.

use coatbell::estimate::Quantiles;
use coatbell::film::{DryMargins, SampledBench, SheetThermal, sampled_drying};
use coatbell::page::Sheet;
use coatbell::spray::{Samples, Setting, Spray};
use coatbell::vapour::MoistAir;

use crate::support::{CATALOG, REFERENCE_ROOM, now, page, plan, request, room};

const REFERENCE: &str = include_str!("../practice/pages/reference-page.toml");
const BOOK_MARKER: &str = include_str!("../practice/pages/s3-marker-book-page.toml");
const SEEDS: std::ops::Range<u64> = 1..21;
const AIR: MoistAir = MoistAir { temperature_c: 21.0, relative_humidity: 0.48, pressure_pa: 101_325.0 };

/// Means of the three points over the seeds.
fn mean(of: impl Fn(u64) -> Quantiles) -> [f64; 3] {
    let mut sums = [0.0; 3];
    for seed in SEEDS {
        let Quantiles { p10, p50, p90 } = of(seed);
        for (sum, value) in sums.iter_mut().zip([p10, p50, p90]) {
            *sum += value / 20.0;
        }
    }
    sums
}

fn close(few: [f64; 3], many: [f64; 3], share: f64) {
    for (a, b) in few.into_iter().zip(many) {
        assert!((a - b).abs() <= share * b, "{few:?} against {many:?}");
    }
}

/// The wet film of a mist and of a build, at 1,024 and at 4,096 points: within 2 %.
#[test]
fn film_at_a_thousand_points() {
    let spray = Spray::new(&CATALOG.sealers["acrylic-satin"], &AIR, &CATALOG);
    let mist = Setting { distance_cm: 30.0, speed_cm_s: 53.0, step_cm: 7.5 };
    let build = Setting { distance_cm: 20.0, speed_cm_s: 41.0, step_cm: 4.5 };
    for setting in [mist, build] {
        let film = |count: usize| {
            mean(|seed| {
                let samples = Samples::new(&spray, count, seed);
                samples.film(&samples.at(setting.distance_cm), &setting, 0).wet_quantiles()
            })
        };
        close(film(1024), film(4096), 0.02);
    }
}

/// Touch-dry and handle times of a mist and of a build, at 128 and at 512 points: within 6 %.
#[test]
fn times_at_a_hundred_points() {
    let (source, input) = page(REFERENCE);
    let sheet = Sheet::resolve(&input, &source, &CATALOG).expect("a page of the tests");
    let coats = coatbell::solve::plan_coats(&sheet, &CATALOG.sealers["acrylic-satin"], &AIR, &CATALOG, 1).coats;
    let margins = DryMargins::of(&CATALOG.rules);
    let bench = SampledBench {
        sheet: SheetThermal { heat_capacity_j_m2_k: 325.0, back_w_m2_k: 5.0 },
        air: AIR,
        figures: &CATALOG.model.film,
        gas_film: CATALOG.model.film.gas_film_m_s.value,
        margins: &margins,
        blush_floor_g_m2: CATALOG.rules.conditions.blush_solids_floor_g_m2.get(),
    };
    for (coat, below_um) in [(&coats[0], 0.0), (&coats[2], 4.5)] {
        let landed = &coat.deposit.landed;
        let dried = |count, seed| sampled_drying(&bench, count, seed, |_| (landed.clone(), below_um));
        close(mean(|seed| dried(128, seed).touch_min), mean(|seed| dried(512, seed).touch_min), 0.06);
        close(mean(|seed| dried(128, seed).handle_min), mean(|seed| dried(512, seed).handle_min), 0.06);
    }
}

/// The planned wait, rounded to 5 minutes, never moves by more than one step from one seed to another.
#[test]
fn waits_hold_still() {
    for (text, sealer) in [(REFERENCE, "acrylic-gloss"), (REFERENCE, "acrylic-spirit"), (BOOK_MARKER, "acrylic-gloss")]
    {
        let waits: Vec<Vec<u32>> = SEEDS.map(|seed| waits(text, sealer, seed)).collect();
        for coat in 0..waits[0].len() {
            let of_coat = || waits.iter().map(|of_seed| of_seed[coat]);
            let (low, high) = (of_coat().min().unwrap_or(0), of_coat().max().unwrap_or(0));
            assert!(high - low <= 5, "{sealer}, coat {}: {low} to {high} min", coat + 1);
        }
    }
}

fn waits(text: &str, sealer: &str, seed: u64) -> Vec<u32> {
    let (source, input) = page(text);
    let sheet = Sheet::resolve(&input, &source, &CATALOG).expect("a page of the tests");
    let room = room(REFERENCE_ROOM);
    let now = now();
    let request = coatbell::plan::Request { seed, ..request(&sheet, Some(&CATALOG.sealers[sealer]), &room, &now) };
    coatbell::plan::make(&request, &CATALOG).coats.iter().map(|coat| coat.wait_min).collect()
}

/// The same request gives the same bytes.
#[test]
fn same_plan_twice() {
    let bytes = || coatbell::report::plan_json(&plan(REFERENCE, REFERENCE_ROOM, None));
    assert_eq!(bytes(), bytes());
}
