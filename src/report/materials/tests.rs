use super::*;
use jiff::civil::date;
use jiff::tz::TimeZone;

fn look() -> Look {
    Look::plain(date(2026, 11, 28).at(14, 0, 0, 0).to_zoned_datetime(TimeZone::UTC).expect("a moment in UTC"))
}

#[test]
fn every_card_is_written_and_fits_the_width() {
    let catalog = Catalog::builtin();
    let ids = [&catalog.media.keys().collect::<Vec<_>>()[..], &catalog.papers.keys().collect::<Vec<_>>()]
        .concat()
        .into_iter()
        .chain(catalog.sealers.keys())
        .chain(catalog.substances.keys())
        .chain(catalog.rooms.keys());
    for id in ids {
        let card = materials_show(&catalog, id, &look()).expect(id);
        assert!(card.contains(&format!("`{id}`")), "{card}");
        for line in card.lines() {
            assert!(crate::report::display_width(line) <= 80, "{id}: {line}");
        }
        let document = materials_show_json(&catalog, id).expect(id);
        let kind = document["kind"].as_str().expect("a kind").to_owned();
        assert_eq!(document[&kind]["id"], **id);
    }
}

#[test]
fn a_medium_says_what_a_colourist_asks() {
    let card = materials_show(&Catalog::builtin(), "Wax Pencils", &look()).unwrap();
    insta::assert_snapshot!(card);
}

#[test]
fn a_sealer_and_a_solvent_name_their_grounds() {
    let catalog = Catalog::builtin();
    insta::assert_snapshot!(materials_show(&catalog, "picture varnish", &look()).unwrap());
    insta::assert_snapshot!(materials_show(&catalog, "108-88-3", &look()).unwrap());
    insta::assert_snapshot!(materials_show(&catalog, "synthetic", &look()).unwrap());
}

#[test]
fn the_list_has_everything() {
    let catalog = Catalog::builtin();
    let list = materials_list(&catalog, None, &look());
    for id in catalog.media.keys().chain(catalog.papers.keys()).chain(catalog.sealers.keys()) {
        assert!(list.contains(id.as_str()), "{id}");
    }
    assert_eq!(materials_list_json(&catalog, None)["substances"].as_array().map(Vec::len), Some(37));
}

#[test]
fn an_unknown_name_is_met_with_a_suggestion() {
    let error = materials_show(&Catalog::builtin(), "bristol smoth", &look()).unwrap_err();
    assert_eq!(error.to_string(), "there is no material called `bristol smoth`");
    assert_eq!(error.hint(), "did you mean `bristol-smooth`?");
}
