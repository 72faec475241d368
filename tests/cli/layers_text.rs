//! Whole text of the review of the layers.

use coatbell::catalog::Catalog;
use coatbell::diagnostic::SourceText;
use coatbell::input::read_page;
use coatbell::page::{Sheet, layers_document, review};
use coatbell::report::{Look, layers_text};
use coatbell::vapour::MoistAir;
use jiff::ZonedDateTime;

fn shown(page: &str, width: usize, why: bool) -> String {
    let now: ZonedDateTime = "2026-11-27T18:00:00+00:00[UTC]".parse().expect("a valid moment");
    let source = SourceText::new("page.toml", page);
    let input = read_page(&source, &now).expect("a valid page");
    let catalog = Catalog::builtin();
    let sheet = Sheet::resolve(&input, &source, &catalog).expect("known names");
    let air = MoistAir { temperature_c: 21.0, relative_humidity: 0.48, pressure_pa: 101_325.0 };
    let review = review(&sheet, &catalog, &air, &now);
    let look = Look { width, why, ..Look::plain(now.clone()) };
    layers_text(&layers_document(&sheet, &review, &air, &now), &look)
}

#[test]
fn a_page_whose_order_is_fine() {
    insta::assert_snapshot!(shown(include_str!("../practice/pages/reference-page.toml"), 80, false));
}

#[test]
fn a_page_with_a_layer_that_must_not_be_laid() {
    insta::assert_snapshot!(shown(include_str!("../practice/pages/s5-inkjet-then-wash.toml"), 80, true));
}

#[test]
fn a_narrow_screen() {
    insta::assert_snapshot!(shown(include_str!("../practice/pages/s4-pen-over-wax.toml"), 40, false));
}

#[test]
fn an_order_that_can_be_better() {
    let page = "size = \"A5\"\npaper = \"mixed-media\"\n[[layer]]\nmedium = \"glitter\"\ntechnique = \"glue\"\n\
                [[layer]]\nmedium = \"wax-pencil\"\n[[layer]]\nmedium = \"watercolour\"\ntechnique = \"wet-on-dry\"\n";
    insta::assert_snapshot!(shown(page, 80, false));
}
