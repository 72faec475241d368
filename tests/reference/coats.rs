//! The coats of the reference page, and how the film sampling holds against a fresh sample.

use coatbell::catalog::Catalog;
use coatbell::solve::{CoatKind, fresh_share_under, plan_coats};

use crate::pages::{BOOK, BURNISHED, DARK, LOADED, ordinary_air, sheet};

#[test]
fn the_reference_page_gets_a_mist_and_two_builds() {
    // The project's own acceptance line, derived from the worked chain of its coating model.
    let catalog = Catalog::builtin();
    let air = ordinary_air();
    for id in ["acrylic-gloss", "acrylic-satin"] {
        let sealer = &catalog.sealers[id];
        let plan = plan_coats(&sheet(LOADED, &catalog), sealer, &air, &catalog, 7);
        assert_eq!(plan.cap.cap_um, 10.0);
        assert_eq!(plan.coats.len(), 3);
        let mist = &plan.coats[0];
        assert!(mist.kind == CoatKind::Mist && mist.setting.distance_cm >= 30.0);
        assert!((6.5..=10.0).contains(&mist.wet_um.p50), "{id}: {:?}", mist.wet_um);
        assert!(mist.under_cap_pct >= 85.0);
        for build in &plan.coats[1..] {
            assert!((15.0..=20.0).contains(&build.setting.distance_cm));
            assert!((16.0..=28.0).contains(&build.wet_um.p50), "{id}: {:?}", build.wet_um);
        }
        assert!((12.0..=30.0).contains(&plan.total_g), "{}", plan.total_g);
        assert!((5.0..=10.0).contains(&plan.dry_total_um.p50), "{:?}", plan.dry_total_um);
    }
}

#[test]
fn a_fresh_sample_keeps_the_cap() {
    let catalog = Catalog::builtin();
    let air = ordinary_air();
    for page in [LOADED, BURNISHED, BOOK, DARK] {
        let sealer = &catalog.sealers["acrylic-gloss"];
        let plan = plan_coats(&sheet(page, &catalog), sealer, &air, &catalog, 7);
        let mist = &plan.coats[0];
        for seed in [11, 12, 13, 14, 15, 16] {
            let share = fresh_share_under(sealer, &air, &catalog, &mist.setting, mist.cap_um, seed);
            assert!((0.80..=0.92).contains(&share), "{share}");
        }
    }
}
