//! An evening as a bench sheet: its steps and its air first, then a sheet for every page that is sprayed.

use super::by_the_clock::{by_the_clock, clock};
use super::html::{EveningHead, Sheet, Step, sheets_html};
use super::look::Look;
use crate::batch::{Evening, EveningPage};
use crate::plan::Plan;
use crate::quantity::after_minutes;

/// The bench sheet of an evening, and how many sheets it has besides the first.
pub fn evening_html(evening: &Evening, title: &str, look: &Look) -> (String, usize) {
    let steps: Vec<Step> = by_the_clock(evening, look).into_iter().map(|(at, text)| Step { at, text }).collect();
    let notes = notes(evening, look);
    let head = EveningHead {
        title,
        verdict: evening.verdict,
        answer: &evening.answer,
        findings: &evening.findings,
        cautions: &evening.cautions,
        notes: &notes,
        steps: &steps,
    };
    let plans: Vec<(Plan, String)> = evening
        .pages
        .iter()
        .filter(|page| page.fits)
        .filter_map(|page| Some((evening.plan_of(page, &look.now)?, label(evening, page))))
        .collect();
    let sheets: Vec<Sheet<'_>> = plans.iter().map(|(plan, label)| Sheet { plan, label: Some(label) }).collect();
    (sheets_html(Some(&head), &sheets, look), sheets.len())
}

fn label(evening: &Evening, page: &EveningPage) -> String {
    let pages = evening.pages.iter().map(|page| page.page).max().unwrap_or(0);
    let copies = evening.pages.iter().filter(|other| other.page == page.page).count();
    let copy = if copies > 1 { format!(", copy {} of {copies}", page.copy) } else { String::new() };
    format!("page {} of {pages}{copy}", page.page)
}

/// Who may be in the room when, and what stays out.
fn notes(evening: &Evening, look: &Look) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(air) = &evening.air {
        notes.push("Leave the room after every coat; nobody else comes in until it is clear for others".to_owned());
        notes.push(format!(
            "After the last coat: back with the mask {}, without it {}, others {}",
            after_minutes(air.return_masked_min),
            after_minutes(air.clear_unmasked_min),
            after_minutes(air.clear_others_min)
        ));
    }
    for page in evening.pages.iter().filter(|page| !page.fits) {
        let name = evening.name_of(page.page, page.copy, &page.title);
        let reason = page.reason.as_ref().map(|reason| format!(": {reason}")).unwrap_or_default();
        let when = page.would_fit_at.as_ref().map(|at| format!("; it would fit by {}", clock(at, look)));
        notes.push(format!("{name} is not sprayed{reason}{}", when.unwrap_or_default()));
    }
    notes
}
