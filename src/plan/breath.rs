//! What the coats release, when, and what it does to the air; waits grow where the air needs longer.

use super::bench::Bench;
use super::request::Request;
use super::times::{CoatDrying, handled_later_than, stacked};
use super::waits::{Wait, planned_wait};
use crate::air::{AirOutcome, CoatAir, CurvePiece, Release, RunAir, Shape, review, shares_of, times_after_last};
use crate::catalog::{Component, Sealer, SolidKind};
use crate::estimate::Basis;
use crate::film::ReleaseCurve;
use crate::finding::{Finding, Level};
use crate::solve::{PlannedCoat, plan_coats};
use crate::spray::Deposit;

/// Seconds in a minute.
const MINUTE_S: f64 = 60.0;

/// How long after the film model's end the last trace of solvent leaves, s: spread over this time again.
const TRACE_FACTOR: f64 = 2.0;

/// A run in time: waits, starts and the air.
#[derive(Debug, Clone)]
pub(super) struct Run {
    /// The planned wait after each coat.
    pub(super) waits: Vec<Wait>,
    /// Start of each coat, min after the first.
    pub(super) starts_min: Vec<f64>,
    /// The air.
    pub(super) air: AirOutcome,
    /// The coats in the room, as the air was asked about them.
    pub(super) coats: RunAir,
}

/// Schedules the coats one after another. The wait after a coat depends on the air it leaves, and that on the coats
/// before it: coats are placed in order, each with what came before.
pub(super) fn run(
    request: &Request<'_>,
    bench: &Bench<'_>,
    sealer: &Sealer,
    coats: &[PlannedCoat<'_>],
    drying: &[CoatDrying<'_>],
) -> Run {
    let released: Vec<&ReleaseCurve<'_>> = drying.iter().map(|dried| &dried.released).collect();
    let handle_min = |place: usize, _: &Wait| drying[place].sampled.map(|sampled| sampled.handle_min.p50);
    run_with(request, bench, sealer, coats, &released, handle_min)
}

/// The same run where only its air is asked for: a coat is not dried beyond what its wait needs, and the last one, which
/// nothing waits for, not at all.
pub(super) fn run_for_air(request: &Request<'_>, bench: &Bench<'_>, sealer: &Sealer, coats: &[PlannedCoat<'_>]) -> Run {
    let stacked = stacked(coats);
    let drier = bench.drier(bench.air.air);
    let curves: Vec<ReleaseCurve<'_>> =
        stacked.iter().map(|(coat, below_um)| drier.dry(&coat.deposit.landed, *below_um).released).collect();
    let factor = bench.catalog.rules.coats.wait_factor.get();
    let handle_min = |place: usize, without: &Wait| {
        let next = place + 1 < coats.len();
        let limit_min = f64::from(without.minutes) / factor;
        next.then(|| handled_later_than(bench, sealer, stacked[place], limit_min, request.seed)).flatten()
    };
    run_with(request, bench, sealer, coats, &curves.iter().collect::<Vec<_>>(), handle_min)
}

/// A run whose coats release what is given. `handle_min` says how long a coat takes until it may be handled, if that may
/// be longer than the wait it would have without.
fn run_with(
    request: &Request<'_>,
    bench: &Bench<'_>,
    sealer: &Sealer,
    coats: &[PlannedCoat<'_>],
    released: &[&ReleaseCurve<'_>],
    handle_min: impl Fn(usize, &Wait) -> Option<f64>,
) -> Run {
    let rules = &bench.catalog.rules;
    // The plan is made for the most likely can; people are warned for a strong one.
    let strength = sealer.strength_for_warnings();
    let mut placed: Vec<CoatAir> = Vec::new();
    let mut waits = Vec::new();
    let mut starts_min = Vec::new();
    let mut clock_s = 0.0;
    for (place, (coat, released)) in coats.iter().zip(released).enumerate() {
        let released = coat_air(&coat.deposit, coat.pattern.spray_s, released, strength);
        placed.push(released.shifted(clock_s));
        starts_min.push(clock_s / MINUTE_S);
        let so_far = run_air(request, bench, sealer, placed.clone());
        let back_min = times_after_last(&so_far, bench.catalog).return_masked_min.map(f64::from);
        let last = place + 1 == coats.len();
        let without = planned_wait(sealer, None, back_min, last, rules);
        let wait = match handle_min(place, &without) {
            Some(handle_min) => planned_wait(sealer, Some(handle_min), back_min, last, rules),
            None => without,
        };
        clock_s += coat.pattern.spray_s + f64::from(wait.minutes) * MINUTE_S;
        waits.push(wait);
    }
    let coats = run_air(request, bench, sealer, placed);
    let air = review(&coats, bench.catalog);
    Run { waits, starts_min, air, coats }
}

fn run_air(request: &Request<'_>, bench: &Bench<'_>, sealer: &Sealer, coats: Vec<CoatAir>) -> RunAir {
    RunAir {
        room: bench.room.clone(),
        coats,
        shares: shares_of(&sealer.composition),
        respirator: request.respirator,
        hardener: sealer.label.hardener(),
        ignition: request.room.is_some_and(|room| room.ignition),
        relative_humidity: Some(bench.air.air.relative_humidity),
    }
}

/// Everything the air says about a run. With a measured can the run is also made without its measurements, and what that
/// one would warn of stays: a tuned plan sprays differently, and what a person measured never takes a warning away.
pub(super) fn air_findings(request: &Request<'_>, bench: &Bench<'_>, sealer: &Sealer, measured: &Run) -> Vec<Finding> {
    let said = |run: &Run| air_not_today(run).into_iter().chain(run.air.findings.iter().cloned()).collect::<Vec<_>>();
    let mut findings = said(measured);
    if let Some(plain) = &sealer.without_measurements() {
        let coats = plan_coats(request.sheet, plain, &bench.air.air, bench.catalog, request.seed);
        let unmeasured = run_for_air(request, bench, plain, &coats.coats);
        let kept = never_milder(&findings, said(&unmeasured));
        findings.extend(kept);
    }
    findings
}

/// The room does not clear within a day: no next coat in it.
fn air_not_today(run: &Run) -> Option<Finding> {
    let blocked = run.air.after_coats.iter().any(|times| times.return_masked_min.is_none());
    (blocked && run.waits.len() > 1).then(|| {
        let text = "After a coat the room does not clear within a day, not even for someone with a mask";
        Finding::new("air-not-today", Level::Hold, text, Basis::Choice)
            .remedy("Spray outdoors, or move more air through the room")
    })
}

/// The warnings about the air that a plan without measurements would give, where those of the measured can are milder
/// or missing: what a person measured never takes a warning away.
fn never_milder(measured: &[Finding], plain: Vec<Finding>) -> Vec<Finding> {
    let as_severe =
        |warning: &Finding| measured.iter().any(|other| other.code == warning.code && other.level >= warning.level);
    plain
        .into_iter()
        .filter(|warning| warning.level > Level::Note && !as_severe(warning))
        .map(|warning| Finding {
            text: format!("{} (for a can that is not measured; measuring takes no warning away)", warning.text),
            ..warning
        })
        .collect()
}

/// Everything one coat releases, from its own start on.
///
/// Propellant, flash-off and overspray go while spraying; what landed, on the page and beside it, goes as the film
/// dries; the solids of the overspray are the mist. Together with the solids that landed they add up to what left the
/// can, times `strength`: how much more than the deposit's own rate the can is taken to give.
pub(super) fn coat_air(deposit: &Deposit<'_>, spray_s: f64, released: &ReleaseCurve<'_>, strength: f64) -> CoatAir {
    let mut releases = Vec::new();
    let mut add = |component: &Component, mass_g: f64, shape: Shape| {
        if mass_g > 0.0 {
            releases.push(Release { component: component.clone(), mass_g: mass_g * strength, start_s: 0.0, shape });
        }
    };
    let steady = Shape::Steady { duration_s: spray_s };
    for part in &deposit.released {
        add(&part.component, part.flashed_g + part.overspray_g, steady.clone());
        let landed_g = part.beside_g + part.page_g;
        match part.landed_part {
            Some(place) => add(&part.component, landed_g, Shape::Curve(film_curve(released, place, spray_s).into())),
            None => add(&part.component, landed_g, steady.clone()),
        }
    }
    add(&Component::Solid(SolidKind::Resin), deposit.overspray_solids_g, steady);
    CoatAir { start_s: 0.0, end_s: spray_s, releases }
}

/// The film's release of one part as pieces of steady rate, s after the coat begins.
///
/// Strokes land all through the spraying; the drying clock of the mean place starts half-way. What the film still
/// holds when its curve ends leaves over as long again.
fn film_curve(released: &ReleaseCurve<'_>, place: usize, spray_s: f64) -> Vec<CurvePiece> {
    let offset_s = 0.5 * spray_s;
    let mut pieces: Vec<CurvePiece> = released
        .times_s
        .windows(2)
        .zip(released.left_g_m2.windows(2))
        .map(|(times, left)| CurvePiece {
            from_s: offset_s + times[0],
            to_s: offset_s + times[1],
            part: (left[0][place] - left[1][place]).max(0.0),
        })
        .collect();
    let end_s = released.times_s.last().copied().unwrap_or(0.0);
    let trace = released.left_g_m2.last().map_or(0.0, |left| left[place]);
    pieces.push(CurvePiece {
        from_s: offset_s + end_s,
        to_s: offset_s + TRACE_FACTOR * end_s.max(MINUTE_S),
        part: trace,
    });
    pieces
}
