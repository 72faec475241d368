//! Ranking sealers for a page.

use super::assess::Fit;
use crate::catalog::{Catalog, Component, Sealer, Trait};
use crate::finding::Level;
use crate::input::Finish;
use crate::page::Sheet;

/// A sealer with its place in the ranking.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked<'c> {
    /// The sealer.
    pub sealer: &'c Sealer,
    /// How it fits.
    pub fit: Fit,
    /// The ranking score; lower is better among equal levels.
    pub score: f64,
    /// Why it is not better, in words.
    pub reason: String,
}

/// How many steps a sealer's finish is from the wanted one; a fixative gives none and is two steps away.
pub fn finish_steps(wanted: Option<Finish>, given: Option<Finish>) -> u8 {
    let step = |finish: Finish| match finish {
        Finish::Matte => 0_u8,
        Finish::Satin => 1,
        Finish::Gloss => 2,
    };
    match (wanted, given) {
        (_, None) => 2,
        (None, Some(_)) => 0,
        (Some(wanted), Some(given)) => step(wanted).abs_diff(step(given)),
    }
}

/// Ranks sealers: milder level first, then the score, then the id, so that the order never changes.
///
/// Score = worst bleed index in units of the line-work limit, plus a step for every step away from the wanted finish,
/// plus steps for yellowing, for much of a substance that harms the unborn or the hearing and, on loose work, for
/// anything but a fixative (which must not be built up anyway).
pub fn rank<'c>(sheet: &Sheet<'_>, assessed: Vec<(&'c Sealer, Fit)>, catalog: &Catalog) -> Vec<Ranked<'c>> {
    let mut ranked: Vec<Ranked<'c>> = assessed
        .into_iter()
        .map(|(sealer, fit)| {
            let set_back = SetBack::of(sheet, sealer, catalog);
            let bleed = fit.worst_bleed_um() / catalog.rules.fit.bleed_line_um.get();
            let score = bleed + set_back.score(catalog);
            let reason = reason(sheet, sealer, &fit, &set_back);
            Ranked { sealer, fit, score, reason }
        })
        .collect();
    ranked.sort_by(|a, b| {
        a.fit.level.cmp(&b.fit.level).then(a.score.total_cmp(&b.score)).then(a.sealer.id.cmp(&b.sealer.id))
    });
    ranked
}

/// The score of a sealer before anything is known of its liquid: what [`rank`] gives it is never lower.
pub fn least_score(sheet: &Sheet<'_>, sealer: &Sealer, catalog: &Catalog) -> f64 {
    SetBack::of(sheet, sealer, catalog).score(catalog)
}

/// The steps a sealer is set back by.
struct SetBack {
    steps: f64,
    loose: f64,
    yellow: f64,
    hazard: f64,
}

impl SetBack {
    fn of(sheet: &Sheet<'_>, sealer: &Sealer, catalog: &Catalog) -> Self {
        let figures = &catalog.rules.fit;
        let friable = sheet.exposed().any(|layer| layer.medium().is_some_and(|medium| medium.is(Trait::Friable)));
        Self {
            // Loose work is fixed, not built up: no sealer brings it to a finish, so none is preferred for one.
            steps: if friable { 0.0 } else { f64::from(finish_steps(sheet.finish, sealer.finish)) },
            loose: if friable && sealer.finish.is_some() { figures.loose_work_steps.get() } else { 0.0 },
            yellow: if sealer.yellows_badly { figures.yellowing_steps.get() } else { 0.0 },
            hazard: if flagged(sealer, catalog) { figures.hazard_steps.get() } else { 0.0 },
        }
    }

    fn score(&self, catalog: &Catalog) -> f64 {
        catalog.rules.fit.finish_step.get() * (self.steps + self.loose + self.yellow + self.hazard)
    }
}

/// Whether a flagged substance may reach the share from which the air review calls for care.
fn flagged(sealer: &Sealer, catalog: &Catalog) -> bool {
    let limit = catalog.rules.air.hazard_share_care.get();
    sealer.composition.parts.iter().any(|part| match &part.component {
        Component::Substance(id) => {
            catalog.substances.get(id).is_some_and(|substance| !substance.hazards.is_empty())
                && part.share.high() >= limit
        }
        _ => false,
    })
}

fn reason(sheet: &Sheet<'_>, sealer: &Sealer, fit: &Fit, set_back: &SetBack) -> String {
    let severe = fit.findings.iter().filter(|finding| finding.level >= Level::Care).max_by_key(|finding| finding.level);
    if let Some(finding) = severe {
        return finding.text.clone();
    }
    if set_back.loose > 0.0 {
        return "builds a film that loose pigment cannot carry".to_owned();
    }
    if set_back.yellow > 0.0 {
        return "yellows with age".to_owned();
    }
    if set_back.hazard > 0.0 {
        return "carries more of what harms hearing or the unborn".to_owned();
    }
    if set_back.steps > 0.0 {
        let given = sealer.finish.map_or("no finish of its own", Finish::word);
        return match sheet.finish {
            Some(wanted) => format!("gives {given}, not the {} you want", wanted.word()),
            None => "fixes but does not seal".to_owned(),
        };
    }
    let moved = fit.most_moved().and_then(|index| {
        let name = sheet.layers.iter().find(|layer| layer.place == index.place)?.name();
        Some(match &index.worst {
            Some(substance) => format!("its {} moves the {name} more", substance.replace('-', " ")),
            None => format!("moves the {name} more"),
        })
    });
    moved.unwrap_or_else(|| "fits as well".to_owned())
}
