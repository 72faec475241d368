//! What becomes allowed after the last coat, and when.

use jiff::{SignedDuration, ZonedDateTime};

use super::model::Milestone;
use crate::catalog::{Rules, Sealer, Trait};
use crate::input::Finish;
use crate::page::Sheet;

/// A moment that many minutes later.
pub(super) fn later(from: &ZonedDateTime, minutes: f64) -> ZonedDateTime {
    from.saturating_add(SignedDuration::from_secs((minutes * 60.0).round() as i64))
}

/// ISO 8601 with offset, to the second.
pub(crate) fn iso(moment: &ZonedDateTime) -> String {
    moment.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

/// Milestones from the end of the last coat and the minutes until the sheet may be handled.
///
/// Times of the trade at 20 °C; a sealer that cures longer than that moves stacking, framing and posting out.
pub(super) fn milestones(
    sheet: &Sheet<'_>,
    sealer: &Sealer,
    last_end: Option<&ZonedDateTime>,
    handle_min: f64,
    rules: &Rules,
) -> Vec<Milestone> {
    let after = &rules.after;
    let waxy = sheet.exposed().any(|layer| layer.medium().is_some_and(|medium| medium.is(Trait::Wax)));
    let sticky = waxy || sealer.finish == Some(Finish::Gloss);
    let stack_h = if sticky { after.stack_gloss_or_wax_h.get() } else { after.stack_h.get() };
    let cured_h = sealer.full_cure_h.high();
    let rows = [
        ("handle", handle_min / 60.0, "Handle by the edges".to_owned()),
        ("scan", after.scan_h.get(), "Scan on glass or photograph".to_owned()),
        ("stack", stack_h.max(cured_h), "Stack, with release paper or glassine between".to_owned()),
        ("frame", after.frame_h.get().max(cured_h), "Frame with a spacer off the glass".to_owned()),
        ("post", after.post_h.get().max(cured_h), "Post".to_owned()),
        ("frame-closed", after.frame_closed_h.get().max(cured_h), "Frame closed, or against the glass".to_owned()),
    ];
    rows.into_iter()
        .map(|(id, hours, text)| Milestone {
            id: id.to_owned(),
            at: last_end.map(|end| iso(&later(end, hours * 60.0))),
            text: format!("{text}: {} after the last coat", in_words(hours)),
        })
        .collect()
}

fn in_words(hours: f64) -> String {
    crate::quantity::minutes_in_words((hours * 60.0).round() as i64)
}
