//! A bench for the facts: the built-in catalog, an ordinary room, a fixed moment.

use coatbell::catalog::Catalog;
use coatbell::diagnostic::SourceText;
use coatbell::finding::{Finding, Level};
use coatbell::input::read_page;
use coatbell::page::{PageReview, Sheet, review};
use coatbell::vapour::MoistAir;
use jiff::ZonedDateTime;

/// A Friday evening.
pub(crate) fn now() -> ZonedDateTime {
    "2026-11-27T18:00:00+00:00[UTC]".parse().expect("a valid moment")
}

/// 20 °C, 50 %: the air the profile's waits are stated for.
pub(crate) fn ordinary_air() -> MoistAir {
    MoistAir { temperature_c: 20.0, relative_humidity: 0.5, pressure_pa: 101_325.0 }
}

/// A page text, resolved.
pub(crate) fn sheet<'c>(text: &str, catalog: &'c Catalog) -> Sheet<'c> {
    let source = SourceText::new("page.toml", text);
    let page = read_page(&source, &now()).expect("a valid page");
    Sheet::resolve(&page, &source, catalog).expect("known names")
}

/// Layers bottom to top on a paper, as `medium` or `medium:technique`, all laid long ago or all still to be laid.
pub(crate) fn stack<'c>(paper: &str, layers: &[&str], laid: bool, catalog: &'c Catalog) -> Sheet<'c> {
    let mut text = format!("size = \"A4\"\npaper = \"{paper}\"\n");
    if laid {
        text += "finished = \"300 days ago\"\n";
    }
    for layer in layers {
        let (medium, technique) = layer.split_once(':').unwrap_or((layer, ""));
        text.extend(["[[layer]]\nmedium = \"", medium, "\"\n"]);
        if !technique.is_empty() {
            text.extend(["technique = \"", technique, "\"\n"]);
        }
    }
    sheet(&text, catalog)
}

/// The review in ordinary air, now.
pub(crate) fn reviewed<'c>(sheet: &Sheet<'c>, catalog: &'c Catalog) -> PageReview<'c> {
    review(sheet, catalog, &ordinary_air(), &now())
}

/// The findings of a code.
pub(crate) fn coded<'r>(review: &'r PageReview<'_>, code: &str) -> Vec<&'r Finding> {
    review.findings().filter(|finding| finding.code == code).collect()
}

/// The worst level of all findings.
pub(crate) fn worst(review: &PageReview<'_>) -> Level {
    review.findings().map(|finding| finding.level).max().unwrap_or(Level::Go)
}
