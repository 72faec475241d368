//! Where builds come from and how many there are: what the trade says of a sheet, held at its edge (common practice, no
//! source, except where a law is named).

use coatbell::catalog::{Catalog, Sealer};
use coatbell::estimate::Triple;
use coatbell::solve::{Cap, Structure, first_coat_cap, plan_coats, structure};
use coatbell::spray::raster_variation;

use crate::pages::{ordinary_air, sheet};
use crate::support::CATALOG;

fn page(paper: &str, medium: &str) -> String {
    format!("size = \"A5\"\npaper = \"{paper}\"\nfinished = \"60 days ago\"\n[[layer]]\nmedium = \"{medium}\"\n")
}

fn of(page: &str, sealer: &Sealer, cap_um: Option<f64>) -> Structure {
    let sheet = sheet(page, &CATALOG);
    let cap = first_coat_cap(&sheet, &CATALOG.rules);
    let cap = cap_um.map_or(cap.clone(), |cap_um| Cap { cap_um, ..cap });
    structure(&sheet, sealer, &cap, &CATALOG.rules)
}

fn sealer(id: &str) -> Sealer {
    CATALOG.sealers[id].clone()
}

fn near(structure: &Structure) -> (f64, f64) {
    (structure.build_band.near_cm, structure.build_band.far_cm)
}

/// Six to eight inches; ten where the paper lets liquid through or what lies on it bears less than 5 µm.
#[test]
fn builds_come_from_six_to_eight_inches_and_from_ten_where_little_is_borne() {
    let gloss = sealer("acrylic-gloss");
    let ordinary = of(&page("cardstock", "graphite"), &gloss, Some(5.0));
    assert!((ordinary.build_band.near_cm / 2.54 - 6.0).abs() < 0.2, "{ordinary:?}");
    assert!((ordinary.build_band.far_cm / 2.54 - 8.0).abs() < 0.2, "{ordinary:?}");
    for careful in
        [of(&page("colouring-book", "graphite"), &gloss, None), of(&page("cardstock", "graphite"), &gloss, Some(4.99))]
    {
        assert!((careful.build_band.near_cm / 2.54 - 10.0).abs() < 0.2, "{careful:?}");
    }
}

/// A label's distance is a range of which both ends belong to it.
#[test]
fn a_label_keeps_both_its_ends() {
    let with = |low_m: f64, high_m: f64| {
        let mut sealer = sealer("acrylic-gloss");
        sealer.label.distance_m = Some((low_m, high_m));
        of(&page("cardstock", "graphite"), &sealer, None)
    };
    assert_eq!(near(&with(0.10, 0.15)), (15.0, 15.0));
    assert_eq!(near(&with(0.10, 0.18)), (15.0, 18.0));
    assert_eq!(near(&with(0.15, 0.20)), (15.0, 20.0));
    assert_eq!(near(&with(0.20, 0.25)), (20.0, 25.0));
    // One that ends nearer than any build brings none nearer.
    assert_eq!(near(&with(0.08, 0.12)), (15.0, 20.0));
}

/// On dark stock a matte sealer, or metal, takes one build: every further one hazes. Nothing else does.
#[test]
fn dark_stock_takes_one_build_under_matte_or_over_metal() {
    for (medium, id, builds) in [
        ("graphite", "acrylic-matte", 1),
        ("graphite", "acrylic-satin", 2),
        ("metallic-pen", "acrylic-satin", 1),
        ("metallic-pen", "acrylic-gloss", 1),
    ] {
        assert_eq!(of(&page("black-card", medium), &sealer(id), None).builds, builds, "{medium} {id}");
    }
    assert_eq!(of(&page("cardstock", "graphite"), &sealer("acrylic-matte"), None).builds, 2);
}

/// Equal Gaussian strips two and a half standard deviations apart vary by 6.0 % (direct summation), where bands begin to
/// show; no mist is asked for that varies more. Half the pattern, 2 σ, varies by 1.0 %.
#[test]
fn no_step_leaves_bands_that_show() {
    let coats = &Catalog::builtin().rules.coats;
    let widest = raster_variation(coats.mist_step_max_sigma.get());
    assert!((0.045..=0.0605).contains(&widest), "{widest}");
    let build = raster_variation(f64::midpoint(coats.build_step_min_sigma.get(), coats.build_step_max_sigma.get()));
    assert!((build - 0.0102).abs() < 0.001, "{build}");
}

/// A film that held allows about a tenth more than its cap did (rule): half of a first coat is thinner than its median,
/// which is about three quarters of the cap.
#[test]
fn a_film_that_held_raises_its_cap_by_about_a_tenth() {
    let more = 0.75 * Catalog::builtin().rules.coats.held_cap_factor.get() - 1.0;
    assert!((0.05..0.15).contains(&more), "{more}");
}

/// A lying sheet holds half as much again as a standing one before a coat runs (rule), where the paper is no limit.
#[test]
fn a_lying_sheet_bears_half_as_much_again_as_a_standing_one() {
    let lying = of(&page("synthetic", "graphite"), &sealer("acrylic-gloss"), None).build_limit;
    let standing = CATALOG.rules.coats.build_standing_um.get();
    assert!((lying.limit_um / standing - 1.5).abs() < 0.05, "{lying:?} {standing}");
}

/// Gloss begins where the dry film is half as deep as the tooth (rule): the tooth from which a plan says that gloss is out of
/// reach is twice its film.
#[test]
fn gloss_begins_at_half_the_tooth() {
    let mut catalog = Catalog::builtin();
    let mut planned = |tooth_um: f64| {
        catalog.papers.get_mut("cardstock").expect("built in").tooth_um = Triple::exact(tooth_um);
        let sheet = sheet(&page("cardstock", "graphite"), &catalog);
        let plan = plan_coats(&sheet, &catalog.sealers["acrylic-gloss"], &ordinary_air(), &catalog, 1);
        let dry_um: f64 = plan.coats.iter().map(|coat| coat.dry_um.p50).sum();
        (dry_um, plan.findings.iter().any(|finding| finding.code == "finish-out-of-reach"))
    };
    let (film_um, smooth) = planned(6.0);
    assert!(!smooth && film_um > 3.0, "{film_um} µm");
    assert!(!planned(2.0 * film_um * 0.95).1 && planned(2.0 * film_um * 1.05).1, "{film_um} µm");
}
