//! What becomes allowed after the last coat, and when.

use jiff::{SignedDuration, ZonedDateTime};

use super::model::Milestone;
use crate::catalog::{Rules, Sealer, Trait};
use crate::input::{Finish, iso};
use crate::page::Sheet;

/// A moment that many minutes later.
pub(super) fn later(from: &ZonedDateTime, minutes: f64) -> ZonedDateTime {
    from.saturating_add(SignedDuration::from_secs((minutes * 60.0).round() as i64))
}

/// Milestones from the end of the last coat and the minutes until the sheet may be handled.
///
/// Times of the trade at 20 °C; a sealer that cures longer than that moves stacking, framing and posting out, and what
/// may not be handled yet is not scanned either.
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
    let handle_h = handle_min / 60.0;
    let rows = [
        ("handle", handle_h, "Handle by the edges".to_owned()),
        ("scan", after.scan_h.get(), "Scan on glass or photograph".to_owned()),
        ("stack", stack_h.max(cured_h), "Stack, with release paper or glassine between".to_owned()),
        ("frame", after.frame_h.get().max(cured_h), "Frame with a spacer off the glass".to_owned()),
        ("post", after.post_h.get().max(cured_h), "Post".to_owned()),
        ("frame-closed", after.frame_closed_h.get().max(cured_h), "Frame closed, or against the glass".to_owned()),
    ];
    rows.into_iter()
        .map(|(id, hours, text)| (id, hours.max(handle_h), text))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use crate::page::{PageWords, page_from_words};

    #[test]
    fn nothing_is_done_with_a_sheet_before_it_may_be_handled() {
        let now = "2026-11-28T14:00[UTC]".parse().expect("a moment");
        let words = PageWords { media: "toner", paper: Some("cardstock"), size: Some("A4"), finish: None };
        let (page, source) = page_from_words(&words, &now).expect("valid words");
        let catalog = Catalog::builtin();
        let sheet = Sheet::resolve(&page, &source, &catalog).expect("known names");
        // Varnish in a cold room: two days until it may be handled.
        let list = milestones(&sheet, &catalog.sealers["dammar-varnish"], Some(&now), 2880.0, &catalog.rules);
        let at = |id: &str| list.iter().find(|one| one.id == id).and_then(|one| one.at.clone()).expect("a time");
        assert_eq!(at("handle"), "2026-11-30T14:00:00+00:00");
        assert!(list.iter().all(|one| one.at >= Some(at("handle"))), "{list:?}");
        // At an hour the trade's own times hold.
        let list = milestones(&sheet, &catalog.sealers["acrylic-gloss"], Some(&now), 60.0, &catalog.rules);
        assert_eq!(list[1].at.as_deref(), Some("2026-11-29T14:00:00+00:00"));
    }
}
