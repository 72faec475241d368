//! What to do about a pair that does not work: another order, another medium, another print.

use super::ruling::rule;
use crate::catalog::{Catalog, Medium, PairVerdict, Trait};
use crate::diagnostic::or_list;
use crate::page::surface::lies_flat;
use crate::page::{Laid, Layer, Sheet};

/// How many media are offered.
const OFFERED: usize = 4;

/// The remedy of a pair that needs care or is to be avoided. `others` are the media that would go instead of `upper`.
pub(super) fn remedy<'c>(
    lower: &Layer<'c>,
    upper: &Layer<'c>,
    verdict: PairVerdict,
    others: Option<&str>,
    catalog: &'c Catalog,
) -> String {
    if lower.medium().is_some_and(|medium| medium.is(Trait::RemoveFirst)) {
        return "Rub off the masking fluid before anything goes over it".to_owned();
    }
    if verdict != PairVerdict::Avoid {
        return "Try it on a scrap first, small and light, over what is dry through".to_owned();
    }
    if upper.finished.is_some() {
        let look = "Sealing does not rescue what does not hold: try a corner with a fingernail";
        return match others {
            Some(others) => format!("{look}. If it comes off, scrape or lift it off and use {others} instead"),
            None => look.to_owned(),
        };
    }
    let mut ways = Vec::new();
    if lower.finished.is_none() && rule(upper, lower, catalog).verdict() < PairVerdict::Avoid {
        ways.push("Turn their order round".to_owned());
    }
    if let Some(others) = others {
        ways.push(format!("What goes there instead: {others}"));
    }
    if let Some(prints) = prints_that_take(lower, upper, catalog) {
        ways.push(format!("On a new sheet, a print that takes it: {prints}"));
    }
    if ways.is_empty() {
        ways.push("Keep them apart (state their `areas`), or leave one out".to_owned());
    }
    ways.join(". ")
}

/// Media that go well over everything under `upper` and do not cockle the sheet: those with the same carrier, then
/// dry pencils.
pub(super) fn media_that_go<'c>(upper: &Layer<'c>, sheet: &Sheet<'c>, catalog: &'c Catalog) -> Option<String> {
    let wanted = upper.medium()?;
    let unfit = [Trait::RemoveFirst, Trait::NeverSealed, Trait::Glitter, Trait::Print, Trait::Friable];
    let below: Vec<&Layer<'c>> =
        sheet.layers.iter().filter(|below| below.place < upper.place && below.meets(upper)).collect();
    let mut stand_in = upper.clone();
    let mut candidates: Vec<&Medium> = catalog
        .media
        .values()
        .filter(|medium| medium.id == medium.group || medium.is(Trait::BrushAcrylic))
        .filter(|medium| medium.carrier == wanted.carrier || medium.is(Trait::DryPencil))
        .filter(|medium| medium.group != wanted.group && !unfit.iter().any(|fact| medium.is(*fact)))
        .filter(|medium| {
            stand_in.what = Laid::Medium(medium, medium.default_technique());
            below.iter().all(|below| rule(below, &stand_in, catalog).verdict() == PairVerdict::Good)
                && lies_flat(&stand_in, sheet, catalog)
        })
        .collect();
    candidates.sort_by_key(|medium| (medium.carrier != wanted.carrier, medium.id.as_str()));
    listed(candidates.into_iter().take(OFFERED))
}

/// Ways of printing the line that take `upper`, if `lower` is a print.
fn prints_that_take<'c>(lower: &Layer<'c>, upper: &Layer<'c>, catalog: &'c Catalog) -> Option<String> {
    lower.medium().filter(|medium| medium.is(Trait::Print))?;
    let mut stand_in = lower.clone();
    let prints = catalog.media.values().filter(|medium| {
        let printable = medium.id == medium.group || medium.is(Trait::MilderUnderWater);
        if !medium.is(Trait::Print) || !printable || medium.id == lower.id() {
            return false;
        }
        stand_in.what = Laid::Medium(medium, medium.default_technique());
        rule(&stand_in, upper, catalog).verdict() < PairVerdict::Avoid
    });
    listed(prints)
}

/// Media by the names a person can type, which are shorter than the full ones.
fn listed<'c>(media: impl Iterator<Item = &'c Medium>) -> Option<String> {
    let names: Vec<String> = media.map(|medium| medium.id.replace('-', " ")).collect();
    (!names.is_empty()).then(|| or_list(&names))
}
