use super::check;
use crate::catalog::{Catalog, Trait};
use crate::estimate::{Basis, Grounds, Triple};

fn broken(change: impl FnOnce(&mut Catalog)) -> String {
    let mut catalog = Catalog::builtin();
    change(&mut catalog);
    check(&catalog).join("\n")
}

#[test]
fn the_built_in_catalog_is_sound() {
    assert_eq!(check(&Catalog::builtin()).join("\n"), "");
}

#[test]
fn a_gap_in_the_pair_table_is_found() {
    let found = broken(|catalog| {
        catalog.pairs.rows.remove(&("toner".to_owned(), "gel-pen".to_owned()));
    });
    assert_eq!(found, "pairs: gel-pen over toner has no row");
}

#[test]
fn a_name_with_two_owners_is_found() {
    let found = broken(|catalog| {
        catalog.media.get_mut("toner").unwrap().aliases.push("Gel Pens".to_owned());
    });
    assert!(found.contains("medium toner: `Gel Pens` means gel-pen, too"), "{found}");
    let found = broken(|catalog| {
        catalog.media.get_mut("toner").unwrap().aliases.push("varnish".to_owned());
    });
    assert_eq!(found, "sealer ketone-varnish: as a layer, `varnish` does not mean it");
}

#[test]
fn a_composition_that_cannot_add_up_is_found() {
    let found = broken(|catalog| {
        let sealer = catalog.sealers.get_mut("hair-spray").unwrap();
        sealer.composition.parts.retain(|part| part.share.high() < 0.5);
    });
    assert!(found.contains("sealer hair-spray: its parts reach only 49 %"), "{found}");
}

#[test]
fn pressures_and_limits_that_disagree_are_found() {
    let found = broken(|catalog| {
        let acetone = catalog.substances.get_mut("acetone").unwrap();
        acetone.vapour_pressure_25c_kpa *= 1.05;
        acetone.limits.lowest_twa_ppm = Some(300.0);
        acetone.lowest_lel_vol_pct = Some(2.6);
    });
    assert_eq!(found.lines().count(), 4, "{found}");
    assert!(found.contains("its Antoine coefficients give 30.779 kPa"), "{found}");
    assert!(found.contains("an 8-hour limit of 250 ppm is below the lowest, 300 ppm"), "{found}");
}

#[test]
fn traits_and_figures_go_together() {
    let found = broken(|catalog| {
        let pencil = catalog.media.get_mut("wax-pencil").unwrap();
        pencil.bloom = Triple::exact(0.0);
        pencil.traits.insert(Trait::WaterMedium);
    });
    // No bloom, no water load, and it would not dry as water does.
    assert_eq!(found.lines().count(), 3, "{found}");
}

#[test]
fn a_published_figure_needs_a_source() {
    let found = broken(|catalog| {
        let grounds = &mut catalog.papers.get_mut("toned").unwrap().grounds;
        grounds.own.insert("tooth_um".to_owned(), Grounds::plain(Basis::Published));
        catalog.rules.air.mixing_factor.grounds = Grounds::plain(Basis::Published);
    });
    assert_eq!(
        found,
        "paper toned: `tooth_um` is published but names no source\nrule air.mixing_factor is published but names no source"
    );
}
