//! Laws of the spray: mass is kept, nearer is never thinner, more sensitive is never wetter.

use coatbell::catalog::Catalog;
use coatbell::input::Laydown;
use coatbell::page::Sheet;
use coatbell::solve::{first_coat_cap, plan_coats};
use coatbell::spray::{Pattern, Samples, Setting, Spray, deposit};
use coatbell::vapour::MoistAir;
use proptest::prelude::*;
use std::sync::LazyLock;

use crate::pages::{LOADED, ordinary_air, sheet};

static CATALOG: LazyLock<Catalog> = LazyLock::new(Catalog::builtin);

fn sealers() -> impl Strategy<Value = &'static str> {
    let ids: Vec<&'static str> = CATALOG.sealers.keys().map(String::as_str).collect();
    proptest::sample::select(ids)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_left_the_can_is_somewhere(
        id in sealers(),
        distance_cm in 10.0..60.0_f64,
        speed_cm_s in 20.0..80.0_f64,
        step_cm in 2.0..12.0_f64,
        temperature_c in 10.0..35.0_f64,
        humidity in 0.2..0.9_f64,
        width_cm in 5.0..60.0_f64,
        height_cm in 5.0..60.0_f64,
        coat in 0..4_usize,
    ) {
        let air = MoistAir { temperature_c, relative_humidity: humidity, pressure_pa: 101_325.0 };
        let spray = Spray::new(&CATALOG.sealers[id], &air, &CATALOG);
        let plume = spray.at_mode(distance_cm / 100.0);
        let setting = Setting { distance_cm, speed_cm_s, step_cm };
        let pattern = Pattern::new(width_cm, height_cm, &setting, plume.sigma_m * 100.0, 2.0, coat);
        let coat = deposit(&spray, &plume, &setting, &pattern);
        let balance = &coat.balance;
        let sum = balance.on_page_g + balance.in_air_g + balance.on_surroundings_g;
        prop_assert!((sum - balance.left_can_g).abs() <= 1e-3 * balance.left_can_g);
        // The film on the page is the page's mass over its area, and every volatile gram is accounted for.
        let area_m2 = width_cm * height_cm / 1e4;
        let landed = coat.landed.parts.iter().map(|part| part.mass_g_m2).sum::<f64>() + coat.landed.solids_g_m2;
        prop_assert!((landed * area_m2 - balance.on_page_g).abs() <= 1e-3 * balance.on_page_g);
        let released: f64 = coat.released.iter().map(coatbell::spray::Released::total_g).sum();
        let volatile: f64 = spray.shares.volatiles.iter().sum();
        prop_assert!((released - volatile * balance.left_can_g).abs() <= 1e-3 * balance.left_can_g);
        let page: f64 = coat.released.iter().map(|part| part.page_g).sum::<f64>();
        prop_assert!(page <= balance.on_page_g && balance.on_page_g <= balance.left_can_g);
        // The outermost passes are centred at least one sigma outside, and the overrun is as wide as asked.
        prop_assert!(pattern.first_pass_offset_cm <= -plume.sigma_m * 100.0 + 1e-6);
        prop_assert!(pattern.overrun_cm >= 2.0 * plume.sigma_m * 100.0 + 2.0 - 1e-6);
    }

    #[test]
    fn nearer_is_never_thinner(id in sealers(), near_cm in 8.0..60.0_f64, further_cm in 0.0..30.0_f64, seed: u64) {
        let spray = Spray::new(&CATALOG.sealers[id], &ordinary_air(), &CATALOG);
        let samples = Samples::new(&spray, 64, seed);
        let (near, far) = (samples.at(near_cm), samples.at(near_cm + further_cm));
        for (near, far) in near.wet_um_m2_s.iter().zip(&far.wet_um_m2_s) {
            prop_assert!(near >= &(far * (1.0 - 1e-12)), "{} {}", near, far);
        }
    }

    #[test]
    fn a_layer_more_never_raises_the_cap(
        place in 0..8_usize,
        more_sensitive in 0.2..1.0_f64,
        cover in proptest::option::of(0.0..1.0_f64),
        wider in 0.0..1.0_f64,
        laydown in proptest::sample::select(vec![Laydown::Light, Laydown::Normal, Laydown::Heavy]),
    ) {
        let rules = &CATALOG.rules;
        let base = sheet(LOADED, &CATALOG);
        let cap = |change: &dyn Fn(&mut Sheet<'_>)| {
            let mut page = base.clone();
            page.layers[place].laydown = laydown;
            page.layers[place].cover = cover;
            change(&mut page);
            first_coat_cap(&page, rules).cap_um
        };
        let as_it_is = cap(&|_| ());
        prop_assert!(cap(&|page| page.layers[place].cover = cover.map(|cover| cover.max(wider))) <= as_it_is);
        prop_assert!(cap(&|page| page.layers[place].cover = None) <= as_it_is);
        prop_assert!(cap(&|page| page.layers[place].laydown = Laydown::Heavy) <= as_it_is);
        let mut sensitive = CATALOG.clone();
        for medium in sensitive.media.values_mut() {
            medium.first_coat_um = medium.first_coat_um.scaled(more_sensitive);
        }
        let mut page = sheet(LOADED, &sensitive);
        page.layers[place].laydown = laydown;
        page.layers[place].cover = cover;
        prop_assert!(first_coat_cap(&page, rules).cap_um <= as_it_is);
    }

    #[test]
    fn the_same_seed_gives_the_same_coats(seed: u64) {
        let sealer = &CATALOG.sealers["acrylic-satin"];
        let page = sheet(LOADED, &CATALOG);
        let once = plan_coats(&page, sealer, &ordinary_air(), &CATALOG, seed);
        let again = plan_coats(&page, sealer, &ordinary_air(), &CATALOG, seed);
        prop_assert_eq!(format!("{once:?}"), format!("{again:?}"));
    }
}

#[test]
fn a_masked_layer_sets_no_cap() {
    let mut page = sheet(LOADED, &CATALOG);
    assert_eq!(first_coat_cap(&page, &CATALOG.rules).cap_um, 10.0);
    for layer in &mut page.layers {
        layer.masked = matches!(layer.id(), "alcohol-marker" | "shimmer-pen");
    }
    assert_eq!(first_coat_cap(&page, &CATALOG.rules).cap_um, 12.0);
}
