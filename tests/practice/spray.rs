//! How the trade sprays a loaded page. Common practice, no source.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::estimate::Triple;
use coatbell::finding::Level;
use coatbell::solve::{CoatKind, CoatPlan, PlannedCoat, plan_coats};

use crate::pages::{BOOK, BURNISHED, DARK, FRIABLE, LOADED, ordinary_air, sheet};

fn plan(page: &str, sealer: &Sealer, then: impl FnOnce(&CoatPlan<'_>)) {
    let catalog = Catalog::builtin();
    then(&plan_coats(&sheet(page, &catalog), sealer, &ordinary_air(), &catalog, 1));
}

fn builtin(id: &str) -> Sealer {
    Catalog::builtin().sealers[id].clone()
}

fn labelled(low_m: f64, high_m: f64) -> Sealer {
    let mut sealer = builtin("acrylic-gloss");
    sealer.label.distance_m = Some((low_m, high_m));
    sealer
}

fn of<'p, 'c>(plan: &'p CoatPlan<'c>, kind: CoatKind) -> Vec<&'p PlannedCoat<'c>> {
    plan.coats.iter().filter(|coat| coat.kind == kind).collect()
}

fn has(plan: &CoatPlan<'_>, code: &str, level: Level) -> bool {
    plan.findings.iter().any(|finding| finding.code == code && finding.level == level)
}

#[test]
fn the_first_coat_comes_from_a_foot_away_or_more() {
    for page in [LOADED, BURNISHED, BOOK, DARK, FRIABLE] {
        plan(page, &builtin("acrylic-gloss"), |plan| {
            let first = &plan.coats[0];
            assert_eq!(first.kind, CoatKind::Mist);
            assert!(first.setting.distance_cm >= 30.0, "{}", first.setting.distance_cm);
        });
    }
}

#[test]
fn the_first_coat_is_quick_and_never_pools() {
    for page in [LOADED, BURNISHED, BOOK, DARK] {
        plan(page, &builtin("acrylic-gloss"), |plan| {
            let mist = of(plan, CoatKind::Mist)[0];
            assert!(mist.wet_um.p50 <= 15.0 && mist.wet_um.p50 <= mist.cap_um);
            for build in of(plan, CoatKind::Build) {
                assert!(mist.setting.speed_cm_s >= build.setting.speed_cm_s);
                assert!(mist.setting.distance_cm >= build.setting.distance_cm);
                assert!(mist.wet_um.p50 < build.wet_um.p50);
            }
        });
    }
}

#[test]
fn the_first_coat_gives_no_gloss() {
    plan(LOADED, &builtin("acrylic-gloss"), |plan| {
        let mist = of(plan, CoatKind::Mist)[0];
        assert!(mist.dry_um.p50 < 3.0, "{}", mist.dry_um.p50);
        assert!(has(plan, "mist-gives-no-gloss", Level::Note));
    });
}

#[test]
fn two_or_three_coats_follow() {
    plan(LOADED, &builtin("acrylic-satin"), |plan| assert_eq!(of(plan, CoatKind::Build).len(), 2));
    let smooth = BURNISHED.replace("satin", "gloss");
    plan(&smooth, &builtin("acrylic-gloss"), |plan| assert_eq!(of(plan, CoatKind::Build).len(), 3));
}

#[test]
fn later_coats_come_closer() {
    for id in ["acrylic-gloss", "acrylic-satin"] {
        plan(LOADED, &builtin(id), |plan| {
            for build in of(plan, CoatKind::Build) {
                assert!((15.0..=20.0).contains(&build.setting.distance_cm), "{}", build.setting.distance_cm);
            }
        });
    }
}

#[test]
fn a_label_of_six_to_eight_inches_does_not_bring_the_first_coat_nearer() {
    plan(LOADED, &labelled(0.1524, 0.2032), |plan| {
        assert!(of(plan, CoatKind::Mist)[0].setting.distance_cm >= 30.0);
        assert!(has(plan, "label-nearer-than-mist", Level::Note));
        for build in of(plan, CoatKind::Build) {
            assert!((15.24..=20.32).contains(&build.setting.distance_cm));
        }
    });
}

#[test]
fn nobody_is_sent_nearer_than_the_plan_by_a_label() {
    let told = |page: &str, low_m: f64, high_m: f64| {
        let mut told = None;
        plan(page, &labelled(low_m, high_m), |plan| {
            let note = plan.findings.iter().find(|finding| finding.code == "label-nearer-than-mist").expect("a note");
            told = Some((note.text.clone(), note.remedy.clone().unwrap_or_default()));
        });
        told.expect("a plan")
    };
    assert!(told(LOADED, 0.15, 0.20).1.contains("for the later coats only"));
    // The label ends before the nearest build: of any page, and of one whose builds keep their distance.
    for (page, near) in [(LOADED, "15 cm"), (BOOK, "25 cm")] {
        let (text, remedy) = told(page, 0.10, 0.12);
        assert!(text.contains(&format!("the later ones from {near} or more")), "{text}");
        assert!(remedy.contains("for every coat"), "{remedy}");
    }
    assert!(told(BOOK, 0.15, 0.20).1.contains("for every coat"));
    // No later coat follows on loose pigment.
    assert!(!told(FRIABLE, 0.15, 0.20).1.contains("later coats only"));
}

#[test]
fn a_label_that_asks_for_more_moves_the_builds_out_to_it() {
    plan(LOADED, &labelled(0.254, 0.305), |plan| {
        for build in of(plan, CoatKind::Build) {
            assert!((25.4..=30.5).contains(&build.setting.distance_cm), "{}", build.setting.distance_cm);
            assert!(!build.label_applied.is_empty());
        }
        assert!(of(plan, CoatKind::Mist)[0].label_applied.is_empty());
    });
    plan(LOADED, &labelled(0.35, 0.40), |plan| {
        let mist = of(plan, CoatKind::Mist)[0];
        assert!(mist.setting.distance_cm >= 35.0 && !mist.label_applied.is_empty());
    });
}

#[test]
fn burnished_wax_gets_one_thin_mist() {
    plan(BURNISHED, &builtin("acrylic-satin"), |plan| {
        // Smaller of the low figure and 0.6 of the middle one.
        assert!((plan.cap.cap_um - 7.2).abs() < 1e-9, "{}", plan.cap.cap_um);
        assert_eq!((of(plan, CoatKind::Mist).len(), of(plan, CoatKind::Build).len()), (1, 2));
    });
}

#[test]
fn book_text_gets_dusting_coats_and_builds_from_afar() {
    plan(BOOK, &builtin("acrylic-gloss"), |plan| {
        assert!((plan.cap.cap_um - 6.0).abs() < 1e-9, "{}", plan.cap.cap_um);
        assert_eq!(of(plan, CoatKind::Mist).len(), 2);
        let builds = of(plan, CoatKind::Build);
        assert_eq!(builds.len(), 2);
        for build in builds {
            assert!((25.0..=30.0).contains(&build.setting.distance_cm), "{}", build.setting.distance_cm);
            assert!(build.under_cap_pct >= 80.0 && build.cap_um < 21.0 && build.limited_by.contains("pores"));
        }
    });
}

#[test]
fn metal_on_black_gets_one_mist_and_one_build() {
    for id in ["acrylic-gloss", "acrylic-satin", "acrylic-matte"] {
        plan(DARK, &builtin(id), |plan| {
            assert!((plan.cap.cap_um - 7.0).abs() < 1e-9, "{}", plan.cap.cap_um);
            assert_eq!((of(plan, CoatKind::Mist).len(), of(plan, CoatKind::Build).len()), (1, 1));
        });
    }
}

#[test]
fn loose_pigment_is_only_dusted() {
    for id in ["final-fixative", "acrylic-gloss"] {
        plan(FRIABLE, &builtin(id), |plan| {
            assert!((plan.cap.cap_um - 3.0).abs() < 1e-9, "{}", plan.cap.cap_um);
            let mists = of(plan, CoatKind::Mist);
            assert_eq!((mists.len(), of(plan, CoatKind::Build).len()), (4, 0));
            assert!(mists[0].setting.distance_cm >= 40.0, "{}", mists[0].setting.distance_cm);
            assert!(has(plan, "finish-out-of-reach", Level::Care));
            assert!(has(plan, "dry-mist", Level::Note));
        });
    }
}

#[test]
fn glitter_is_sprayed_from_eight_inches() {
    let page = LOADED.replace("shimmer-pen", "glitter");
    plan(&page, &builtin("acrylic-gloss"), |plan| {
        assert!(of(plan, CoatKind::Build).iter().all(|build| build.setting.distance_cm == 20.0));
    });
}

#[test]
fn gloss_is_out_of_reach_on_cold_press() {
    let page =
        LOADED.replace("cardstock-heavy", "cold-press").replace("250 g/m2", "300 g/m2").replace("satin", "gloss");
    plan(&page, &builtin("acrylic-gloss"), |plan| {
        let finding = plan.findings.iter().find(|finding| finding.code == "finish-out-of-reach").expect("a care");
        assert!(finding.level == Level::Care && finding.text.contains("satin"), "{}", finding.text);
    });
    plan(LOADED, &builtin("acrylic-satin"), |plan| assert!(!has(plan, "finish-out-of-reach", Level::Care)));
}

#[test]
fn a_build_from_too_far_turns_dusty() {
    plan(LOADED, &labelled(0.40, 0.45), |plan| {
        assert!(of(plan, CoatKind::Build)[0].dry_spray_pct > 25.0);
        assert!(has(plan, "dry-spray", Level::Care));
    });
    plan(LOADED, &builtin("acrylic-gloss"), |plan| assert!(!has(plan, "dry-spray", Level::Care)));
}

#[test]
fn the_distances_come_from_the_rules() {
    let mut catalog = Catalog::builtin();
    let coats = &mut catalog.rules.coats;
    coats.mist_distance_min_cm.value = Triple::exact(20.0);
    coats.build_distance_min_cm.value = Triple::exact(10.0);
    coats.build_distance_max_cm.value = Triple::exact(12.0);
    coats.builds.value = Triple::exact(1.0);
    let sealer = builtin("water-clear");
    let plan = plan_coats(&sheet(LOADED, &catalog), &sealer, &ordinary_air(), &catalog, 1);
    assert!(plan.coats[0].setting.distance_cm < 30.0 && plan.coats[1].setting.distance_cm <= 12.0);
    assert_eq!(plan.coats.len(), 2);
}

/// What bled lowers the cap, what held raises it, neither past what is known (rule of the history).
#[test]
fn what_a_medium_bore_moves_its_cap() {
    use coatbell::input::Borne;
    use coatbell::solve::first_coat_cap;
    let catalog = Catalog::builtin();
    let page = |laydown: &str| {
        format!(
            "size = \"A5\"\npaper = \"cold-press\"\nfinished = \"60 days ago\"\n[[layer]]\nmedium = \"gel-pen\"\n\
             cover = \"20 %\"\nlaydown = \"{laydown}\"\n"
        )
    };
    let text = (page("normal"), page("heavy"));
    let (normal, heavy) = (sheet(&text.0, &catalog), sheet(&text.1, &catalog));
    let medium = &catalog.media["gel-pen"];
    let [low, mode, high] = [medium.first_coat_um.low(), medium.first_coat_um.mode(), medium.first_coat_um.high()];
    let cap = |sheet: &coatbell::page::Sheet<'_>, held_um: Option<f64>, failed_um: Option<f64>| {
        let mut sealer = builtin("acrylic-gloss");
        sealer.can.bears.insert("gel-pen".to_owned(), Borne { held_um, failed_um, failed_over_mist_um: None });
        first_coat_cap(sheet, &catalog.rules).as_borne(sheet, &sealer, &catalog.rules).layers[0].clone()
    };
    assert!((cap(&normal, None, None).cap_um - mode).abs() < 1e-9);
    assert!((cap(&heavy, None, None).cap_um - low).abs() < 1e-9);
    // 0.7 of a film that bled, and it is said.
    let bled = cap(&normal, None, Some(0.5 * mode));
    assert!((bled.cap_um - 0.35 * mode).abs() < 1e-9 && bled.words.contains("bled"), "{bled:?}");
    // A film that held by far: the highest figure of the medium, the ordinary one where it is laid heavily.
    let held = cap(&normal, Some(10.0 * high), None);
    assert!((held.cap_um - high).abs() < 1e-9 && held.words.contains("held"), "{held:?} {high}");
    let heavily = cap(&heavy, Some(10.0 * high), None);
    assert!((heavily.cap_um - mode).abs() < 1e-9, "{heavily:?} {mode}");
    // One that held and bled at more is raised no further than the share of what bled.
    let both = cap(&normal, Some(10.0 * high), Some(1.2 * mode));
    assert!((both.cap_um - 0.84 * mode).abs() < 1e-9, "{both:?}");
    // A little that held says nothing.
    let little = cap(&normal, Some(0.1), None);
    assert!((little.cap_um - mode).abs() < 1e-9 && !little.words.contains("held"), "{little:?}");
}
