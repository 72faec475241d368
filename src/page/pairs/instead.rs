//! What to do about a pair that does not work: another order, another medium, another print.

use super::ruling::rule;
use crate::catalog::{Catalog, Medium, PairVerdict, Trait};
use crate::diagnostic::or_list;
use crate::page::{Laid, Layer, Sheet};

/// How many media are offered.
const OFFERED: usize = 4;

/// The remedy of a pair that needs care or is to be avoided.
pub(super) fn remedy<'c>(
    lower: &Layer<'c>,
    upper: &Layer<'c>,
    verdict: PairVerdict,
    sheet: &Sheet<'c>,
    catalog: &'c Catalog,
) -> Option<String> {
    let laid = upper.finished.is_some();
    if lower.medium().is_some_and(|medium| medium.is(Trait::RemoveFirst)) {
        return Some("Rub off the masking fluid before anything goes over it".to_owned());
    }
    if verdict != PairVerdict::Avoid {
        return Some(
            "Try it on a scrap of the same paper, small and light, over a layer that is dry through".to_owned(),
        );
    }
    let media = media_that_go(lower, upper, sheet, catalog);
    if laid {
        return Some(match media {
            Some(media) => format!(
                "Sealing does not rescue what does not hold: try a corner with a fingernail; if it comes off, scrape it \
                 off and use {media} instead"
            ),
            None => "Sealing does not rescue what does not hold: try a corner with a fingernail".to_owned(),
        });
    }
    let mut ways = Vec::new();
    if lower.finished.is_none() && rule(upper, lower, catalog).verdict() < PairVerdict::Avoid {
        ways.push(format!("Lay {} before {}", upper.name(), lower.name()));
    }
    if let Some(media) = media {
        ways.push(format!("Use {media} there, which go over it"));
    }
    if let Some(prints) = prints_that_take(lower, upper, catalog) {
        ways.push(format!("On a new sheet, print the line with {prints}"));
    }
    (!ways.is_empty()).then(|| ways.join(". "))
}

/// Media that go well over everything laid under `upper` and do not cockle the sheet, those with the same carrier
/// first.
fn media_that_go<'c>(lower: &Layer<'c>, upper: &Layer<'c>, sheet: &Sheet<'c>, catalog: &'c Catalog) -> Option<String> {
    let wanted = upper.medium()?;
    let unfit = [Trait::RemoveFirst, Trait::NeverSealed, Trait::Glitter, Trait::Print, Trait::Friable];
    let mut candidates: Vec<&Medium> = catalog
        .media
        .values()
        .filter(|medium| medium.id == medium.group || medium.is(Trait::BrushAcrylic))
        .filter(|medium| medium.group != wanted.group && !unfit.iter().any(|fact| medium.is(*fact)))
        .filter(|medium| {
            let stand_in = Layer { what: Laid::Medium(medium, medium.default_technique()), ..upper.clone() };
            crate::page::surface::lies_flat(&stand_in, sheet, catalog)
                && sheet
                    .layers
                    .iter()
                    .filter(|below| below.place < upper.place && (below.meets(upper) || below.place == lower.place))
                    .all(|below| rule(below, &stand_in, catalog).verdict() == PairVerdict::Good)
        })
        .collect();
    candidates.sort_by_key(|medium| (medium.carrier != wanted.carrier, medium.id.as_str()));
    let names: Vec<String> = candidates.iter().take(OFFERED).map(|medium| medium.name.clone()).collect();
    (!names.is_empty()).then(|| or_list(&names))
}

/// Ways of printing the line that take `upper`, if `lower` is a print.
fn prints_that_take<'c>(lower: &Layer<'c>, upper: &Layer<'c>, catalog: &'c Catalog) -> Option<String> {
    lower.medium().filter(|medium| medium.is(Trait::Print))?;
    let names: Vec<String> = catalog
        .media
        .values()
        .filter(|medium| medium.is(Trait::Print) && medium.id != lower.id())
        .filter(|medium| {
            let stand_in = Layer { what: Laid::Medium(medium, medium.default_technique()), ..lower.clone() };
            rule(&stand_in, upper, catalog).verdict() < PairVerdict::Avoid
        })
        .map(|medium| medium.name.clone())
        .collect();
    (!names.is_empty()).then(|| or_list(&names))
}
