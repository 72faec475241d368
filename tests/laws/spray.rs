//! Laws of the spray: mass is kept, nearer is never thinner, more sensitive is never wetter.

use coatbell::catalog::Catalog;
use coatbell::input::Laydown;
use coatbell::page::Sheet;
use coatbell::solve::{CoatKind, first_coat_cap, fresh_share_under, plan_coats};
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
        humidity in 0.2..=1.0_f64,
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
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn the_same_seed_gives_the_same_coats(seed: u64) {
        let sealer = &CATALOG.sealers["acrylic-satin"];
        let page = sheet(LOADED, &CATALOG);
        let once = plan_coats(&page, sealer, &ordinary_air(), &CATALOG, seed);
        let again = plan_coats(&page, sealer, &ordinary_air(), &CATALOG, seed);
        prop_assert_eq!(format!("{:?}", once.coats), format!("{:?}", again.coats));
        prop_assert_eq!(once.findings, again.findings);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_setting_is_one_a_hand_can_keep(
        id in sealers(),
        medium in proptest::sample::select(CATALOG.media.keys().cloned().collect::<Vec<_>>()),
        paper in proptest::sample::select(CATALOG.papers.keys().cloned().collect::<Vec<_>>()),
        laydown in proptest::sample::select(vec!["light", "normal", "heavy"]),
        cover in 1..100_u32,
        temperature_c in 5.0..35.0_f64,
        humidity in 0.2..=1.0_f64,
        label in proptest::option::of((0.05..0.6_f64, 0.0..0.2_f64)),
        seed: u64,
    ) {
        let text = format!(
            "title = \"x\"\nsize = \"A5\"\npaper = \"{paper}\"\nfinished = \"9 days ago\"\n[[layer]]\n\
             medium = \"{medium}\"\nlaydown = \"{laydown}\"\ncover = \"{cover} %\"\n"
        );
        let page = sheet(&text, &CATALOG);
        let mut sealer = CATALOG.sealers[id].clone();
        sealer.label.distance_m = label.map(|(low, width)| (low, low + width));
        let air = MoistAir { temperature_c, relative_humidity: humidity, pressure_pa: 101_325.0 };
        let plan = plan_coats(&page, &sealer, &air, &CATALOG, seed);
        let over_cap = plan.findings.iter().any(|finding| finding.code == "first-coat-over-cap");
        let over_limit = plan.findings.iter().any(|finding| finding.code == "build-over-limit");
        let first = &plan.coats[0];
        prop_assert!(first.setting.distance_cm >= 30.0);
        for coat in &plan.coats {
            let (setting, mist) = (coat.setting, coat.kind == CoatKind::Mist);
            let sigma_cm = coat.pattern_width_cm / 4.0;
            let steps = if mist { 1.5..=2.5 } else { 1.75..=2.25 };
            prop_assert!(steps.contains(&(setting.step_cm / sigma_cm)) || setting.step_cm <= 0.5 + 1.75 * sigma_cm);
            prop_assert!((30.0..=60.0).contains(&setting.speed_cm_s), "{setting:?}");
            prop_assert!(setting.speed_cm_s.fract() == 0.0 && (2.0 * setting.step_cm).fract() == 0.0);
            prop_assert!(mist || (15.0..=first.setting.distance_cm).contains(&setting.distance_cm));
            prop_assert!(setting.speed_cm_s <= first.setting.speed_cm_s);
            let (aimed_pct, said) = if mist { (85.0, over_cap) } else { (80.0, over_limit) };
            prop_assert!(said || coat.under_cap_pct >= aimed_pct, "{}", coat.under_cap_pct);
            prop_assert!(mist || coat.wet_um.p50 <= 22.0 + 1e-9 || over_limit);
            prop_assert!(coat.wet_um.p10.is_finite() && coat.dry_um.p90 >= coat.dry_um.p10);
            if mist && !over_cap {
                let share = fresh_share_under(&sealer, &air, &CATALOG, &setting, coat.cap_um, seed ^ 0xF00D);
                prop_assert!(share >= 0.78, "{share}");
            }
        }
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
