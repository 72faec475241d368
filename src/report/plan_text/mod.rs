//! The plan on a terminal: the answer first, then the coats, then everything else, calm and in plain words.

pub(super) mod air;
mod coats;
mod findings;
mod how;
mod times;
mod why;

pub(super) use coats::{coats_in_short, first_distance, with_handling};
pub(super) use findings::{cautions, noticed};
pub(super) use how::{coat_by_coat, from_labels, in_general};

use super::look::Look;
use super::words::{plain_name, sheet_size, volume};
use super::writer::Writer;
use crate::caution;
use crate::finding::{Finding, Level};
use crate::plan::{Plan, RoomPart};
use crate::quantity::number;

/// Columns of the labels above the coats.
const LABEL: usize = 6;

/// A plan as text.
///
/// Quiet, it is exactly two lines: the answer and the caution, neither broken. Otherwise no line is wider than the
/// look's width (24 columns at least), and every finding, caution and item of the plan appears.
pub fn plan_text(plan: &Plan, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        return short_answer(plan, look);
    }
    writer.verdict(plan.verdict, &plan.answer);
    page(&mut writer, plan, look);
    if plan.verdict == Level::Hold {
        findings::write(&mut writer, plan, look);
        findings::would_change(&mut writer, plan);
    }
    coats::write(&mut writer, plan, look);
    how::write(&mut writer, plan, look);
    times::write(&mut writer, plan, look);
    findings::cautions(&mut writer, &plan.cautions);
    if plan.verdict != Level::Hold {
        findings::write(&mut writer, plan, look);
        findings::would_change(&mut writer, plan);
    }
    if let Some(air) = &plan.air {
        air::write(&mut writer, air, &air::AirRun::of(plan), look);
    }
    before(&mut writer, plan);
    others(&mut writer, plan);
    narrow(&mut writer, plan);
    if look.why {
        why::write(&mut writer, plan);
    }
    writer.finish()
}

/// The answer and the caution: each one line where the look is quiet, else broken to the width.
pub fn short_answer(plan: &Plan, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        let word = plan.verdict.word().to_uppercase();
        writer.line(&format!("{word}  {}", look.clean(&plan.answer)));
        writer.line(&look.clean(caution::IN_ONE_LINE));
    } else {
        writer.verdict(plan.verdict, &plan.answer);
        writer.text(0, &super::words::sentence(caution::IN_ONE_LINE));
    }
    writer.finish()
}

/// Title, page, sealer, room, and what was assumed because it was not given.
fn page(writer: &mut Writer, plan: &Plan, look: &Look) {
    writer.blank();
    writer.text(0, &plan.page.title);
    let size = sheet_size(look.units, plan.page.width_cm, plan.page.height_cm);
    let finish = plan.page.finish.as_deref().map(|finish| format!(", {finish} finish")).unwrap_or_default();
    writer.labelled(LABEL, "Page", &format!("{size}, {}{finish}", plain_name(&plan.page.paper)));
    writer.labelled(LABEL, "Sealer", &plan.sealer.name);
    writer.labelled(LABEL, "Room", &room_in_words(&plan.room, look));
    for finding in plan.findings.iter().filter(|finding| is_assumption(finding)) {
        writer.labelled(LABEL, "", &super::words::sentence(&finding.text));
    }
}

/// The room in one line.
pub(super) fn room_in_words(room: &RoomPart, look: &Look) -> String {
    let air = format!(
        "{}, {} % humidity, dew point {}",
        look.units.temperature(room.temperature_c),
        number(room.relative_humidity_pct.round()),
        look.units.temperature(room.dew_point_c),
    );
    match (room.volume_m3, room.air_changes_per_h) {
        (None, None) => format!("outdoors, {air}"),
        (size, changes) => {
            let size = size.map(|size| format!(", {}", volume(look.units, size))).unwrap_or_default();
            let changes =
                changes.map(|changes| format!(", {} air changes an hour", number((changes * 10.0).round() / 10.0)));
            format!("{air}{size}{}", changes.unwrap_or_default())
        }
    }
}

/// Whether a finding tells of something about the room that was assumed because it was not given.
fn is_assumption(finding: &Finding) -> bool {
    let has = |words: &[&str]| finding.code.split('-').any(|part| words.contains(&part));
    has(&["room", "airflow", "wind", "humidity", "temperature"])
        && has(&["assumed", "default", "unknown", "missing", "given"])
}

/// The list to go through before the first coat.
fn before(writer: &mut Writer, plan: &Plan) {
    if plan.preflight.is_empty() {
        return;
    }
    writer.head("Check before the first coat");
    for item in &plan.preflight {
        writer.item(2, "[ ]", &super::words::sentence(&item.text));
    }
}

/// The sealers that come after, with the reason.
fn others(writer: &mut Writer, plan: &Plan) {
    if plan.runners_up.is_empty() {
        return;
    }
    writer.head("Other sealers");
    for other in &plan.runners_up {
        let name = plain_name(&other.sealer);
        writer.bullet(&format!("{name} ({}): {}", other.verdict.word(), super::words::sentence(&other.reason)));
    }
}

/// The one measurement that would narrow the plan most.
fn narrow(writer: &mut Writer, plan: &Plan) {
    let Some(narrow) = &plan.narrow_most else { return };
    writer.head("What would make this plan surer");
    writer.text(2, &super::words::sentence(&narrow.measurement));
    for (at, step) in narrow.steps.iter().enumerate() {
        writer.item(2, &format!("{}.", at + 1), &super::words::sentence(step));
    }
}
