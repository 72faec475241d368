//! What a catalog must hold beyond the shape of its files: names that are reachable, pairs without gaps, compositions
//! that add up, figures that agree with each other.

mod composition;
mod media;
mod names;
mod pairs;
mod substances;

pub(super) use composition::sealer;
pub(super) use media::{medium, paper};
pub(super) use substances::substance;

use super::{Catalog, Figure, FigureGrounds};
use crate::estimate::{Basis, Grounds};

/// Everything that is wrong with a catalog, one sentence each, in a fixed order; empty if nothing is.
pub fn check(catalog: &Catalog) -> Vec<String> {
    let mut wrong = Vec::new();
    names::check(catalog, &mut wrong);
    pairs::check(catalog, &mut wrong);
    media::check(catalog, &mut wrong);
    composition::check(catalog, &mut wrong);
    substances::check(catalog, &mut wrong);
    grounds(catalog, &mut wrong);
    wrong
}

/// Every figure has a basis by its type; a published one needs a source, too.
fn grounds(catalog: &Catalog, wrong: &mut Vec<String>) {
    let media = catalog.media.iter().map(|(id, entry)| ("medium", id, &entry.grounds));
    let papers = catalog.papers.iter().map(|(id, entry)| ("paper", id, &entry.grounds));
    let sealers = catalog.sealers.iter().map(|(id, entry)| ("sealer", id, &entry.grounds));
    let substances = catalog.substances.iter().map(|(id, entry)| ("substance", id, &entry.grounds));
    for (kind, id, FigureGrounds { default, own }) in media.chain(papers).chain(sealers).chain(substances) {
        for (figure, grounds) in
            own.iter().map(|(figure, grounds)| (figure.as_str(), grounds)).chain([("default", default)])
        {
            if unsourced(grounds) {
                wrong.push(format!("{kind} {id}: `{figure}` is published but names no source"));
            }
        }
    }
    let model = &catalog.model;
    let model = [("spray", model.spray.all()), ("film", model.film.all())];
    let model = model.into_iter().flat_map(|(part, figures)| {
        figures.into_iter().map(move |(name, figure)| (format!("model {part}.{name}"), figure))
    });
    let rules = catalog.rules.all().into_iter().map(|(name, figure)| (format!("rule {name}"), figure));
    for (name, Figure { grounds, .. }) in rules.chain(model) {
        if unsourced(grounds) {
            wrong.push(format!("{name} is published but names no source"));
        }
    }
}

fn unsourced(grounds: &Grounds) -> bool {
    grounds.basis == Basis::Published && grounds.source.as_deref().is_none_or(|source| source.trim().is_empty())
}

#[cfg(test)]
mod tests;
