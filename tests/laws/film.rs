//! Laws of the drying film.

use coatbell::catalog::{Catalog, Substance};
use coatbell::film::{Drier, DryMargins, Drying, DryingTimes, FilmConstants, Landed, LandedPart, SheetThermal};
use coatbell::vapour::MoistAir;
use proptest::prelude::*;
use std::sync::LazyLock;

static CATALOG: LazyLock<Catalog> = LazyLock::new(Catalog::builtin);
static MARGINS: LazyLock<DryMargins> = LazyLock::new(|| DryMargins::of(&CATALOG.rules));

/// Water last: it is only ever a small part.
const LIQUIDS: [&str; 9] = [
    "acetone",
    "ethyl-acetate",
    "ethanol",
    "toluene",
    "n-butyl-acetate",
    "xylene",
    "pm-acetate",
    "mineral-spirits",
    "water",
];

/// What the solver may be wrong by, relative, when two of its runs are compared.
const SOLVER: f64 = 0.01;

fn liquid(id: &str) -> &'static Substance {
    &CATALOG.substances[id]
}

fn landed(liquids: &[(usize, f64)], solids_g_m2: f64, factor: f64) -> Landed<'static> {
    let parts = liquids
        .iter()
        .map(|&(place, mass)| LandedPart { substance: liquid(LIQUIDS[place]), mass_g_m2: mass * factor })
        .collect();
    Landed { parts, solids_g_m2: solids_g_m2 * factor, solids_density_kg_m3: 1150.0, resin_tg_k: 318.0, dry_share: 0.0 }
}

fn drier(temperature_c: f64, relative_humidity: f64, gas_film_m_s: f64) -> Drier<'static> {
    let figures = &CATALOG.model.film;
    let constants = FilmConstants { gas_film_m_s, ..FilmConstants::at_mode(figures, figures.gas_film_m_s.value) };
    Drier {
        sheet: SheetThermal { heat_capacity_j_m2_k: 208.0, back_w_m2_k: 5.0 },
        air: MoistAir { temperature_c, relative_humidity, pressure_pa: 101_325.0 },
        constants,
        margins: &MARGINS,
    }
}

/// One to five liquids with their masses, g/m², and the solids.
fn deposit() -> impl Strategy<Value = (Vec<(usize, f64)>, f64)> {
    let liquids = proptest::sample::subsequence((0..8).collect::<Vec<usize>>(), 1..5);
    (liquids, proptest::collection::vec(0.3..8.0_f64, 5), 0.8..8.0_f64, 0.0..0.6_f64).prop_map(
        |(places, masses, solids, water)| {
            let mut parts: Vec<(usize, f64)> = places.into_iter().zip(masses).collect();
            if water > 0.3 {
                parts.push((8, water));
            }
            (parts, solids)
        },
    )
}

fn never_sooner(slow: DryingTimes, fast: DryingTimes) -> Result<(), TestCaseError> {
    for (slow, fast) in [(slow.touch_s, fast.touch_s), (slow.handle_s, fast.handle_s)] {
        let (slow, fast) = (slow.unwrap_or(f64::INFINITY), fast.unwrap_or(f64::INFINITY));
        prop_assert!(slow >= fast * (1.0 - SOLVER) - 0.05, "{slow} s, but {fast} s");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// The quick count of settled water is the full one: a film never cools below the dew point a second time.
    #[test]
    fn the_quick_count_of_water_is_the_full_one(
        (parts, solids) in deposit(),
        celsius in 15.0..35.0_f64,
        humidity in 0.3..0.95_f64,
        gas_film in 0.002..0.012_f64,
    ) {
        let drier = drier(celsius, humidity, gas_film);
        let film = landed(&parts, solids, 1.0);
        prop_assert_eq!(drier.condensed_g_m2(&film, 0.0), drier.times(&film, 0.0).peak_condensed_g_m2);
    }

    #[test]
    fn more_humid_is_never_sooner_and_never_less_blush(
        (liquids, solids) in deposit(), temperature in 10.0..32.0_f64, humidity in 0.2..0.7_f64,
        more in 0.02..0.25_f64, film in 0.7e-3..3.5e-3_f64, below in 0.0..10.0_f64,
    ) {
        let coat = landed(&liquids, solids, 1.0);
        let dry = drier(temperature, humidity, film).times(&coat, below);
        let humid = drier(temperature, humidity + more, film).times(&coat, below);
        never_sooner(humid, dry)?;
        prop_assert!(humid.peak_condensed_g_m2 >= dry.peak_condensed_g_m2 - 1e-9);
    }

    #[test]
    fn colder_is_never_sooner(
        (liquids, solids) in deposit(), temperature in 12.0..32.0_f64, humidity in 0.2..0.6_f64,
        colder in 0.5..8.0_f64, same_moisture in any::<bool>(), below in 0.0..10.0_f64,
    ) {
        let coat = landed(&liquids, solids, 1.0);
        let warm = drier(temperature, humidity, 1.5e-3);
        let mut cold = drier(temperature - colder, humidity, 1.5e-3);
        if same_moisture {
            cold.air = warm.air.at_temperature(temperature - colder);
        }
        never_sooner(cold.times(&coat, below), warm.times(&coat, below))?;
    }

    #[test]
    fn thicker_is_never_sooner(
        (liquids, solids) in deposit(), temperature in 12.0..32.0_f64, more in 1.05..3.0_f64,
        below in 0.0..10.0_f64, deeper in 0.0..10.0_f64,
    ) {
        let drier = drier(temperature, 0.45, 1.5e-3);
        let thin = drier.times(&landed(&liquids, solids, 1.0), below);
        never_sooner(drier.times(&landed(&liquids, solids, more), below), thin)?;
        never_sooner(drier.times(&landed(&liquids, solids, 1.0), below + deeper), thin)?;
    }

    #[test]
    fn what_landed_leaves_or_stays((liquids, solids) in deposit(), film in 0.7e-3..3.5e-3_f64) {
        let coat = landed(&liquids, solids, 1.0);
        let Drying { times, released } = drier(21.0, 0.5, film).dry(&coat, 2.0);
        prop_assert!(times.touch_s <= times.handle_s);
        // A trace of liquid in much resin is gone within two steps of the solver; anything more has a curve.
        let laid: f64 = coat.parts.iter().map(|part| part.mass_g_m2).sum();
        let fewest = if laid < 0.06 * solids { 3 } else { 4 };
        prop_assert!((fewest..=26).contains(&released.times_s.len()), "{} points", released.times_s.len());
        for (place, part) in coat.parts.iter().enumerate() {
            let mut before = 0.0;
            for &time in &released.times_s {
                let gone = released.released_g_m2(place, time);
                prop_assert!(gone >= before - 1e-9 && gone <= part.mass_g_m2 + 1e-9);
                before = gone;
            }
        }
    }
}
