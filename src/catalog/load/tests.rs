use crate::catalog::Catalog;
use crate::diagnostic::{SourceText, place};
use crate::estimate::Basis;

fn overlay(text: &str) -> Result<Catalog, Vec<String>> {
    Catalog::builtin().with_overlays(&[SourceText::new("mine.toml", text)]).map_err(|files| {
        let line = |file: &crate::diagnostic::Problems, problem: &crate::diagnostic::Problem| {
            let at = problem.span.as_ref().map_or(0, |span| place(&file.source.text, span).line);
            format!("{at}: {}", problem.message)
        };
        files.iter().flat_map(|file| file.list.iter().map(|problem| line(file, problem))).collect()
    })
}

#[test]
fn own_figures_win_and_the_rest_is_inherited_through_a_chain() {
    let catalog = overlay(
        r#"
[medium.sparkle-gel]
extends = "fine-gel"
dulling = [0.3, 0.6, 0.9]
[medium.sparkle-gel.basis]
dulling = "measured"
[medium.fine-gel]
extends = "Gel Pens"
seal_wait_h = [6, 12, 24]
"#,
    )
    .unwrap();
    let (own, base) = (&catalog.media["sparkle-gel"], &catalog.media["gel-pen"]);
    assert_eq!(own.dulling.mode(), 0.6);
    assert_eq!(own.techniques[0].seal_wait_h.map(crate::estimate::Triple::mode), Some(12.0));
    assert_eq!(own.techniques[0].touch_min, base.techniques[0].touch_min);
    assert_eq!((own.name.as_str(), own.group.as_str()), ("sparkle gel", "gel-pen"));
    assert_eq!(own.grounds.of("dulling").basis, Basis::Measured);
    assert_eq!(own.grounds.of("binder").basis, Basis::Published);
    assert_eq!(crate::catalog::check(&catalog).join("\n"), "");
}

#[test]
fn every_kind_can_be_extended() {
    let catalog = overlay(
        r#"
[paper.my-card]
extends = "cardstock"
grammage_g_m2 = 220
[sealer.my-can]
extends = "acrylic-gloss"
[sealer.my-can.label]
distance = "6 in to 8 in"
[sealer.my-can.composition]
acetone = "40 % to 60 %"
[substance.my-blend]
extends = "mineral-spirits"
cas = "64741-65-7"
vapour_pressure_25c_kpa = 0.4
[room.attic]
extends = "window-open"
volume = "31 m3"
[room.roof]
extends = "outdoors"
wind = "2 m/s"
"#,
    )
    .unwrap();
    assert_eq!(catalog.papers["my-card"].grammage_g_m2, 220.0);
    assert_eq!(catalog.papers["my-card"].tooth_um, catalog.papers["cardstock"].tooth_um);
    let can = &catalog.sealers["my-can"];
    assert_eq!(can.label.distance_m.map(|(low, _)| (low * 1000.0).round()), Some(152.0));
    assert!((can.composition.share_of("acetone") - 0.5).abs() < 1e-9);
    assert_eq!(can.grounds.of("composition").basis, Basis::Estimate);
    assert_eq!(catalog.substances["my-blend"].antoine, None, "the base's curve does not fit another pressure");
    assert_eq!(catalog.rooms["attic"].volume_m3, Some(31.0));
    assert_eq!(catalog.rooms["attic"].airflow, catalog.rooms["window-open"].airflow);
    assert_eq!(catalog.rooms["roof"].wind_m_s, Some(2.0));
}

#[test]
fn circles_are_pointed_at() {
    assert_eq!(overlay("[medium.a]\nextends = \"a\"\n").unwrap_err(), ["2: `a` extends itself"]);
    assert_eq!(
        overlay("[medium.a]\nextends = \"b\"\n[medium.b]\nextends = \"c\"\n[medium.c]\nextends = \"a\"\n").unwrap_err(),
        ["6: `a` extends itself in a circle: `a` extends `b` extends `c` extends `a`"]
    );
}

#[test]
fn a_built_in_id_or_name_is_taken() {
    assert_eq!(overlay("[medium.toner]\nextends = \"toner\"\n").unwrap_err(), ["1: there is already a medium `toner`"]);
    let wrong = overlay("[medium.my-pen]\nextends = \"toner\"\naliases = [\"Gel Pen\"]\n").unwrap_err();
    assert_eq!(wrong, ["1: `Gel Pen` already means `gel-pen`"]);
    let wrong = overlay("[medium.My_Pen]\nextends = \"toner\"\n").unwrap_err();
    assert_eq!(wrong, ["1: `My_Pen` is not an id"]);
}

#[test]
fn all_problems_come_out_together_with_their_lines() {
    let wrong = overlay(
        r#"[medium.my-pen]
extends = "gel-pn"
[medium.other]
extends = "gel-pen"
dullness = 1
darkening = [0.5, 2, 3]
group = "gelpen"
traits = ["shiny"]
[medium.other.basis]
darkness = "measured"
darkening = "published"
[medium.bare]
name = "bare"
[paper.p]
extends = "cardstock"
tooth_um = [3, 2, 1]
"#,
    )
    .unwrap_err();
    let text = wrong.join("\n");
    for expected in [
        "2: there is no medium called `gel-pn`",
        "5: unknown key `dullness` in `medium.other`",
        "6: `darkening` should lie between 0 and 1",
        "8: `shiny` is not a known word here",
        "10: `darkness` is not a figure that has a basis",
        "11: `darkening` is published but names no source",
        "12: this `medium.bare` has no `group`",
        "16: `tooth_um` should be a number or three rising numbers",
    ] {
        assert!(text.contains(expected), "{expected}\nin\n{text}");
    }
    let wrong = overlay("[medium.other]\nextends = \"gel-pen\"\ngroup = \"gelpen\"\n").unwrap_err();
    assert_eq!(wrong, ["3: the pair table has no group `gelpen`"]);
}

#[test]
fn a_technique_figure_needs_its_technique() {
    let wrong = overlay("[medium.my-wash]\nextends = \"watercolour\"\nseal_wait_h = 3\n").unwrap_err();
    assert!(wrong[0].contains("`seal_wait_h` belongs to a technique, and `watercolour` has several"), "{wrong:?}");
}

/// A liquid of a user's own, with what is said of its fire and its limits.
fn own_liquid(lines: &str) -> Result<Catalog, Vec<String>> {
    overlay(&format!(
        "[substance.mine]\nname = \"mine\"\ncas = \"60-29-7\"\nclass = \"ketone-ester\"\nmolar_mass_g_mol = 74.1\n\
         boiling_point_c = 34.6\nvapour_pressure_25c_kpa = 71\ndensity_kg_m3 = 713\nheat_of_vaporisation_kj_mol = 27\n\
         diffusivity_m2_s = 9e-6\nsurface_tension_mn_m = 17\nlimit_source = \"its sheet\"\n{lines}"
    ))
}

#[test]
fn what_may_burn_says_so() {
    let silent = own_liquid("").unwrap_err();
    assert_eq!(silent, ["1: this substance states no lower explosive limit, `lel_vol_pct`"]);
    let quoted = own_liquid("lel_vol_pct = 1.9\n").unwrap();
    assert_eq!(quoted.substances["mine"].lowest_lel_vol_pct, Some(1.9));
    let lowest = own_liquid("lel_vol_pct = 1.9\nlowest_lel_vol_pct = 1.7\n").unwrap();
    assert_eq!(lowest.substances["mine"].lowest_lel_vol_pct, Some(1.7));
    let none = own_liquid("lel_vol_pct = \"none\"\n").unwrap();
    assert_eq!(none.substances["mine"].lowest_lel_vol_pct, None);
    let both = own_liquid("lel_vol_pct = \"none\"\nflash_point_c = -45\n").unwrap_err();
    assert_eq!(both, ["1: `mine` contradicts itself: it burns but has no explosive limit"]);
    let above = own_liquid("lel_vol_pct = 1.7\nlowest_lel_vol_pct = 1.9\n").unwrap_err();
    assert_eq!(above, ["1: `mine` contradicts itself: the lowest explosive limit is above the quoted one"]);
    // What is inherited never hides a lower figure of one's own; water does not burn, what is made of it may.
    let grade = |lines: &str| {
        overlay(&format!("[substance.grade]\nextends = \"mineral-spirits\"\ncas = \"64741-65-7\"\n{lines}"))
            .unwrap()
            .substances["grade"]
            .lowest_lel_vol_pct
    };
    assert_eq!((grade("lel_vol_pct = 0.5\n"), grade("lel_vol_pct = 0.8\n")), (Some(0.5), Some(0.6)));
    let mix = "[substance.mix]\nextends = \"water\"\ncas = \"60-29-7\"\nclass = \"alcohol\"\n";
    assert_eq!(overlay(mix).unwrap_err(), silent);
}

#[test]
fn the_lowest_limit_listed_counts() {
    let own = |lines: &str| {
        own_liquid(&format!("lel_vol_pct = 1.9\n{lines}")).map(|catalog| catalog.substances["mine"].clone())
    };
    let listed = own("limits = { osha_pel = 400, niosh_rel = 2, niosh_stel = 6, osha_ceiling = 10 }\n").unwrap();
    assert_eq!((listed.limits.lowest_twa_ppm, listed.limits.lowest_short_term_ppm), (Some(2.0), Some(6.0)));
    let above = own("lowest_twa_ppm = 100\nlimits = { niosh_rel = 2 }\n").unwrap_err();
    assert_eq!(above, ["1: `mine` contradicts itself: an 8-hour limit of 2 ppm is below the lowest, 100 ppm"]);
    assert_eq!(own("limits = { niosh_rel = 0 }\n").unwrap_err(), ["14: `niosh_rel` should lie between 0 and 1000000"]);
    let lower =
        overlay("[substance.grade]\nextends = \"toluene\"\ncas = \"60-29-7\"\nlimits = { other = 4 }\n").unwrap();
    assert_eq!(lower.substances["grade"].limits.lowest_twa_ppm, Some(4.0));
    let higher =
        overlay("[substance.grade]\nextends = \"toluene\"\ncas = \"60-29-7\"\nlimits = { other = 40 }\n").unwrap();
    assert_eq!(higher.substances["grade"].limits.lowest_twa_ppm, Some(10.0));
}

#[test]
fn figures_that_contradict_each_other_are_refused() {
    for (text, expected) in [
        (
            "[medium.wet-wax]\nextends = \"wax-pencil\"\nwater_load_g_m2 = [10, 20, 30]\n",
            "1: `wet-wax` contradicts itself: `water-medium` and a water load go together",
        ),
        (
            "[medium.odd-wash]\nextends = \"gouache\"\ndrying = \"dry\"\n",
            "1: `odd-wash` contradicts itself: a `water-medium` dries as the air takes its water: `drying = \"water\"`",
        ),
        (
            "[paper.sealed]\nextends = \"cardstock\"\nabsorbing = false\n",
            "1: `sealed` contradicts itself: a paper that takes up nothing has no pore capacity",
        ),
        (
            "[sealer.hasty]\nextends = \"acrylic-gloss\"\ntouch_min = 100\nrecoat_min = 5\n",
            "1: `hasty` contradicts itself: the next coat comes before this one is dry to the touch",
        ),
        (
            "[sealer.far]\nextends = \"acrylic-gloss\"\npractice_distance_cm = [20, 30000]\n",
            "1: `practice_distance_cm` should lie between 1 and 200",
        ),
    ] {
        assert_eq!(overlay(text).unwrap_err(), [expected]);
    }
}
