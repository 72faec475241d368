//! Drying films against what is known of them.

use coatbell::catalog::Catalog;
use coatbell::estimate::Triple;
use coatbell::film::{
    Drier, DryMargins, FilmConstants, Landed, LandedPart, SampledBench, SheetThermal, blush_index, reference_build,
    sampled_drying,
};
use coatbell::vapour::MoistAir;

fn landed<'c>(catalog: &'c Catalog, liquids: &[(&str, f64)], solids_g_m2: f64) -> Landed<'c> {
    let part = |&(id, mass_g_m2): &(&str, f64)| LandedPart { substance: &catalog.substances[id], mass_g_m2 };
    Landed {
        parts: liquids.iter().map(part).collect(),
        solids_g_m2,
        solids_density_kg_m3: 1150.0,
        resin_tg_k: 318.0,
        dry_share: 0.0,
    }
}

/// A sheet of 200 g/m² on a table.
const SHEET: SheetThermal = SheetThermal { heat_capacity_j_m2_k: 260.0, back_w_m2_k: 5.0 };

fn air(temperature_c: f64, relative_humidity: f64) -> MoistAir {
    MoistAir { temperature_c, relative_humidity, pressure_pa: 101_325.0 }
}

/// Acetone, butyl acetate and glycol-ether acetate as they land from an ordinary clear at 18 cm, per gram of solids.
const ORDINARY: [(&str, f64); 3] = [("acetone", 2.70), ("n-butyl-acetate", 1.5), ("pm-acetate", 0.5)];

#[test]
fn a_lacquer_of_twelve_microns_on_steel_keeps_its_specification() {
    // US federal specification A-A-713 (aerosol lacquer): set to touch within 15 min, no lifting when recoated at 2 h,
    // for a film of 12.5 µm (D1640 test films) on steel panels of 0.8 mm.
    let catalog = Catalog::builtin();
    let solids = 12.5 * 1.15;
    let coat = landed(&catalog, &ORDINARY.map(|(id, share)| (id, share * solids)), solids);
    let figures = &catalog.model.film;
    let steel = SheetThermal { heat_capacity_j_m2_k: 0.46 * 7850.0 * 0.8, back_w_m2_k: 10.0 };
    let margins = DryMargins::of(&catalog.rules);
    let bench = SampledBench {
        sheet: steel,
        air: air(23.0, 0.5),
        figures,
        gas_film: figures.gas_film_m_s.value,
        margins: &margins,
        blush_floor_g_m2: 3.0,
    };
    let sampled = sampled_drying(&bench, 64, 1, |_| (coat.clone(), 0.0));
    assert!(sampled.touch_min.p50 <= 15.0, "{:?}", sampled.touch_min);
    assert!(sampled.handle_min.p50 <= 120.0, "{:?}", sampled.handle_min);
    assert!(sampled.touch_min.p50 > 3.0, "a lacquer is not dry at once: {:?}", sampled.touch_min);
}

#[test]
fn a_mist_dries_in_a_minute_or_two_and_a_build_in_a_few() {
    // Common practice, no source: a mist looks dry within a few minutes, a build within five to ten. The narrower bands
    // are those of a solution of the same equations beside the model (as `reference::film` has for fifty others), so that a
    // change of the physics shows here too.
    let catalog = Catalog::builtin();
    let margins = DryMargins::of(&catalog.rules);
    let constants = FilmConstants::at_mode(&catalog.model.film, Triple::exact(1.4e-3));
    let drier = Drier { sheet: SHEET, air: air(22.0, 0.45), constants, margins: &margins };
    let mist = landed(&catalog, &[("acetone", 3.4), ("n-butyl-acetate", 2.7), ("pm-acetate", 0.9)], 1.8);
    let build = landed(&catalog, &[("acetone", 11.32), ("n-butyl-acetate", 6.3), ("pm-acetate", 2.1)], 4.2);
    for (coat, below, touch, handle, coldest) in
        [(&mist, 0.0, (1.1, 1.6), (1.4, 1.9), 15.9), (&build, 1.6, (2.8, 3.6), (3.6, 4.5), 10.9)]
    {
        let times = drier.times(coat, below);
        let minutes = |seconds: Option<f64>| seconds.expect("it dries") / 60.0;
        assert!((touch.0..touch.1).contains(&minutes(times.touch_s)), "{times:?}");
        assert!((handle.0..handle.1).contains(&minutes(times.handle_s)), "{times:?}");
        assert!((times.coldest_film_c - coldest).abs() < 0.4, "{times:?}");
    }
}

/// Blush index of the reference build of a liquid, at the mode.
fn blush(catalog: &Catalog, liquids: &[(&str, f64)], air: MoistAir, sheet: SheetThermal) -> f64 {
    let margins = DryMargins::of(&catalog.rules);
    let constants = FilmConstants::at_mode(&catalog.model.film, catalog.model.film.gas_film_m_s.value);
    let coat = reference_build(&landed(catalog, liquids, 1.0), &catalog.rules);
    let times = Drier { sheet, air, constants, margins: &margins }.times(&coat, 1.5);
    blush_index(times.peak_condensed_g_m2, coat.solids_g_m2, catalog.rules.conditions.blush_solids_floor_g_m2.get())
}

/// A low-aromatic gloss as it lands at 17 cm, per gram of resin.
const GLOSS: [(&str, f64); 5] =
    [("acetone", 2.84), ("n-butyl-acetate", 0.95), ("pm-acetate", 0.42), ("toluene", 0.105), ("xylene", 0.105)];

#[test]
fn an_ordinary_gloss_blushes_from_about_sixty_five_per_cent() {
    // Common practice, no source: spray lacquers up to 60 to 65 % relative humidity.
    let catalog = Catalog::builtin();
    let conditions = &catalog.rules.conditions;
    assert!(blush(&catalog, &GLOSS, air(21.0, 0.50), SHEET) < conditions.blush_note.get());
    assert!(blush(&catalog, &GLOSS, air(21.0, 0.60), SHEET) < conditions.blush_care.get());
    assert!(blush(&catalog, &GLOSS, air(21.0, 0.65), SHEET) > conditions.blush_care.get());
    assert!(blush(&catalog, &GLOSS, air(21.0, 0.70), SHEET) > conditions.blush_hold.get());
}

#[test]
fn an_acetone_rich_can_blushes_in_a_damp_cool_room() {
    // Common practice, no source: ketone-rich sprays want dry, warm air.
    let catalog = Catalog::builtin();
    let conditions = &catalog.rules.conditions;
    let rich = [("acetone", 5.6), ("n-butyl-acetate", 0.56)];
    assert!(blush(&catalog, &rich, air(16.0, 0.74), SHEET) > conditions.blush_hold.get());
    assert!(blush(&catalog, &rich, air(21.0, 0.48), SHEET) < conditions.blush_hold.get());
}
