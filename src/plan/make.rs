//! From a request to a plan: every room is asked once, in the order a person would.

use jiff::ZonedDateTime;

use super::answer::{Answer, answer};
use super::bench::Bench;
use super::breath::{Run, air_findings, run};
use super::change::condition_changes;
use super::changes::other_changes;
use super::choose::{FALLBACK, best, last_seal, ranking};
use super::coats::coat_parts;
use super::echo::inputs;
use super::milestones::{later, milestones};
use super::model::{LayerReady, PagePart, Plan, RoomPart, RunnerUp, SealerPart};
use super::narrow::narrow_most;
use super::preflight::preflight;
use super::request::Request;
use super::times::{CoatDrying, blush_in, dry_coats};
use super::why::why;
use super::worked::{Window, Worked};
use crate::catalog::{Catalog, Sealer};
use crate::conditions;
use crate::estimate::Basis;
use crate::finding::{Finding, Level, verdict};
use crate::fit::{Ranked, finish_steps};
use crate::input::{clock_time, iso};
use crate::page::{PageReview, review};
use crate::solve::{CoatPlan, plan_coats};
use crate::vapour::MoistAir;

/// Plans the sealing of one page. The same request gives the same plan, byte for byte.
pub fn make(request: &Request<'_>, catalog: &Catalog) -> Plan {
    work(request, catalog).plan
}

/// Plans the sealing of one page and keeps what a bench of many pages needs besides.
pub fn work(request: &Request<'_>, catalog: &Catalog) -> Worked {
    let rules = &catalog.rules;
    let bench = Bench::of(request, catalog);
    let air = bench.air.air;
    let page = review(request.sheet, catalog, &air, request.start);
    let ranked = ranking(request.sheet, &bench, request.sealer);
    let chosen = chosen(request, &ranked);
    let sealer = chosen.map_or_else(|| &catalog.sealers[FALLBACK], |ranked| ranked.sealer);
    let coat_plan = plan_coats(request.sheet, sealer, &air, catalog, request.seed);
    let drying = dry_coats(&bench, sealer, &coat_plan.coats, request.seed);
    let run = run(request, &bench, sealer, &coat_plan.coats, &drying);

    let blush = blush(&bench, sealer, &coat_plan, &drying);
    let mut findings: Vec<Finding> = page.findings().cloned().collect();
    findings.extend(bench.air.assumed(rules));
    findings.extend(conditions::review(&air, &sealer.label, blush, rules));
    findings.extend(chosen.into_iter().flat_map(|ranked| ranked.fit.findings.iter().cloned()));
    findings.extend(finish_changed(request, sealer, &ranked));
    findings.extend(coat_plan.findings.iter().cloned());
    findings.extend(window_impossible(&run));
    findings.extend(air_findings(request, &bench, sealer, &run));
    // Stable: within a level the order is ready, conditions, fit, coats, air.
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    findings.dedup();
    let verdict = verdict(&findings);
    let hardened = findings.iter().any(|finding| finding.code == "hardener");

    let all_laid = request.sheet.layers.iter().all(|layer| layer.finished.is_some());
    let first_at = first_coat_at(request, &page, all_laid);
    let coats = coat_parts(&coat_plan, &drying, &run, first_at.as_ref());
    let last_end = first_at.as_ref().and_then(|first| {
        let offset_min = run.starts_min.last()? + coat_plan.coats.last()?.pattern.spray_s / 60.0;
        Some(later(first, offset_min))
    });
    let handle_min = handle_after_last(sealer, &run, rules);
    let handle_at = last_end.as_ref().map(|end| later(end, handle_min));

    let level_at = |other: &MoistAir| {
        conditions::level(other, &sealer.label, blush_in(&bench, sealer, &coat_plan.coats, *other), rules)
    };
    let mut would_change = condition_changes(&air, &sealer.label, rules, &level_at);
    would_change.extend(other_changes(request, &page, &ranked, sealer, &run, &findings));

    let clock = |moment: &ZonedDateTime| clock_time(moment, request.now);
    let answer = answer(&Answer {
        verdict,
        findings: &findings,
        sealer: &sealer.name,
        coats: &coats,
        ready_clock: first_at.as_ref().filter(|_| held_until_ready(&page)).map(clock),
        handle_clock: handle_at.as_ref().map(clock),
    });
    let sealer_total_g = coat_plan.total_g;
    let mut plan = Plan {
        schema: "coatbell.plan/1",
        version: env!("CARGO_PKG_VERSION"),
        inputs: inputs(request, &bench, sealer, chosen.is_some_and(|_| request.sealer.is_none())),
        verdict,
        answer,
        findings,
        cautions: crate::caution::in_full(),
        page: page_part(request),
        sealer: SealerPart { id: sealer.id.clone(), name: sealer.name.clone() },
        runners_up: runners_up(&ranked, sealer),
        room: room_part(&bench),
        ready_at: page.ready.ready_at.as_ref().map(iso),
        layers: layers_ready(&page),
        would_change,
        handle_at: handle_at.as_ref().map(iso),
        milestones: milestones(request.sheet, sealer, last_end.as_ref(), handle_min, rules),
        sealer_total_g,
        can_share_pct: sealer.can.net_g.map(|net| 100.0 * sealer_total_g / net),
        dry_film_total_um: (!coats.is_empty()).then_some(coat_plan.dry_total_um),
        coats,
        air: Some(run.air.review.clone()),
        narrow_most: narrow_most(request.sheet, sealer, catalog, &coat_plan.coats, &drying),
        preflight: preflight(request.sheet, sealer, request.room, run.coats.mask(), hardened),
        why: Vec::new(),
    };
    if request.why {
        plan.why = why(&plan, request, &bench, sealer, &coat_plan, &run);
    }
    let first_at = first_at.filter(|_| !plan.coats.is_empty());
    Worked { windows: windows(sealer, &run), air: run.coats, sealer: sealer.clone(), handle_min, first_at, plan }
}

/// When the label lets the next coat follow each coat late.
fn windows(sealer: &Sealer, run: &Run) -> Vec<Option<Window>> {
    let window = |closes_min: f64| {
        let until_min = sealer.label.recoat_window.map(|band| band.until_min);
        Window { closes_min, reopens_min: until_min.filter(|until| until.is_finite()) }
    };
    run.waits.iter().map(|wait| wait.recoat_by_min.map(window)).collect()
}

/// The sealer asked for, or the best-ranked one.
fn chosen<'r, 'a>(request: &Request<'_>, ranked: &'r [Ranked<'a>]) -> Option<&'r Ranked<'a>> {
    match request.sealer {
        Some(sealer) => ranked.iter().find(|candidate| candidate.sealer.id == sealer.id),
        None => best(ranked),
    }
}

/// The index the conditions are held against: the highest median of the planned coats, and the reference build.
fn blush(
    bench: &Bench<'_>,
    sealer: &Sealer,
    plan: &CoatPlan<'_>,
    drying: &[CoatDrying<'_>],
) -> Option<conditions::BlushIndex> {
    let mut index = blush_in(bench, sealer, &plan.coats, bench.air.air)?;
    let medians = drying.iter().filter_map(|dried| dried.sampled.map(|sampled| sampled.blush_index.p50));
    index.planned = medians.fold(index.planned, f64::max);
    Some(index)
}

/// When the first coat is sprayed: at the start, or when the page is ready if it is held until then; never while a
/// layer is still to be laid or the page is never ready.
fn first_coat_at(request: &Request<'_>, page: &PageReview<'_>, all_laid: bool) -> Option<ZonedDateTime> {
    let ready = page.ready.ready_at.as_ref().filter(|_| all_laid)?;
    let moment = if held_until_ready(page) { ready.max(request.start) } else { request.start };
    Some(moment.clone())
}

/// Whether a layer is too fresh to be sprayed at all at the start.
fn held_until_ready(page: &PageReview<'_>) -> bool {
    page.ready.layers.iter().any(|layer| layer.level == Level::Hold)
}

/// Minutes after the last coat until the sheet may be handled: the wait of the last coat, the trade's touch-dry time
/// and the rules' floor, whichever is longest.
pub(super) fn handle_after_last(sealer: &Sealer, run: &Run, rules: &crate::catalog::Rules) -> f64 {
    let last_wait = run.waits.last().map_or(0.0, |wait| f64::from(wait.minutes));
    let label = sealer.label.touch_dry_min.unwrap_or(0.0);
    last_wait.max(sealer.touch_min.mode()).max(label).max(rules.after.handle_floor_min.get())
}

/// The wanted finish was given up for another sealer: said, with the reason.
fn finish_changed(request: &Request<'_>, sealer: &Sealer, ranked: &[Ranked<'_>]) -> Option<Finding> {
    let wanted = request.sheet.finish?;
    if finish_steps(Some(wanted), sealer.finish) == 0 {
        return None;
    }
    let given = sealer.finish.map_or("no finish of its own", crate::input::Finish::word);
    if request.sealer.is_some() {
        let text = format!("You want {}; {} gives {given}", wanted.word(), sealer.name);
        return Some(Finding::new("finish-differs", Level::Note, text, Basis::Practice));
    }
    let passed_over =
        ranked.iter().find(|candidate| last_seal(candidate.sealer) && candidate.sealer.finish == Some(wanted));
    let reason = passed_over.map(|candidate| format!(": {}", candidate.reason)).unwrap_or_default();
    let text = format!("You want {}, but {} is planned, which gives {given}{reason}", wanted.word(), sealer.name);
    let finding = Finding::new("finish-changed", Level::Care, text, Basis::Practice);
    Some(finding.remedy("Name a sealer with `--sealer` if you insist"))
}

fn window_impossible(run: &Run) -> Option<Finding> {
    run.waits.iter().any(|wait| wait.window_impossible).then(|| {
        let text = "Your can's recoat window closes before a coat is ready for the next one";
        Finding::new("recoat-window", Level::Hold, text, Basis::Label)
            .remedy("Take another can, or spray in warmer, drier air with more draught")
    })
}

fn page_part(request: &Request<'_>) -> PagePart {
    let sheet = request.sheet;
    PagePart {
        title: sheet.title.clone(),
        width_cm: 100.0 * sheet.width_m,
        height_cm: 100.0 * sheet.height_m,
        paper: sheet.paper.id.clone(),
        finish: sheet.finish.map(|finish| finish.word().to_owned()),
    }
}

fn room_part(bench: &Bench<'_>) -> RoomPart {
    let air = bench.air.air;
    RoomPart {
        temperature_c: air.temperature_c,
        relative_humidity_pct: 100.0 * air.relative_humidity,
        dew_point_c: air.dew_point_c(),
        volume_m3: (!bench.room.outdoors).then_some(bench.room.volume_m3),
        air_changes_per_h: bench.room.air_changes_per_h(),
    }
}

fn runners_up(ranked: &[Ranked<'_>], chosen: &Sealer) -> Vec<RunnerUp> {
    ranked
        .iter()
        .filter(|candidate| candidate.sealer.id != chosen.id)
        .map(|candidate| RunnerUp {
            sealer: candidate.sealer.id.clone(),
            verdict: candidate.fit.level,
            reason: candidate.reason.clone(),
        })
        .collect()
}

fn layers_ready(page: &PageReview<'_>) -> Vec<LayerReady> {
    page.ready
        .layers
        .iter()
        .map(|layer| LayerReady {
            medium: layer.medium.to_owned(),
            ready_at: layer.ready_at.as_ref().map(iso),
            level: layer.level,
        })
        .collect()
}
