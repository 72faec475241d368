//! An evening as a bench sheet: its steps and its air first, then a sheet for every page that is sprayed.

use super::evening_text::{clock, step_words};
use super::html::{EveningHead, Sheet, Step, sheets_html};
use super::look::Look;
use crate::batch::{Evening, EveningPage};
use crate::plan::Plan;
use crate::quantity::after_minutes;

/// The bench sheet of an evening, and how many sheets it has besides the first.
pub fn evening_html(evening: &Evening, title: &str, look: &Look) -> (String, usize) {
    let steps: Vec<Step> = evening
        .steps
        .iter()
        .map(|step| {
            let change = if step.change_can { format!("Change to {}. ", step.sealer_name) } else { String::new() };
            Step { at: clock(&step.starts_at, look), text: change + &step_words(evening, step, look) }
        })
        .collect();
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
        .filter_map(|page| Some((plan_of(evening, page)?, label(evening, page))))
        .collect();
    let sheets: Vec<Sheet<'_>> = plans.iter().map(|(plan, label)| Sheet { plan, label: Some(label) }).collect();
    (sheets_html(Some(&head), &sheets, look), sheets.len())
}

/// The plan of a sheet with the times it has in the evening.
fn plan_of(evening: &Evening, page: &EveningPage) -> Option<Plan> {
    let mut plan = evening.plans.get(page.plan)?.plan.clone();
    plan.page.title = evening.name_of(page.page, page.copy, &page.title);
    for coat in &mut plan.coats {
        let step = evening
            .steps
            .iter()
            .find(|step| step.page == page.page && step.copy == page.copy && step.coat == coat.number)?;
        coat.starts_at = Some(step.starts_at.clone());
        coat.wait_min = u32::try_from(step.wait_min).unwrap_or(coat.wait_min);
        coat.recoat_by.clone_from(&step.next_by);
    }
    plan.handle_at.clone_from(&page.handle_at);
    Some(plan)
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
