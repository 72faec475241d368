//! The answer to `--finish-by`: which finish is possible by then.

use jiff::ZonedDateTime;

use super::look::Look;
use super::words::{clock, plain_name};
use crate::plan::{FinishBy, Plan};

/// One or two sentences: what is possible by that time, and when the whole plan would be done.
pub fn finish_by_text(plan: &Plan, found: &FinishBy, by: &ZonedDateTime, look: &Look) -> String {
    let shown = |at: jiff::Timestamp| clock(look, &at.to_string());
    let by = shown(by.timestamp());
    let finish = plan.page.finish.as_deref().map_or_else(|| "the planned finish".to_owned(), plain_name);
    let whole = match found.whole_at {
        Some(at) => format!("all {} need until {}", coats(plan.coats.len()), shown(at)),
        None => "the whole plan has no times yet".to_owned(),
    };
    let text = match (found.fits(), found.handle_at) {
        (true, Some(at)) => {
            format!("By {by}: the whole plan fits, {finish}, and the page can be handled from {}.", shown(at))
        }
        (false, Some(at)) if found.builds > 0 => format!(
            "By {by}: {} of {} fit, a thinner seal with less of the finish than planned ({finish}), to be handled from \
             {}; {whole}.",
            found.coats,
            coats(plan.coats.len()),
            shown(at)
        ),
        (false, Some(_)) => format!(
            "By {by}: only the mist fits. It holds the surface but does not seal it: begin another time; {whole}."
        ),
        (_, None) => format!("By {by}: not even one coat is dry enough to handle, so begin another time; {whole}."),
    };
    look.clean(&text)
}

fn coats(count: usize) -> String {
    crate::diagnostic::plural(count, "coat")
}
