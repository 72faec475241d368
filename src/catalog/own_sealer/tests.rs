use crate::catalog::{Catalog, Component, Sealer, SolidKind};
use crate::diagnostic::SourceText;
use crate::estimate::Basis;
use crate::input::read_sealer;

fn own(text: &str) -> Result<Sealer, Vec<String>> {
    let input = read_sealer(&SourceText::new("cans/Shelf can.toml", text)).expect("a well-formed sealer file");
    Catalog::builtin().own_sealer(&input).map_err(|problems| {
        let text = &problems.source.text;
        let at = |span: &Option<std::ops::Range<usize>>| span.clone().map_or("", |span| &text[span]).to_owned();
        let shown = |problem: &crate::diagnostic::Problem| {
            format!("{} at {}: {}", problem.code, at(&problem.span), problem.message)
        };
        problems.list.iter().map(shown).collect()
    })
}

fn share(sealer: &Sealer, component: &Component) -> f64 {
    sealer.composition.at_mode().iter().filter(|(part, _)| *part == component).map(|(_, share)| share).sum()
}

fn total(sealer: &Sealer) -> f64 {
    sealer.composition.at_mode().iter().map(|(_, share)| share).sum()
}

#[test]
fn without_a_composition_the_base_stays() {
    let sealer = own("extends = \"clear coat\"\nname = \"the gloss can\"\n[can]\ndischarge = \"1.0 g/s\"\n").unwrap();
    assert_eq!((sealer.id.as_str(), sealer.name.as_str()), ("acrylic-gloss:shelf-can", "the gloss can"));
    assert_eq!(sealer.composition, Catalog::builtin().sealers["acrylic-gloss"].composition);
    assert!((sealer.discharge_g_s.mode() - 1.0).abs() < 1e-12);
    assert_eq!(sealer.grounds.of("discharge_g_s").basis, Basis::Measured);
}

#[test]
fn a_listed_part_replaces_the_bases_and_the_rest_fills_within_its_ranges() {
    let sealer =
        own("extends = \"acrylic-gloss\"\n[composition]\nacetone = \"30 % to 45 %\"\n\"123-86-4\" = \"< 10 %\"\n")
            .unwrap();
    assert!((sealer.composition.share_of("acetone") - 0.375).abs() < 1e-9);
    assert!((sealer.composition.share_of("n-butyl-acetate") - 0.05).abs() < 1e-9);
    assert!((total(&sealer) - 1.0).abs() < 1e-9);
    let base = Catalog::builtin().sealers["acrylic-gloss"].composition.clone();
    for part in sealer.composition.parts.iter().filter(|part| part.grounds.basis != Basis::Label) {
        let range =
            base.parts.iter().find(|other| other.component == part.component).expect("a part of the base").share;
        assert!((range.low()..=range.high()).contains(&part.share.mode()), "{part:?}");
    }
    let labelled = sealer.composition.parts.iter().filter(|part| part.grounds.basis == Basis::Label).count();
    assert_eq!(labelled, 2);
    // 37.5 + 5 % listed; the base's other parts fill 57.5 % only up to their high ends, 59.5 %: nothing is undeclared.
    assert_eq!(share(&sealer, &Component::Undeclared), 0.0);
}

#[test]
fn what_even_the_high_ends_do_not_fill_is_undeclared() {
    let sealer = own("extends = \"acrylic-gloss\"\n[composition]\nacetone = \"10 %\"\npropane = \"5 %\"\n").unwrap();
    // High ends of the others: resin 12, butyl acetate 15, PM acetate 8, aromatics 4.5, butane 15: 54.5 %.
    assert!((share(&sealer, &Component::Undeclared) - 0.305).abs() < 1e-9, "{:?}", sealer.composition.at_mode());
    assert!((share(&sealer, &Component::Solid(SolidKind::Resin)) - 0.12).abs() < 1e-9);
}

#[test]
fn a_sheet_that_leaves_little_room_scales_the_base_down() {
    let sealer = own(
        "extends = \"acrylic-gloss\"\n[composition]\nacetone = \"50 %\"\npropane = \"25 %\"\nn-butane = \"20 %\"\n",
    )
    .unwrap();
    // 5 % remain for resin (low end 7 %) and butyl acetate (low end 3 %): 3.5 and 1.5 %.
    assert!((share(&sealer, &Component::Solid(SolidKind::Resin)) - 0.035).abs() < 1e-9);
    assert!((sealer.composition.share_of("n-butyl-acetate") - 0.015).abs() < 1e-9);
    assert!((total(&sealer) - 1.0).abs() < 1e-9);
}

#[test]
fn a_complete_list_discards_the_base_and_is_scaled() {
    let sealer = own(
        "extends = \"acrylic-gloss\"\ncomposition_complete = true\n[composition]\nacetone = \"40 %\"\nresin = \"10 %\"\n\"68476-85-7\" = \"30 %\"\n",
    )
    .unwrap();
    assert_eq!(sealer.composition.parts.len(), 3);
    assert!((sealer.composition.share_of("acetone") - 0.5).abs() < 1e-9);
    assert!((sealer.composition.share_of("isobutane") - 0.375).abs() < 1e-9);
}

#[test]
fn isomers_and_names_of_one_substance_add_up() {
    let sealer = own(
        "extends = \"acrylic-gloss\"\n[composition]\n\"108-38-3\" = \"2 % to 4 %\"\n\"p-xylene\" = \"1 % to 3 %\"\n",
    )
    .unwrap();
    assert!((sealer.composition.share_of("xylene") - 0.05).abs() < 1e-9);
}

#[test]
fn an_unknown_number_is_accepted_and_a_wrong_one_refused() {
    let sealer = own("extends = \"acrylic-gloss\"\n[composition]\n\"110-82-8\" = \"5 %\"\n");
    assert_eq!(
        sealer.unwrap_err(),
        ["cas-number at \"110-82-8\": `110-82-8` is not a CAS number: its last digit does not check"]
    );
    // 1-octanol's number, which no sealer here has.
    let sealer = own("extends = \"acrylic-gloss\"\n[composition]\n\"111-87-5\" = \"5 %\"\n").unwrap();
    assert!((share(&sealer, &Component::Unknown { cas: "111-87-5".to_owned() }) - 0.05).abs() < 1e-9);
}

#[test]
fn names_are_resolved_or_refused_with_a_suggestion() {
    let wrong = own("extends = \"acrylic-glos\"\n[composition]\nacetonne = \"5 %\"\n").unwrap_err();
    assert_eq!(
        wrong,
        [
            "unknown-sealer at \"acrylic-glos\": there is no sealer called `acrylic-glos`",
            "unknown-substance at acetonne: there is no substance called `acetonne`"
        ]
    );
    let wrong =
        own("extends = \"acrylic-gloss\"\n[composition]\nacetone = \"60 % to 70 %\"\ntoluene = \"45 % to 50 %\"\n");
    assert_eq!(
        wrong.unwrap_err(),
        ["composition-over-100 at \"45 % to 50 %\": the low ends of the shares add up to 105 %"]
    );
}

#[test]
fn a_hardener_is_known_for_what_it_is() {
    let catalog = Catalog::builtin();
    // By name, by the number of the monomer, of its trimer, and of the mixed isomers of diphenylmethane.
    for name in ["\"hexamethylene diisocyanate\"", "\"822-06-0\"", "\"3779-63-3\"", "\"26447-40-5\""] {
        let sealer = own(&format!("extends = \"acrylic-gloss\"\n[composition]\n{name} = \"1 % to 5 %\"\n")).unwrap();
        assert!(sealer.composition.parts.iter().any(|part| catalog.is_isocyanate(&part.component)), "{name}");
    }
}
