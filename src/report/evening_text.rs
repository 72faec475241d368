//! An evening on a terminal: the answer, what was noticed, the coats by the clock, the cans and the air.

use super::lanes::lanes;
use super::look::Look;
use super::plan_text::noticed;
use super::words::{fullness, per_cent, sentence};
use super::writer::Writer;
use crate::batch::{Evening, EveningStep};
use crate::caution;
use crate::diagnostic::plural;
use crate::input::clock_time;
use crate::plan::CoatKind;
use crate::quantity::{after_minutes, minutes_in_words, number};

/// An evening as text. Quiet, it is the answer and the caution in one line each.
pub fn evening_text(evening: &Evening, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        let word = evening.verdict.word().to_uppercase();
        writer.line(&format!("{word}  {}", look.clean(&evening.answer)));
        writer.line(caution::IN_ONE_LINE);
        return writer.finish();
    }
    writer.verdict(evening.verdict, &evening.answer);
    lanes(&mut writer, evening, look);
    by_the_clock(&mut writer, evening, look);
    left_out(&mut writer, evening, look);
    cans(&mut writer, evening);
    air(&mut writer, evening);
    noticed(&mut writer, &evening.findings, look);
    writer.head("How good the order is");
    writer.text(2, &how_good(evening));
    writer.head("Before you start");
    for caution in &evening.cautions {
        writer.bullet(&sentence(caution));
    }
    writer.finish()
}

/// A moment of the document as a clock time.
pub(super) fn clock(text: &str, look: &Look) -> String {
    text.parse::<jiff::Timestamp>().map_or_else(
        |_| look.clean(text),
        |moment| clock_time(&moment.to_zoned_datetime(look.now.time_zone().clone()), &look.now),
    )
}

fn by_the_clock(writer: &mut Writer<'_>, evening: &Evening, look: &Look) {
    if evening.steps.is_empty() {
        return;
    }
    writer.head("By the clock");
    for step in &evening.steps {
        if step.change_can {
            writer.text(2, &format!("change to {}", step.sealer_name));
        }
        writer.entry(9, &clock(&step.starts_at, look), &step_words(evening, step, look));
    }
    writer.text(2, "Each time counts from taking the sheet; the spraying itself is a matter of seconds.");
}

/// What to do at a step.
pub(super) fn step_words(evening: &Evening, step: &EveningStep, look: &Look) -> String {
    let kind = match step.kind {
        CoatKind::Mist => "mist",
        CoatKind::Build => "build",
    };
    let name = evening.name_of(step.page, step.copy, &step.title);
    let wait = minutes_in_words(step.wait_min);
    let then = if step.coat == step.of {
        format!("then {wait} on the rack")
    } else {
        let by = step.next_by.as_ref().map(|by| format!(", the next by {}", clock(by, look)));
        let again = step.next_again_from.as_ref().map(|from| format!(" or from {}", clock(from, look)));
        format!("next in {wait}{}{}", by.unwrap_or_default(), again.unwrap_or_default())
    };
    format!("{name}: coat {} of {}, {kind}, {}; {then}", step.coat, step.of, step.sealer_name)
}

fn left_out(writer: &mut Writer<'_>, evening: &Evening, look: &Look) {
    let mut out = evening.pages.iter().filter(|page| !page.fits && page.would_fit_at.is_some()).peekable();
    if out.peek().is_none() {
        return;
    }
    writer.head("What does not fit, and when it would");
    for page in out {
        let name = evening.name_of(page.page, page.copy, &page.title);
        let when = page.would_fit_at.as_ref().map_or_else(String::new, |at| clock(at, look));
        writer.bullet(&format!("{name}: {when}."));
    }
}

fn cans(writer: &mut Writer<'_>, evening: &Evening) {
    if evening.cans.is_empty() {
        return;
    }
    writer.head("Cans");
    for can in &evening.cans {
        let full = can.cans.map(|cans| format!(", {}", plural(cans, "full can"))).unwrap_or_default();
        let grams = number(libm::ceil(can.grams));
        writer.bullet(&format!("{}: {grams} g{full}, {}.", can.name, plural(can.coats, "coat")));
    }
}

fn air(writer: &mut Writer<'_>, evening: &Evening) {
    let Some(air) = &evening.air else { return };
    writer.head("Air");
    writer.bullet(&format!(
        "Over 15 minutes the exposure limit at your face is {} at worst, in the room {}; explosive limit {} at your face.",
        fullness(air.index_15min),
        fullness(air.room_index_peak),
        per_cent(air.lel_near_pct)
    ));
    writer.bullet(&format!(
        "After the last coat: back with the mask {}, without it {}, others {}.",
        after_minutes(air.return_masked_min),
        after_minutes(air.clear_unmasked_min),
        after_minutes(air.clear_others_min)
    ));
}

fn how_good(evening: &Evening) -> String {
    let wait = match evening.wet_wait_min {
        0 => "no begun page waits longer than it must".to_owned(),
        minutes => format!("begun pages wait {} longer than they must, all together", minutes_in_words(minutes)),
    };
    let bound = if evening.proved {
        "No order is quicker".to_owned()
    } else {
        format!("No order can be done before {} have passed", minutes_in_words(evening.lower_bound_min))
    };
    format!(
        "{bound}; this one takes {}, one page after another {}. At most {} on the rack; {wait}.",
        minutes_in_words(evening.makespan_min),
        minutes_in_words(evening.one_by_one_min),
        plural(evening.rack_peak, "sheet")
    )
}
