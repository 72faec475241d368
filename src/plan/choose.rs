//! Which sealer: every candidate's first coat at its most likely values, judged and ranked.

use super::bench::Bench;
use super::request::Request;
use crate::both::both;
use crate::catalog::{Catalog, Component, Sealer};
use crate::film::ReleaseCurve;
use crate::finding::Level;
use crate::fit::{Fit, LandedLiquid, LiquidShare, Ranked, assess, least_score, rank};
use crate::page::Sheet;
use crate::spray::{Deposit, Pattern, Setting, Spray, deposit};

/// All sealers of the catalog, and the person's own can if there is one, best first.
pub(super) fn ranking<'a>(sheet: &Sheet<'_>, bench: &Bench<'a>, own: Option<&'a Sealer>) -> Vec<Ranked<'a>> {
    let catalog: &'a Catalog = bench.catalog;
    // The one asked for may be one of the catalog as measured.
    let asked = |sealer: &'a Sealer| own.filter(|own| own.id == sealer.id).unwrap_or(sealer);
    let mut sealers: Vec<&'a Sealer> = catalog.sealers.values().map(asked).collect();
    if let Some(own) = own
        && !catalog.sealers.contains_key(&own.id)
    {
        sealers.push(own);
    }
    rank(sheet, judge_all(sheet, &sealers, bench), catalog)
}

/// The best-ranked sealer that may be a page's last seal: one that closes the tooth.
pub(super) fn best<'r, 'a>(ranked: &'r [Ranked<'a>]) -> Option<&'r Ranked<'a>> {
    ranked.iter().find(|candidate| last_seal(candidate.sealer)).or_else(|| ranked.first())
}

/// The sealer asked for, without comparing it to others, or the best-ranked one.
pub(super) fn asked_or_best<'a>(request: &Request<'a>, bench: &Bench<'a>) -> &'a Sealer {
    request.sealer.or_else(|| best_alone(request.sheet, bench)).unwrap_or_else(|| {
        let ranked = ranking(request.sheet, bench, None);
        best(&ranked).map_or(&bench.catalog.sealers[FALLBACK], |ranked| ranked.sealer)
    })
}

/// The sealer that [`ranking`] would put first among those that may be a last seal, without judging those that cannot
/// come before it: first the two whose least score is lowest, then, of the rest, those that could still be better.
fn best_alone<'a>(sheet: &Sheet<'_>, bench: &Bench<'a>) -> Option<&'a Sealer> {
    let catalog: &'a Catalog = bench.catalog;
    let candidates = catalog.sealers.values().filter(|sealer| last_seal(sealer));
    let mut waiting: Vec<(f64, &'a Sealer)> =
        candidates.map(|sealer| (least_score(sheet, sealer, catalog), sealer)).collect();
    waiting.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let sealers = |waiting: &[(f64, &'a Sealer)]| waiting.iter().map(|(_, sealer)| *sealer).collect::<Vec<_>>();
    let (first, rest) = waiting.split_at(waiting.len().min(2));
    let mut assessed = judge_all(sheet, &sealers(first), bench);
    let best = |assessed: &[(&'a Sealer, Fit)]| rank(sheet, assessed.to_vec(), catalog).into_iter().next();
    let best_yet = best(&assessed).filter(|best| best.fit.level == Level::Go);
    let could_be_better = best_yet.map_or(rest.len(), |best| rest.partition_point(|(least, _)| *least <= best.score));
    if could_be_better > 0 {
        assessed.extend(judge_all(sheet, &sealers(&rest[..could_be_better]), bench));
    }
    best(&assessed).map(|best| best.sealer)
}

/// Sealers and how they fit the page, in the order given. They are judged apart from each other, so two halves are
/// judged at once.
fn judge_all<'a>(sheet: &Sheet<'_>, sealers: &[&'a Sealer], bench: &Bench<'a>) -> Vec<(&'a Sealer, Fit)> {
    let (front, back) = sealers.split_at(sealers.len() / 2);
    let judge = |half: &[&'a Sealer]| half.iter().map(|sealer| judged(sheet, sealer, bench)).collect::<Vec<_>>();
    let (mut assessed, rest) = both(|| judge(front), || judge(back));
    assessed.extend(rest);
    assessed
}

/// A sealer and how it fits the page.
fn judged<'a>(sheet: &Sheet<'_>, sealer: &'a Sealer, bench: &Bench<'a>) -> (&'a Sealer, Fit) {
    (sealer, assess(sheet, sealer, &first_liquid(sheet, sealer, bench), &bench.catalog.rules))
}

/// The sealer taken where a catalog ranks none.
pub(super) const FALLBACK: &str = "acrylic-gloss";

/// Whether a sealer may be planned as a page's last seal without being asked for.
pub(super) fn last_seal(sealer: &Sealer) -> bool {
    sealer.for_paper && sealer.closes_tooth
}

/// The liquid of a standard first coat of a sealer: as far and as fast as the rules' middle, so that sealers compare.
fn first_liquid<'a>(sheet: &Sheet<'_>, sealer: &'a Sealer, bench: &Bench<'a>) -> LandedLiquid<'a> {
    let coats = &bench.catalog.rules.coats;
    let spray = Spray::new(sealer, &bench.air.air, bench.catalog);
    let distance_cm = coats.mist_distance_min_cm.get();
    let plume = spray.at_mode(distance_cm / 100.0);
    let speed_m_s = f64::midpoint(coats.mist_speed_min_m_s.get(), coats.mist_speed_max_m_s.get());
    let step_sigma = f64::midpoint(coats.mist_step_min_sigma.get(), coats.mist_step_max_sigma.get());
    let setting = Setting { distance_cm, speed_cm_s: 100.0 * speed_m_s, step_cm: 100.0 * step_sigma * plume.sigma_m };
    let pattern = Pattern::new(
        100.0 * sheet.width_m,
        100.0 * sheet.height_m,
        &setting,
        100.0 * plume.sigma_m,
        coats.overrun_cm.get(),
        0,
    );
    let deposit = deposit(&spray, &plume, &setting, &pattern);
    let released = bench.drier(bench.air.air).dry(&deposit.landed, 0.0).released;
    shares(&deposit, &released)
}

/// Shares of the liquid that landed, with the mean stay of each part. A CAS number nobody knows lands and dries as its
/// stand-in does, but what it does to a medium is not that one's to say.
fn shares<'a>(deposit: &Deposit<'a>, released: &ReleaseCurve<'_>) -> LandedLiquid<'a> {
    let landed = &deposit.landed;
    let unknown = |place: usize| {
        let of_place = deposit.released.iter().find(|part| part.landed_part == Some(place));
        of_place.is_some_and(|part| matches!(part.component, Component::Unknown { .. }))
    };
    let total: f64 = landed.parts.iter().map(|part| part.mass_g_m2).sum();
    if total <= 0.0 {
        return LandedLiquid::default();
    }
    let parts = landed
        .parts
        .iter()
        .enumerate()
        .map(|(place, part)| LiquidShare {
            substance: Some(part.substance).filter(|_| !unknown(place)),
            share: part.mass_g_m2 / total,
            stays_s: released.mean_stay_s(place),
        })
        .collect();
    LandedLiquid { parts }
}
