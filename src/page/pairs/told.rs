//! The pairs as findings: what is the same for several pairs is told once.

use super::PairFinding;
use crate::catalog::PairVerdict;
use crate::diagnostic::{and_list, sentence_start};
use crate::estimate::{Basis, Grounds};
use crate::finding::{Finding, Level};
use crate::page::{Layer, Sheet};

/// Pairs that are told together: some layers over one, or one layer over some.
struct Group<'p, 'c> {
    first: &'p PairFinding<'c>,
    lower: Vec<usize>,
    upper: Vec<usize>,
}

impl<'p, 'c> Group<'p, 'c> {
    /// Takes a pair in if it says the same and shares the one layer that the others share.
    fn takes(&mut self, pair: &'p PairFinding<'c>) -> bool {
        let first = self.first;
        let same = pair.disputed == first.disputed
            && pair.level == first.level
            && (pair.disputed || (pair.effect == first.effect && pair.remedy == first.remedy))
            && pair.verdict == first.verdict
            && (pair.disputed || pair.grounds == first.grounds);
        if !same {
            return false;
        }
        if self.upper == [pair.upper_place] {
            self.lower.push(pair.lower_place);
            true
        } else if self.lower == [pair.lower_place] {
            self.upper.push(pair.upper_place);
            true
        } else {
            false
        }
    }

    fn finding(&self, sheet: &Sheet<'_>) -> Finding {
        let named = |places: &[usize]| {
            let layers = places.iter().filter_map(|place| sheet.layers.get(place - 1));
            and_list(&layers.map(Layer::label).collect::<Vec<_>>())
        };
        let over = sentence_start(&format!("{} over {}", named(&self.upper), named(&self.lower)));
        let mut places: Vec<usize> = self.lower.iter().chain(&self.upper).copied().collect();
        places.sort_unstable();
        if self.first.disputed {
            let text = format!(
                "{over}: the trade finds that it holds, but a published handbook warns that water-based paint over oil \
                 or wax may peel"
            );
            let source = "a watercolour handbook, chapter 5: water media under, oil media over";
            let grounds = Grounds::with_source(Basis::Published, source);
            let remedy =
                "On heavy, burnished wax lay a thin first touch and let it dry; try its edge with a fingernail";
            return Finding::on("pair-disputed", Level::Note, text, &grounds).remedy(remedy).layers(places);
        }
        let code = if self.first.verdict == PairVerdict::Avoid { "pair-avoid" } else { "pair-care" };
        let text = format!("{over}: {}", self.first.effect);
        let finding = Finding::on(code, self.first.level, text, &self.first.grounds).layers(places);
        match &self.first.remedy {
            Some(remedy) => finding.remedy(remedy.clone()),
            None => finding,
        }
    }
}

/// The findings of all pairs: none for a good one that nobody disputes.
pub(in crate::page) fn findings(pairs: &[PairFinding<'_>], sheet: &Sheet<'_>) -> Vec<Finding> {
    let mut groups: Vec<Group<'_, '_>> = Vec::new();
    for pair in pairs.iter().filter(|pair| pair.disputed || pair.level >= Level::Note) {
        if !groups.iter_mut().any(|group| group.takes(pair)) {
            groups.push(Group { first: pair, lower: vec![pair.lower_place], upper: vec![pair.upper_place] });
        }
    }
    groups.iter().map(|group| group.finding(sheet)).collect()
}
