//! What is read and confirmed: cautions, lists, rescues.

use std::cmp::Ordering;

use super::screen::{Keys, RunView};
use super::sheet::{Sheet, faint, plain, strong, urgent, warning};
use crate::caution;
use crate::run::{Mishap, rescues};

/// The answers of the plans, then the cautions, every one of them.
pub(super) fn cautions(sheet: &mut Sheet<'_>, view: &RunView<'_>) -> Keys {
    let pages = &view.state.pages;
    for page in pages {
        let name = if pages.len() > 1 { format!("{}: ", page.spec.title) } else { String::new() };
        sheet.paragraph(&format!("{name}{}", page.spec.answer), strong());
    }
    sheet.blank();
    for caution in caution::IN_FULL {
        sheet.hanging("• ", caution, plain());
    }
    Keys::read("space: go on · q: leave", "space: go on · q: leave")
}

/// The list before the first coat.
pub(super) fn checklist(sheet: &mut Sheet<'_>, view: &RunView<'_>, at: usize) -> Keys {
    let list = &view.state.spec.preflight;
    let all = list.len();
    sheet.paragraph(&format!("Before the first coat, {} of {all}:", (at + 1).min(all)), plain());
    sheet.blank();
    for (place, item) in list.iter().enumerate().skip(at.saturating_sub(1)) {
        match place.cmp(&at) {
            Ordering::Less => sheet.spare("  done  ", &item.text, faint()),
            Ordering::Equal => {
                sheet.hanging("  --->  ", &item.text, warning());
                sheet.blank();
            }
            // Each of them is in hand once.
            Ordering::Greater => sheet.spare("        ", &item.text, faint()),
        }
    }
    Keys::read("space: yes, done · esc: one back · q: leave", "space: yes, done · esc · q: leave")
}

/// Mask and flames after a pause.
pub(super) fn again(sheet: &mut Sheet<'_>, at: usize) -> Keys {
    sheet.paragraph("Before you go on:", plain());
    sheet.blank();
    sheet.hanging("  --->  ", caution::AGAIN[at.min(1)], warning());
    Keys::read("space: yes · esc: one back · q: leave", "space: yes · esc · q: leave")
}

/// What went wrong?
pub(super) fn mishaps(sheet: &mut Sheet<'_>) -> Keys {
    sheet.paragraph("What went wrong?", strong());
    sheet.blank();
    for (place, rescue) in rescues().iter().enumerate() {
        sheet.hanging(&format!("  {}  ", place + 1), rescue.title, plain());
    }
    let all = rescues().len();
    Keys::read(&format!("1 to {all}: choose · esc: back to the run"), &format!("1 to {all} · esc: back"))
}

/// What to do after a mishap.
pub(super) fn rescue(sheet: &mut Sheet<'_>, mishap: Mishap) -> Keys {
    let rescue = mishap.rescue();
    sheet.paragraph(rescue.title, strong());
    sheet.paragraph(rescue.never, urgent());
    sheet.blank();
    for (place, step) in rescue.now.iter().enumerate() {
        sheet.hanging(&format!("  {}. ", place + 1), step, plain());
    }
    sheet.blank();
    for step in rescue.when_dry {
        sheet.hanging("  dry: ", step, plain());
    }
    sheet.hanging("  rest: ", rescue.rest_text, warning());
    Keys::read("space: back to the run", "space: back to the run")
}
