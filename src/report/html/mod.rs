//! The bench sheet: one HTML file for phone, screen and paper that asks nothing of the network.
//!
//! `page` is the document, `sheet` one plan on it, `live` what its script works with; the others are sections. Text
//! goes through `maud`, which escapes it, and the finished document through `visible`, which shows hidden characters.

mod air;
mod base64;
mod checks;
mod coats;
mod findings;
mod head;
mod live;
mod milestones;
mod page;
mod script;
mod sheet;
mod when;

pub use page::{EveningHead, Sheet, Step, sheets_html};

use super::look::Look;
use crate::plan::Plan;

/// The bench sheet of one plan.
pub fn plan_html(plan: &Plan, look: &Look) -> String {
    sheets_html(None, &[Sheet { plan, label: None }], look)
}
