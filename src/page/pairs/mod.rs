//! Every layer against every layer under it that it meets, not only its neighbour: nothing counts as buried.

mod instead;
mod ruling;

use crate::catalog::{Catalog, FilmClass, PairVerdict, Trait};
use crate::estimate::{Basis, Grounds};
use crate::finding::{Finding, Level};
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
    let mut found = Vec::new();
    for (index, lower) in sheet.layers.iter().enumerate() {
        for upper in sheet.layers[index + 1..].iter().filter(|upper| upper.meets(lower)) {
            found.push(judge(lower, upper, sheet, catalog));
        }
    }
    found
}

fn judge<'c>(lower: &Layer<'c>, upper: &Layer<'c>, sheet: &Sheet<'c>, catalog: &'c Catalog) -> PairFinding<'c> {
    let ruling = ruling::rule(lower, upper, catalog);
    let verdict = ruling.verdict();
    let level = level_of(verdict, lower.finished.is_some() && upper.finished.is_some());
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
        remedy: if level >= Level::Care { instead::remedy(lower, upper, verdict, sheet, catalog) } else { None },
        grounds: ruling.grounds(),
    }
}

/// Brush acrylic over wax or oil: the trade says that it holds, a handbook that it may peel.
fn is_disputed(lower: &Layer<'_>, upper: &Layer<'_>, verdict: PairVerdict) -> bool {
    let acrylic = upper.medium().is_some_and(|medium| medium.is(Trait::BrushAcrylic));
    let waxy = lower.medium().is_some_and(|medium| matches!(medium.film, FilmClass::Wax | FilmClass::OilWax));
    verdict == PairVerdict::Good && acrylic && waxy
}

impl PairFinding<'_> {
    /// The findings of this pair: none for a good one that nobody disputes.
    pub(super) fn findings(&self, sheet: &Sheet<'_>) -> Vec<Finding> {
        let (Some(lower), Some(upper)) =
            (sheet.layers.get(self.lower_place - 1), sheet.layers.get(self.upper_place - 1))
        else {
            return Vec::new();
        };
        let places = [self.lower_place, self.upper_place];
        if self.disputed {
            let text = format!(
                "{} over {}: the trade finds that it holds, but a published handbook warns that water-based paint over \
                 oil or wax may peel",
                upper.titled(),
                lower.label()
            );
            let source = "a watercolour handbook, chapter 5: water media under, oil media over";
            let grounds = Grounds::with_source(Basis::Published, source);
            let remedy =
                "On heavy, burnished wax lay a thin first touch and let it dry; check the edge with a fingernail";
            return vec![Finding::on("pair-disputed", Level::Note, text, &grounds).remedy(remedy).layers(places)];
        }
        if self.level < Level::Note {
            return Vec::new();
        }
        let code = if self.verdict == PairVerdict::Avoid { "pair-avoid" } else { "pair-care" };
        let text = format!("{} over {}: {}", upper.titled(), lower.label(), self.effect);
        let finding = Finding::on(code, self.level, text, &self.grounds).layers(places);
        vec![match &self.remedy {
            Some(remedy) => finding.remedy(remedy.clone()),
            None => finding,
        }]
    }
}
