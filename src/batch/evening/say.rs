//! What an evening has to say: the answer in one line, and the findings.

use std::collections::BTreeSet;
use std::fmt::Write;

use jiff::{SignedDuration, ZonedDateTime};

use super::ceiling::Aired;
use super::layout::Layout;
use super::model::{EveningCan, EveningPage};
use super::pages::{EveningRequest, Planned};
use crate::batch::solve::{Answer, UnfitReason};
use crate::diagnostic::{and_list, plural, sentence_inside};
use crate::estimate::Basis;
use crate::finding::{Finding, Level};
use crate::input::clock_time;
use crate::quantity::{minutes_in_words, number};

/// Titles named before the rest is counted.
const MOST_NAMED: usize = 3;

/// Why the search left a sheet out.
pub(super) fn unfit_reason(reason: UnfitReason, air_decides: bool) -> (&'static str, &'static str) {
    match (reason, air_decides) {
        (UnfitReason::NeverAlone, _) => (
            "its recoat window closes before a change of can, a break or the air lets the next coat be sprayed",
            "Move a break, spray it on an evening of its own, or take a can without that window",
        ),
        (UnfitReason::SessionTooShort(_), false) => (
            "even by itself it takes longer than the evening",
            "Begin earlier or stop later, or keep it for another day",
        ),
        (UnfitReason::SessionTooShort(_), true) => (
            "even by itself it takes longer than the evening: the air has to clear between its coats",
            "Move more air through the room, spray outdoors, begin earlier or stop later",
        ),
        (UnfitReason::NoRoom, false) => (
            "there is no time for it beside the others before you stop",
            "Begin earlier or stop later, or keep it for another day",
        ),
        (UnfitReason::NoRoom, true) => (
            "the air decides: it has to clear between coats, and no time is left for this one before you stop",
            "Move more air through the room, spray outdoors, begin earlier or stop later",
        ),
    }
}

/// The answer as one sentence without a full stop.
pub(super) fn answer(
    request: &EveningRequest<'_>,
    layout: &Layout,
    aired: &Aired,
    pages: &[EveningPage],
    times: Option<&[ZonedDateTime; 3]>,
    air_holds: bool,
) -> String {
    let all = pages.len();
    let fit = pages.iter().filter(|page| page.fits).count();
    let Some([first, last, done]) = times else {
        return match all {
            1 => "The page does not fit this evening".to_owned(),
            _ => format!("None of {} fits this evening", plural(all, "page")),
        };
    };
    let clock = |moment: &ZonedDateTime| clock_time(moment, &request.now);
    let who = if fit == all { plural(all, "page") } else { format!("{fit} of {}", plural(all, "page")) };
    let mut text = format!(
        "{who} from {}: last coat sprayed by {}, all to be handled from {}",
        clock(first),
        clock(last),
        clock(done)
    );
    let sooner = aired.one_by_one.map_or(0, |end| layout.minutes(end - aired.answer.measures.makespan));
    if fit > 1 && sooner > 0 {
        let _ = write!(text, ", {} sooner than one after another", minutes_in_words(sooner));
    }
    if fit < all {
        text.push_str(if all - fit == 1 { "; 1 does not fit" } else { "; the rest do not fit" });
    }
    if air_holds { format!("Not so, the air would be too much. {text}") } else { text }
}

/// Everything noticed, most severe first.
pub(super) fn findings(
    request: &EveningRequest<'_>,
    planned: &[Planned],
    aired: &Aired,
    pages: &[EveningPage],
    cans: &[EveningCan],
    layout: &Layout,
) -> Vec<Finding> {
    let mut found = unfit(request, planned, pages, &aired.answer, layout, aired.decides);
    if let Some(air) = &aired.air {
        found.extend(air.findings.iter().cloned());
    }
    if aired.decides && aired.answer.unfit.is_empty() {
        let text = "The air decides how close together the coats can be: some wait until it has cleared";
        found.push(
            Finding::new("air-decides", Level::Note, text, Basis::Estimate)
                .remedy("More air through the room makes the evening shorter"),
        );
    }
    found.extend(into_the_next_day(request, aired, layout));
    if aired.answer.stopped {
        found.push(crate::batch::document::search_stopped());
    }
    found.extend(of_plans(planned, layout, &found));
    for can in cans {
        let left = layout.cans.iter().find(|one| one.id == can.sealer).and_then(|one| one.can.left_g);
        if let Some(left) = left.filter(|left| *left < can.grams) {
            let text = format!(
                "The evening takes {} g of {}, and {} g are left in the can",
                number(libm::ceil(can.grams)),
                can.name,
                number(libm::round(left))
            );
            found.push(Finding::new("can-too-empty", Level::Care, text, Basis::Estimate).remedy("Have a second can"));
        }
    }
    found.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    found
}

/// An evening without an end that goes on into another day: nobody sprays well at three in the morning.
fn into_the_next_day(request: &EveningRequest<'_>, aired: &Aired, layout: &Layout) -> Option<Finding> {
    if request.stop_by.is_some() || aired.answer.schedule.starts.iter().all(Vec::is_empty) {
        return None;
    }
    let shift = SignedDuration::from_mins(layout.minutes(aired.answer.measures.work_end));
    let last = request.start.checked_add(shift).ok()?;
    if last.date() == request.start.date() {
        return None;
    }
    let text = format!(
        "The last coat is sprayed only on {}, since the evening's file names no end",
        clock_time(&last, &request.now)
    );
    let remedy = "Write `stop_by` into it: then the pages that fit before are told, and when the others would";
    Some(Finding::new("into-the-next-day", Level::Care, text, Basis::Choice).remedy(remedy))
}

/// One finding for all sheets left out for the same reason.
fn unfit(
    request: &EveningRequest<'_>,
    planned: &[Planned],
    pages: &[EveningPage],
    answer: &Answer,
    layout: &Layout,
    air_decides: bool,
) -> Vec<Finding> {
    let mut reasons: Vec<(String, String, Vec<&EveningPage>)> = Vec::new();
    for page in pages.iter().filter(|page| !page.fits) {
        let reason = page.reason.clone().unwrap_or_default();
        match reasons.iter_mut().find(|(known, _, named)| *known == reason && named[0].plan == page.plan) {
            Some((.., named)) => named.push(page),
            None => {
                let cure = match &planned[page.plan].out {
                    Some(out) => out.cure.clone(),
                    None => answer
                        .unfit
                        .iter()
                        .find(|unfit| layout.slots[unfit.page].entry + 1 == page.page)
                        .map_or_else(String::new, |unfit| unfit_reason(unfit.reason, air_decides).1.to_owned()),
                };
                reasons.push((reason, cure, vec![page]));
            }
        }
    }
    let told = reasons.into_iter().map(|(reason, cure, named)| {
        let who = match named.len() {
            1 => layout.names[named[0].page - 1].name(&named[0].title, named[0].copy),
            count => format!("{} ({count} copies)", named[0].title),
        };
        let text = format!(
            "{} does not fit{}: {}",
            crate::diagnostic::sentence_start(&who),
            written_at(request, &named),
            sentence_inside(&reason)
        );
        Finding::new("page-does-not-fit", Level::Hold, text, Basis::Estimate).remedy(cure)
    });
    told.collect()
}

/// Where the entries of some sheets stand, in brackets.
fn written_at(request: &EveningRequest<'_>, named: &[&EveningPage]) -> String {
    let entries: BTreeSet<usize> = named.iter().map(|page| page.page - 1).collect();
    let places: Vec<String> =
        entries.into_iter().filter_map(|entry| request.entries.get(entry)?.written_at.clone()).collect();
    if places.is_empty() { String::new() } else { format!(" ({})", some_of(&places)) }
}

/// What the plans of the sheets say besides the air, with the titles it is about.
fn of_plans(planned: &[Planned], layout: &Layout, told: &[Finding]) -> Vec<Finding> {
    let used: BTreeSet<usize> = layout.slots.iter().map(|slot| slot.plan).collect();
    let mut groups: Vec<(Finding, Vec<String>)> = Vec::new();
    for plan in used.iter().map(|place| &planned[*place].worked.plan) {
        for finding in plan.findings.iter().filter(|finding| !is_told(told, finding)) {
            match groups.iter_mut().find(|(one, _)| one.text == finding.text) {
                Some((_, titles)) if titles.contains(&plan.page.title) => {}
                Some((_, titles)) => titles.push(plan.page.title.clone()),
                None => groups.push((finding.clone(), vec![plan.page.title.clone()])),
            }
        }
    }
    let whole = used.len();
    let told = groups.into_iter().map(|(mut finding, titles)| {
        if titles.len() < whole || whole == 1 {
            finding.text = format!("{}: {}", some_of(&titles), sentence_inside(&finding.text));
        }
        finding.layers = Vec::new();
        finding
    });
    told.collect()
}

/// Whether something is said already, and no milder: what a page alone is warned of stays where the evening says less.
fn is_told(told: &[Finding], finding: &Finding) -> bool {
    told.iter().any(|other| other.code == finding.code && other.level >= finding.level)
}

fn some_of(titles: &[String]) -> String {
    if titles.len() <= MOST_NAMED {
        return and_list(titles);
    }
    format!("{} and {} more", titles[..MOST_NAMED - 1].join(", "), titles.len() + 1 - MOST_NAMED)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_warning_of_a_page_gives_way_to_none_that_is_milder() {
        let mist = |level| Finding::new("mist", level, "The mist hangs in the air", Basis::Estimate);
        assert!(is_told(&[mist(Level::Care)], &mist(Level::Care)));
        assert!(is_told(&[mist(Level::Hold)], &mist(Level::Care)));
        assert!(!is_told(&[mist(Level::Note)], &mist(Level::Care)));
        assert!(!is_told(&[], &mist(Level::Note)));
    }
}
