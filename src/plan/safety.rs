//! The review of the air alone: of a page's coats, or of an amount sprayed so many times.

use serde::Serialize;
use serde_json::{Value, json};

use super::bench::Bench;
use super::breath::{air_findings, coat_air, run_for_air};
use super::choose::asked_or_best;

use super::request::Request;
use crate::air::{AirOutcome, AirReview, CoatAir, RespiratorKind, RunAir, ThreeTimes, review, shares_of};
use crate::catalog::{Catalog, Sealer};
use crate::diagnostic::plural;
use crate::finding::{Finding, Level, verdict};
use crate::input::RoomInput;
use crate::quantity::{after_minutes, minutes_in_words, number};
use crate::solve::plan_coats;
use crate::spray::{Along, Pattern, START_CORNERS, Setting, Spray, deposit};

/// Seconds in a minute.
const MINUTE_S: f64 = 60.0;

/// A coat as the review of the air shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SafetyCoat {
    /// From 1.
    pub number: usize,
    /// Begins, min after the first.
    pub starts_min: f64,
    /// Ends, min after the first begins.
    pub ends_min: f64,
    /// Out of the can, g.
    pub sealer_g: f64,
    /// A masked person may return after, min.
    pub return_masked_min: Option<u32>,
}

/// The sealer sprayed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SafetySealer {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
}

/// The room sprayed in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SafetyRoom {
    /// Whether the bench is outdoors.
    pub outdoors: bool,
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Relative humidity, %.
    pub relative_humidity_pct: f64,
    /// Volume, m³; none outdoors.
    pub volume_m3: Option<f64>,
    /// Most likely air changes an hour; none outdoors.
    pub air_changes_per_h: Option<f64>,
}

/// The review of the air as data.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Safety {
    /// `coatbell.safety/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// Echo of what was taken, defaults included.
    pub inputs: Value,
    /// `go`, `care` or `hold`.
    pub verdict: Level,
    /// The answer in one line.
    pub answer: String,
    /// Everything noticed, most severe first.
    pub findings: Vec<Finding>,
    /// The cautions.
    pub cautions: Vec<String>,
    /// Title of the page; none for an amount.
    pub page: Option<String>,
    /// The sealer.
    pub sealer: SafetySealer,
    /// The room.
    pub room: SafetyRoom,
    /// The coats.
    pub coats: Vec<SafetyCoat>,
    /// The air.
    pub air: AirReview,
    /// Where to keep the sheet while it gives off solvent.
    pub keep_sheet: String,
}

/// So many coats of an amount, with a sealer, in a room.
#[derive(Debug, Clone, Copy)]
pub struct Amount<'a> {
    /// The sealer.
    pub sealer: &'a Sealer,
    /// Out of the can in each coat, g.
    pub grams: f64,
    /// Number of coats; at least one.
    pub coats: usize,
    /// From the start of one coat to the start of the next, min.
    pub every_min: f64,
    /// The room; `None` takes the stated default.
    pub room: Option<&'a RoomInput>,
    /// Whether the room itself was named.
    pub room_named: bool,
    /// The mask the person has.
    pub respirator: Option<RespiratorKind>,
}

/// Reviews the air of a page's coats, with the waits that its plan has.
pub fn safety_of_page(request: &Request<'_>, catalog: &Catalog) -> Safety {
    let bench = Bench::of(request, catalog);
    let sealer = asked_or_best(request, &bench);
    let coats = plan_coats(request.sheet, sealer, &bench.air.air, catalog, request.seed);
    let mut run = run_for_air(request, &bench, sealer, &coats.coats);
    run.air.findings = air_findings(request, &bench, sealer, &run);
    let rows = coats.coats.iter().zip(&run.starts_min).zip(&run.air.after_coats).map(|((coat, start), times)| {
        let (spray_s, grams) = (coat.pattern.spray_s, coat.grams());
        row(coat.number, *start, spray_s, grams, times)
    });
    let inputs = json!({
        "page": request.sheet.title,
        "sealer": sealer.id,
        "room": request.room.filter(|_| request.room_named).map(|room| room.name.clone()),
        "mask": request.respirator.map(RespiratorKind::id),
        "seed": request.seed,
    });
    document(inputs, Some(request.sheet.title.clone()), sealer, rows.collect(), run.air, &bench)
}

/// Reviews the air of so many coats of an amount. The spray is that of a build on card of ordinary weight: as near as
/// builds come, since what lands keeps giving off solvent and what does not is in the air at once.
pub fn safety_of_amount(amount: &Amount<'_>, catalog: &Catalog) -> Safety {
    let card = catalog.papers["cardstock"].grammage_g_m2;
    let bench = Bench::with(amount.room, amount.room_named, card, catalog);
    let rules = &catalog.rules.coats;
    let spray = Spray::new(amount.sealer, &bench.air.air, catalog);
    let distance_cm = f64::midpoint(rules.build_distance_min_cm.get(), rules.build_distance_max_cm.get());
    let plume = spray.at_mode(distance_cm / 100.0);
    let speed_m_s = f64::midpoint(rules.build_speed_min_m_s.get(), rules.build_speed_max_m_s.get());
    let setting = Setting { distance_cm, speed_cm_s: 100.0 * speed_m_s, step_cm: 200.0 * plume.sigma_m };
    let spray_s = amount.grams / plume.discharge_g_s;
    let pattern = Pattern {
        along: Along::Long,
        passes: 1,
        first_pass_offset_cm: 0.0,
        overrun_cm: 0.0,
        seconds_per_pass: spray_s,
        spray_s,
        page_share: 1.0,
        start_corner: START_CORNERS[0],
    };
    let laid = deposit(&spray, &plume, &setting, &pattern);
    let released = bench.drier(bench.air.air).dry(&laid.landed, 0.0).released;
    // The amount was weighed, so the can's strength is in it already.
    let coat = coat_air(&laid, spray_s, &released, 1.0);
    let starts_s: Vec<f64> = (0..amount.coats.max(1)).map(|n| n as f64 * amount.every_min * MINUTE_S).collect();
    let coats: Vec<CoatAir> = starts_s.iter().map(|start| coat.shifted(*start)).collect();
    let run = RunAir {
        room: bench.room.clone(),
        coats,
        shares: shares_of(&amount.sealer.composition),
        respirator: amount.respirator,
        hardener: amount.sealer.label.hardener(),
        ignition: amount.room.is_some_and(|room| room.ignition),
        relative_humidity: Some(bench.air.air.relative_humidity),
    };
    let mut air = review(&run, catalog);
    air.findings.extend(too_close(&starts_s, &air.after_coats, spray_s, catalog));
    let rows = starts_s
        .iter()
        .zip(&air.after_coats)
        .enumerate()
        .map(|(n, (start, times))| row(n + 1, start / MINUTE_S, spray_s, amount.grams, times))
        .collect();
    let inputs = json!({
        "page": null,
        "sealer": amount.sealer.id,
        "amount_g": amount.grams,
        "coats": amount.coats,
        "every_min": amount.every_min,
        "room": amount.room.filter(|_| amount.room_named).map(|room| room.name.clone()),
        "mask": amount.respirator.map(RespiratorKind::id),
    });
    document(inputs, None, amount.sealer, rows, air, &bench)
}

/// Coats that begin before a masked person may be back at the bench.
fn too_close(starts_s: &[f64], after: &[ThreeTimes], spray_s: f64, catalog: &Catalog) -> Option<Finding> {
    let gap_min = (starts_s.get(1)? - starts_s[0] - spray_s) / MINUTE_S;
    let earlier = &after[..after.len() - 1];
    let longest = earlier.iter().map(|times| times.return_masked_min.unwrap_or(u32::MAX)).max()?;
    if f64::from(longest) <= gap_min {
        return None;
    }
    let (back, remedy) = if longest == u32::MAX {
        ("not on the same day".to_owned(), "Spray one coat a day here, or bring in more outside air".to_owned())
    } else {
        let longest = minutes_in_words(i64::from(longest));
        (format!("only after {longest}"), format!("Leave {longest} between coats, or bring in more outside air"))
    };
    let gap = minutes_in_words(libm::round(gap_min.max(0.0)) as i64);
    let text = format!("The next coat begins {gap} after one ends, but a masked person may be back {back}");
    let grounds = &catalog.rules.air.return_floor_min.grounds;
    Some(Finding::on("coats-before-return", Level::Care, text, grounds).remedy(remedy))
}

fn row(number: usize, starts_min: f64, spray_s: f64, sealer_g: f64, times: &ThreeTimes) -> SafetyCoat {
    SafetyCoat {
        number,
        starts_min,
        ends_min: starts_min + spray_s / MINUTE_S,
        sealer_g,
        return_masked_min: times.return_masked_min,
    }
}

fn document(
    inputs: Value,
    page: Option<String>,
    sealer: &Sealer,
    coats: Vec<SafetyCoat>,
    outcome: AirOutcome,
    bench: &Bench<'_>,
) -> Safety {
    let AirOutcome { review: air, mut findings, advice, .. } = outcome;
    findings.extend(bench.air.assumed(&bench.catalog.rules));
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    let verdict = verdict(&findings);
    let room = SafetyRoom {
        outdoors: bench.room.outdoors,
        temperature_c: bench.air.air.temperature_c,
        relative_humidity_pct: 100.0 * bench.air.air.relative_humidity,
        volume_m3: (!bench.room.outdoors).then_some(bench.room.volume_m3),
        air_changes_per_h: bench.room.air_changes_per_h(),
    };
    Safety {
        schema: "coatbell.safety/1",
        version: env!("CARGO_PKG_VERSION"),
        answer: answer(verdict, &findings, &coats, &air),
        inputs,
        verdict,
        findings,
        cautions: crate::caution::in_full(),
        page,
        sealer: SafetySealer { id: sealer.id.clone(), name: sealer.name.clone() },
        room,
        coats,
        air,
        keep_sheet: advice.keep_sheet,
    }
}

/// The answer in one line, without the verdict word and without a full stop.
fn answer(verdict: Level, findings: &[Finding], coats: &[SafetyCoat], air: &AirReview) -> String {
    let grams: f64 = coats.iter().map(|coat| coat.sealer_g).sum();
    let run = format!("{}, {} g in all", plural(coats.len(), "coat"), number((grams * 10.0).round() / 10.0));
    if verdict == Level::Hold {
        let reason = findings.first().map(|finding| finding.text.clone()).unwrap_or_default();
        return format!("Do not spray this here ({run}): {reason}");
    }
    format!(
        "{run}: with the mask, leaving after each coat; clear without a mask {}, for others {}",
        after_minutes(air.clear_unmasked_min),
        after_minutes(air.clear_others_min)
    )
}
