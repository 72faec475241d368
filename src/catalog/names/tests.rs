use super::*;

#[test]
fn spelling_case_plural_and_joints_do_not_matter() {
    let catalog = Catalog::builtin();
    for (written, id) in [
        ("watercolor", "watercolour"),
        ("Water-Colour", "watercolour"),
        ("watercolor pencils", "watercolour-pencil"),
        ("alcohol based marker", "alcohol-marker"),
        ("Alcohol Markers", "alcohol-marker"),
        ("alcohol_marker", "alcohol-marker"),
        ("fineliner", "pigment-ink"),
        ("fine-liners", "pigment-ink"),
        ("India ink", "ink-wash"),
        ("gel pens", "gel-pen"),
        ("colorless blender", "colourless-blender"),
        ("paint pen", "acrylic-pen"),
        ("felt-tip pens", "water-marker"),
        ("wax based colored pencil", "wax-pencil"),
        ("oil pastels", "oil-pastel"),
        ("correction fluid", "correction-white"),
        ("laser print", "toner"),
        ("masking fluid", "masking-fluid"),
    ] {
        assert_eq!(catalog.medium(written).map(|medium| medium.id.as_str()), Ok(id), "{written}");
    }
    for (written, id) in [
        ("card stock", "cardstock"),
        ("Heavy Cardstock", "cardstock-heavy"),
        ("coloring book", "colouring-book"),
        ("Bristol smooth", "bristol-smooth"),
        ("vellum bristol", "bristol-vellum"),
        ("watercolor paper", "cold-press"),
        ("gray paper", "toned"),
        ("mixed media", "mixed-media"),
    ] {
        assert_eq!(catalog.paper(written).map(|paper| paper.id.as_str()), Ok(id), "{written}");
    }
    for (written, id) in [
        ("picture varnish", "ketone-varnish"),
        ("water borne clear", "water-clear"),
        ("Workable Fixatif", "workable-fixative"),
        ("hairspray", "hair-spray"),
        ("acrylic matt", "acrylic-matte"),
    ] {
        assert_eq!(catalog.sealer(written).map(|sealer| sealer.id.as_str()), Ok(id), "{written}");
    }
    for (written, id) in [
        ("67-64-1", "acetone"),
        ("Xylenes", "xylene"),
        ("106-42-3", "xylene"),
        ("MEK", "methyl-ethyl-ketone"),
        ("68476-85-7", "isobutane"),
        ("white spirit", "mineral-spirits"),
        ("1-Methoxy-2-propanol", "pm"),
    ] {
        assert_eq!(catalog.substance(written).map(|substance| substance.id.as_str()), Ok(id), "{written}");
    }
    assert!(catalog.room("cross-draft").is_ok());
}

#[test]
fn a_name_for_several_is_asked_back() {
    let catalog = Catalog::builtin();
    let unknown = catalog.medium("colored pencils").unwrap_err();
    assert!(unknown.ambiguous);
    assert_eq!(unknown.to_string(), "`colored pencils` could be more than one medium");
    assert_eq!(unknown.hint(), "say which: `wax-pencil` or `oil-pencil`");
    assert_eq!(catalog.paper("Bristol").unwrap_err().near, ["bristol-smooth", "bristol-vellum"]);
    assert_eq!(catalog.layer_material("marker").unwrap_err().near.len(), 4);
}

#[test]
fn an_unknown_name_gets_the_nearest() {
    let catalog = Catalog::builtin();
    assert_eq!(catalog.medium("wax pencl").unwrap_err().hint(), "did you mean `wax-pencil`?");
    let unknown = catalog.medium("zzzzzz").unwrap_err();
    assert_eq!(unknown.to_string(), "there is no medium called `zzzzzz`");
    assert_eq!(unknown.hint(), "`coatbell materials list` shows all media");
    assert_eq!(catalog.medium("").unwrap_err().near, Vec::<String>::new());
    let problem = catalog.sealer("acrylic-glos").unwrap_err().problem(3..5);
    assert_eq!((problem.code, problem.span), ("unknown-sealer", Some(3..5)));
}

#[test]
fn a_layer_may_be_a_medium_or_a_sealer() {
    let catalog = Catalog::builtin();
    let id = |name: &str| match catalog.layer_material(name) {
        Ok(LayerMaterial::Medium(medium)) => medium.id.clone(),
        Ok(LayerMaterial::Sealer(sealer)) => sealer.id.clone(),
        Err(unknown) => unknown.hint(),
    };
    assert_eq!(id("gel pen"), "gel-pen");
    assert_eq!(id("workable fixative"), "workable-fixative");
    assert_eq!(id("workable fixativ"), "did you mean `workable-fixative`?");
}
