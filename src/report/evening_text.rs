//! An evening on a terminal: the answer, what was noticed, the coats by the clock, the cans and the air.

use super::by_the_clock::{by_the_clock, clock};
use super::lanes::lanes;
use super::look::Look;
use super::plan_text::noticed;
use super::words::{fullness, how_to_spray, per_cent, sentence};
use super::writer::Writer;
use crate::batch::Evening;
use crate::caution;
use crate::diagnostic::plural;
use crate::finding::Level;
use crate::quantity::{after_minutes, minutes_in_words, number};

/// Most pages whose coats are told; the sheets have all.
const MOST_TOLD: usize = 20;

/// An evening as text. Quiet, it is the answer and the caution in one line each.
pub fn evening_text(evening: &Evening, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        in_short(&mut writer, evening, look);
        return writer.finish();
    }
    writer.verdict(evening.verdict, &evening.answer);
    lanes(&mut writer, evening, look);
    steps(&mut writer, evening, look);
    how(&mut writer, evening, look);
    left_out(&mut writer, evening, look);
    cans(&mut writer, evening);
    air(&mut writer, evening);
    noticed(&mut writer, &evening.findings, look);
    if !evening.steps.is_empty() {
        writer.head("How good the order is");
        writer.text(2, &how_good(evening));
    }
    writer.head("Before you start");
    for caution in &evening.cautions {
        writer.bullet(&sentence(caution));
    }
    writer.finish()
}

fn steps(writer: &mut Writer<'_>, evening: &Evening, look: &Look) {
    if evening.steps.is_empty() {
        return;
    }
    writer.head("By the clock");
    for (at, words) in by_the_clock(evening, look) {
        writer.entry(9, &at, &words);
    }
    writer.text(2, "Each time counts from taking the sheet; the spraying itself is a matter of seconds.");
}

/// An evening beside its sheets: the answer and the caution in one line each, then what keeps pages out, with the cure.
pub fn evening_beside_sheets(evening: &Evening, look: &Look) -> String {
    let mut writer = Writer::new(look);
    in_short(&mut writer, evening, look);
    for hold in evening.findings.iter().filter(|finding| finding.level == Level::Hold) {
        let remedy = hold.remedy.as_ref().map(|remedy| format!(" {}", sentence(remedy))).unwrap_or_default();
        writer.text(2, &look.clean(&format!("{}{remedy}", sentence(&hold.text))));
    }
    writer.finish()
}

fn in_short(writer: &mut Writer<'_>, evening: &Evening, look: &Look) {
    let word = evening.verdict.word().to_uppercase();
    writer.line(&format!("{word}  {}", look.clean(&evening.answer)));
    writer.line(caution::IN_ONE_LINE);
}

/// How far and how fast, once for all sheets that are alike.
fn how(writer: &mut Writer<'_>, evening: &Evening, look: &Look) {
    let sprayed = |place: usize| evening.pages.iter().any(|page| page.fits && page.plan == place);
    let plans: Vec<_> = evening.plans.iter().enumerate().filter(|(place, _)| sprayed(*place)).collect();
    if plans.is_empty() {
        return;
    }
    writer.head("How to spray");
    for (_, entry) in plans.iter().take(MOST_TOLD) {
        let plan = &entry.plan;
        writer.text(2, &look.clean(&format!("{}, {}", plan.page.title, plan.sealer.name)));
        for coat in &plan.coats {
            writer.item(4, &format!("{} {:5} ", coat.number, coat.kind.word()), &how_to_spray(coat, look));
        }
    }
    let left = plans.len().saturating_sub(MOST_TOLD);
    if left > 0 {
        writer.text(
            2,
            &format!("The same of {} more: in the sheets that `coatbell print` writes.", plural(left, "page")),
        );
    } else {
        writer.text(2, "With drawings of the passes: `coatbell print`, with this file.");
    }
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
