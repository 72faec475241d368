//! Ready for the spray or not: layer by layer, and the sheet as a whole.

mod elapsed;
mod flatten;
mod special;

pub use elapsed::LAYER_WET;

use jiff::ZonedDateTime;

use super::{LayerWait, Sheet};
use crate::catalog::{Catalog, Trait};
use crate::finding::{Finding, Level};
use crate::vapour::MoistAir;

/// Whether one layer is ready.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerReadiness<'c> {
    /// Id of the medium or sealer.
    pub medium: &'c str,
    /// Place of the layer, from 1 at the bottom.
    pub place: usize,
    /// `Go` if ready; the most severe finding on it otherwise.
    pub level: Level,
    /// When it is ready; `None` if it is still to be laid, never is, or is masked.
    pub ready_at: Option<ZonedDateTime>,
}

/// Readiness of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Readiness<'c> {
    /// Every layer, bottom to top.
    pub layers: Vec<LayerReadiness<'c>>,
    /// When all layers are ready; `None` if one is still to be laid or never is, or the sheet has to be flattened.
    pub ready_at: Option<ZonedDateTime>,
    /// What was noticed.
    pub findings: Vec<Finding>,
}

/// Judges readiness at a moment. Each wait counts from its own layer's finish.
pub(super) fn judge_ready<'c>(
    sheet: &Sheet<'c>,
    catalog: &Catalog,
    air: &MoistAir,
    waits: &[LayerWait<'c>],
    start: &ZonedDateTime,
) -> Readiness<'c> {
    let mut findings = Vec::new();
    for layer in &sheet.layers {
        let mask_matters = layer.medium().is_some_and(|medium| medium.is(Trait::RemoveFirst));
        if layer.masked && !mask_matters {
            findings.extend(special::masked(layer));
            continue;
        }
        match special::never(layer) {
            Some(finding) => findings.push(finding),
            None => findings.extend(elapsed::judge(layer, catalog, air, start)),
        }
        findings.extend(special::bloom(layer, catalog, start));
        findings.extend(special::loose(layer));
    }
    findings.extend(flatten::bow(sheet, catalog));
    findings.extend(special::strike_through(sheet));

    let level = |place: usize| {
        let own = findings.iter().filter(|finding| finding.layers.contains(&place) && finding.level > Level::Note);
        own.map(|finding| finding.level).max().unwrap_or(Level::Go)
    };
    let layers: Vec<LayerReadiness<'c>> = sheet
        .layers
        .iter()
        .zip(waits)
        .map(|(layer, wait)| LayerReadiness {
            medium: layer.id(),
            place: layer.place,
            level: level(layer.place),
            ready_at: if layer.masked { None } else { wait.ready_at.clone() },
        })
        .collect();
    let blocked = findings.iter().any(|finding| finding.level == Level::Hold && finding.code != LAYER_WET);
    let exposed = || sheet.exposed().filter_map(|layer| layers.get(layer.place - 1));
    let timed = exposed().all(|layer| layer.ready_at.is_some());
    let ready_at = if blocked || !timed { None } else { exposed().filter_map(|layer| layer.ready_at.clone()).max() };
    Readiness { layers, ready_at, findings }
}
