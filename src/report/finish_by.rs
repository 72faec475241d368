//! The answer to `--finish-by`: which finish is possible by then.

use jiff::{Timestamp, ZonedDateTime};
use serde::Serialize;

use super::look::Look;
use super::words::{clock, plain_name};
use super::wrap::wrap;
use crate::diagnostic::plural;
use crate::finding::Level;
use crate::plan::{FinishBy, Plan, finish_by};

/// A plan as JSON with the answer beside its own fields.
#[derive(Debug, Serialize)]
pub struct FinishByDocument<'p> {
    #[serde(flatten)]
    plan: &'p Plan,
    finish_by: FinishByPart,
}

/// What fits by a time.
#[derive(Debug, Serialize)]
struct FinishByPart {
    by: String,
    fits: bool,
    coats: usize,
    builds: usize,
    builds_planned: usize,
    handle_at: Option<String>,
    whole_at: Option<String>,
    text: String,
}

impl<'p> FinishByDocument<'p> {
    /// The plan with what fits by that time.
    pub fn of(plan: &'p Plan, by: &ZonedDateTime, look: &Look) -> Self {
        let found = finish_by(plan, by.timestamp());
        let zone = by.time_zone();
        let iso = |at: Timestamp| crate::input::iso(&at.to_zoned_datetime(zone.clone()));
        let finish_by = FinishByPart {
            by: iso(by.timestamp()),
            fits: found.fits(),
            coats: found.coats,
            builds: found.builds,
            builds_planned: found.builds_planned,
            handle_at: found.handle_at.map(iso),
            whole_at: found.whole_at.map(iso),
            text: sentence(plan, &found, by, look),
        };
        Self { plan, finish_by }
    }
}

/// What is possible by that time with each plan, as the first lines of the answer, with an empty line behind them.
pub fn finish_by_text(plans: &[Plan], by: &ZonedDateTime, look: &Look) -> String {
    let mut text = String::new();
    for plan in plans {
        let said = sentence(plan, &finish_by(plan, by.timestamp()), by, look);
        let said = if plans.len() > 1 { format!("{}: {said}", plan.sealer.name) } else { said };
        for line in wrap(&look.clean(&said), look.columns()) {
            text.push_str(&line);
            text.push('\n');
        }
    }
    text.push('\n');
    text
}

fn sentence(plan: &Plan, found: &FinishBy, by: &ZonedDateTime, look: &Look) -> String {
    let shown = |at: Timestamp| clock(look, &at.to_string());
    let by = shown(by.timestamp());
    if plan.verdict == Level::Hold {
        // Whoever reads only the first line must not take it for leave to spray.
        return format!("By {by}: nothing, for the answer is hold; see what holds it before any coat.");
    }
    let finish = plan.page.finish.as_deref().map_or_else(|| "with the finish planned".to_owned(), plain_name);
    let whole = match found.whole_at {
        Some(at) => format!("all {} need until {}", plural(plan.coats.len(), "coat"), shown(at)),
        None => "the whole plan has no times yet".to_owned(),
    };
    match (found.fits(), found.handle_at) {
        (true, Some(at)) => {
            format!("By {by}: the whole plan fits, {finish}, and the page can be handled from {}.", shown(at))
        }
        (false, Some(at)) if found.builds > 0 => format!(
            "By {by}: {} of {} fit, a thinner seal with less of the finish than planned ({finish}), to be handled from \
             {}; {whole}.",
            found.coats,
            plural(plan.coats.len(), "coat"),
            shown(at)
        ),
        (false, Some(_)) => format!(
            "By {by}: only the mist fits. It holds the surface but does not seal it: begin another time; {whole}."
        ),
        (_, None) => format!("By {by}: not even one coat is dry enough to handle, so begin another time; {whole}."),
    }
}
