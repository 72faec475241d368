//! Everything about a page that does not depend on the sealer, at once.

use jiff::ZonedDateTime;

use super::order::{SuggestedOrder, suggest};
use super::pairs::{self, PairFinding, judge_pairs};
use super::ready::{Readiness, judge_ready};
use super::surface::{SurfaceFinding, WaterSummary, judge_surface, summarise};
use super::waits::{LayerWait, waits};
use super::{Layer, Sheet};
use crate::catalog::Catalog;
use crate::diagnostic::{and_list, or_list};
use crate::estimate::Basis;
use crate::finding::{Finding, Level};
use crate::vapour::MoistAir;

/// The review of a page: layers against each other, against the paper, and against the clock.
#[derive(Debug, Clone, PartialEq)]
pub struct PageReview<'c> {
    /// Every pair of layers that meet, the lower ones first.
    pub pairs: Vec<PairFinding<'c>>,
    /// Every medium on the paper.
    pub surface: Vec<SurfaceFinding<'c>>,
    /// The wettest layer.
    pub water: WaterSummary,
    /// The order with the fewest conflicts.
    pub order: SuggestedOrder,
    /// How long each layer waits.
    pub waits: Vec<LayerWait<'c>>,
    /// Ready or not.
    pub ready: Readiness<'c>,
    /// What was noticed about the stack: order, paper, what the page leaves unsaid.
    pub stack_findings: Vec<Finding>,
}

impl PageReview<'_> {
    /// All findings, those of the stack first.
    pub fn findings(&self) -> impl Iterator<Item = &Finding> {
        self.stack_findings.iter().chain(&self.ready.findings)
    }
}

/// Reviews a page in the air at the bench for a start at a moment.
pub fn review<'c>(sheet: &Sheet<'c>, catalog: &'c Catalog, air: &MoistAir, start: &ZonedDateTime) -> PageReview<'c> {
    let pairs = judge_pairs(sheet, catalog);
    let surface = judge_surface(sheet, catalog);
    let order = suggest(sheet, catalog);
    let waits = waits(sheet, catalog, air);
    let ready = judge_ready(sheet, catalog, air, &waits, start);

    let mut stack_findings = pairs::findings(&pairs, sheet);
    stack_findings.extend(surface.iter().filter_map(|finding| finding.finding(sheet)));
    stack_findings.extend(laid_over_unlaid(sheet));
    stack_findings.extend(better_order(sheet, &order));
    stack_findings.extend(unsaid(sheet));
    PageReview { water: summarise(sheet, &surface), pairs, surface, order, waits, ready, stack_findings }
}

/// A layer still to be laid under one that is laid: it can only go over it, or its `finished` was forgotten.
fn laid_over_unlaid(sheet: &Sheet<'_>) -> Vec<Finding> {
    let unlaid = sheet.layers.iter().filter(|layer| layer.finished.is_none());
    unlaid
        .filter_map(|layer| {
            let above =
                sheet.layers[layer.place..].iter().find(|above| above.finished.is_some() && above.meets(layer))?;
            let text =
                format!("{} is still to be laid but stands under {}, which is finished", layer.titled(), above.label());
            let finding = Finding::new("laid-over-unlaid", Level::Care, text, Basis::Choice)
                .remedy("State its `finished`, or move it above what is laid already");
            Some(finding.layers([layer.place, above.place]))
        })
        .collect()
}

fn better_order(sheet: &Sheet<'_>, order: &SuggestedOrder) -> Option<Finding> {
    if !order.is_better() {
        return None;
    }
    let names: Vec<&str> =
        order.places.iter().filter_map(|place| sheet.layers.get(place - 1)).map(Layer::name).collect();
    let conflicts = |avoid: usize, care: usize| match (avoid, care) {
        (0, 0) => "none".to_owned(),
        (0, care) => format!("{care} to take care with"),
        (avoid, 0) => format!("{avoid} to avoid"),
        (avoid, care) => format!("{avoid} to avoid and {care} to take care with"),
    };
    let text = format!(
        "Another order has fewer conflicts: {}, instead of {}",
        conflicts(order.suggested.avoid, order.suggested.care),
        conflicts(order.given.avoid, order.given.care)
    );
    let remedy = format!("Lay them in this order, bottom to top: {}", names.join(", "));
    Some(Finding::new("order-better", Level::Note, text, Basis::Practice).remedy(remedy))
}

/// What the page leaves unsaid and what was taken instead.
fn unsaid(sheet: &Sheet<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for layer in sheet.layers.iter().filter(|layer| !layer.technique_stated) {
        if let super::Laid::Medium(medium, technique) = layer.what {
            let others: Vec<String> = medium.techniques.iter().map(|way| format!("`{}`", way.id)).collect();
            let text = format!("{} has no technique stated: taken as {}, the wettest", layer.titled(), technique.id);
            let remedy = format!("State `technique`: {}", or_list(&others));
            let finding = Finding::new("technique-not-stated", Level::Note, text, Basis::Choice).remedy(remedy);
            found.push(finding.layers([layer.place]));
        }
    }
    let uncovered: Vec<&Layer<'_>> =
        sheet.exposed().filter(|layer| layer.medium().is_some() && layer.cover.is_none()).collect();
    if !uncovered.is_empty() {
        let names: Vec<String> = uncovered.iter().map(|layer| layer.label()).collect();
        let text = format!(
            "The cover of {} is not stated: for the first coat each counts as covering over half the page",
            and_list(&names)
        );
        let finding = Finding::new("cover-not-stated", Level::Note, text, Basis::Choice)
            .remedy("State `cover`; it may allow a thicker first coat");
        found.push(finding.layers(uncovered.iter().map(|layer| layer.place)));
    }
    found
}
