//! Every layer against every layer under it that it meets, not only its neighbour: nothing counts as buried.

mod instead;
mod ruling;
mod told;

pub(super) use told::findings;

use std::cell::OnceCell;

use crate::catalog::{Catalog, FilmClass, PairVerdict, Trait};
use crate::estimate::Grounds;
use crate::finding::Level;
use crate::page::{Layer, Sheet};

/// The judgement of one pair of layers that share an area.
#[derive(Debug, Clone, PartialEq)]
pub struct PairFinding<'c> {
    /// Id of the lower medium or sealer.
    pub lower: &'c str,
    /// Id of the upper one.
    pub upper: &'c str,
    /// Place of the lower layer, from 1 at the bottom.
    pub lower_place: usize,
    /// Place of the upper layer.
    pub upper_place: usize,
    /// The verdict.
    pub verdict: PairVerdict,
    /// How much it weighs on this page: less once both are laid.
    pub level: Level,
    /// What is seen.
    pub effect: String,
    /// Why.
    pub why: String,
    /// A second opinion that is told but does not count.
    pub disputed: bool,
    /// What to do.
    pub remedy: Option<String>,
    /// What the verdict stands on.
    pub grounds: Grounds,
}

/// The verdict of `upper` over `lower`, whether they meet or not.
pub fn pair_verdict<'c>(lower: &Layer<'c>, upper: &Layer<'c>, catalog: &'c Catalog) -> PairVerdict {
    ruling::rule(lower, upper, catalog).verdict()
}

/// How much a verdict weighs: what is already laid can only be lived with, what is still to be laid can be changed.
pub(super) fn level_of(verdict: PairVerdict, laid: bool) -> Level {
    match (verdict, laid) {
        (PairVerdict::Good, _) => Level::Go,
        (PairVerdict::Care, true) => Level::Note,
        (PairVerdict::Care, false) | (PairVerdict::Avoid, true) => Level::Care,
        (PairVerdict::Avoid, false) => Level::Hold,
    }
}

/// Judges every pair of layers that share an area, the lower ones first.
pub(super) fn judge_pairs<'c>(sheet: &Sheet<'c>, catalog: &'c Catalog) -> Vec<PairFinding<'c>> {
    let layers = &sheet.layers;
    // Looked up once for each upper layer, and only if one of its pairs is to be avoided.
    let others: Vec<OnceCell<Option<String>>> = vec![OnceCell::new(); layers.len()];
    let mut found = Vec::new();
    for (index, lower) in layers.iter().enumerate() {
        for (upper, others) in layers.iter().zip(&others).skip(index + 1).filter(|(upper, _)| upper.meets(lower)) {
            let others = || others.get_or_init(|| instead::media_that_go(upper, sheet, catalog)).as_deref();
            found.push(judge(lower, upper, others, catalog));
        }
    }
    found
}

fn judge<'c, 'o>(
    lower: &Layer<'c>,
    upper: &Layer<'c>,
    others: impl Fn() -> Option<&'o str>,
    catalog: &'c Catalog,
) -> PairFinding<'c> {
    let ruling = ruling::rule(lower, upper, catalog);
    let verdict = ruling.verdict();
    let level = level_of(verdict, lower.finished.is_some() && upper.finished.is_some());
    let remedy = (level >= Level::Care).then(|| {
        let others = if verdict == PairVerdict::Avoid { others() } else { None };
        instead::remedy(lower, upper, verdict, others, catalog)
    });
    PairFinding {
        lower: lower.id(),
        upper: upper.id(),
        lower_place: lower.place,
        upper_place: upper.place,
        verdict,
        level,
        effect: ruling.effect().into_owned(),
        why: ruling.why().into_owned(),
        disputed: is_disputed(lower, upper, verdict),
        remedy,
        grounds: ruling.grounds(),
    }
}

/// Brush acrylic over wax or oil: the trade says that it holds, a handbook that it may peel.
fn is_disputed(lower: &Layer<'_>, upper: &Layer<'_>, verdict: PairVerdict) -> bool {
    let acrylic = upper.medium().is_some_and(|medium| medium.is(Trait::BrushAcrylic));
    let waxy = lower.medium().is_some_and(|medium| matches!(medium.film, FilmClass::Wax | FilmClass::OilWax));
    verdict == PairVerdict::Good && acrylic && waxy
}
