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
