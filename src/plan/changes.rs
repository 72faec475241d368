//! What else would change the answer: waiting, another sealer, more air.

use super::breath::Run;
use super::choose::last_seal;
use super::model::Change;
use super::request::Request;
use crate::catalog::Sealer;
use crate::diagnostic::sentence_inside;
use crate::finding::{Finding, Level, verdict};
use crate::fit::Ranked;
use crate::input::{clock_time, iso};
use crate::page::{LAYER_WET, PageReview};

/// Waiting until the page is ready, a sealer that fits better, and the airflow that would do.
pub(super) fn other_changes(
    request: &Request<'_>,
    page: &PageReview<'_>,
    ranked: &[Ranked<'_>],
    sealer: &Sealer,
    run: &Run,
    findings: &[Finding],
) -> Vec<Change> {
    let mut changes = Vec::new();
    if verdict(findings) <= Level::Go {
        return changes;
    }
    changes.extend(waiting(request, page));
    changes.extend(better_sealer(ranked, sealer));
    changes.extend(more_air(run));
    changes.extend(nothing(page));
    changes
}

/// Waiting helps where only time is missing.
fn waiting(request: &Request<'_>, page: &PageReview<'_>) -> Option<Change> {
    let ready = page.ready.ready_at.as_ref().filter(|ready| *ready > request.start)?;
    let clock = clock_time(ready, request.now);
    Some(Change {
        variable: "waiting".to_owned(),
        from: Some(iso(request.start)),
        to: Some(iso(ready)),
        level: Level::Go,
        text: format!("From {clock} every layer is ready"),
    })
}

/// The best-ranked sealer, if it is milder than the one planned with.
fn better_sealer(ranked: &[Ranked<'_>], sealer: &Sealer) -> Option<Change> {
    let now = ranked.iter().find(|candidate| candidate.sealer.id == sealer.id)?;
    let better = ranked.iter().find(|candidate| last_seal(candidate.sealer) && candidate.fit.level < now.fit.level)?;
    Some(Change {
        variable: "sealer".to_owned(),
        from: Some(sealer.id.clone()),
        to: Some(better.sealer.id.clone()),
        level: better.fit.level,
        text: format!("With {} the sealer itself is {}", better.sealer.name, better.fit.level.word()),
    })
}

/// The airflow at which the air by itself is milder.
fn more_air(run: &Run) -> Option<Change> {
    if run.air.review.verdict <= Level::Go {
        return None;
    }
    let flow = run.air.review.airflow_needed_m3_h?;
    let now = run.air.review.ventilation.low_m3_h;
    Some(Change {
        variable: "airflow".to_owned(),
        from: Some(format!("{now:.0} m3/h")),
        to: Some(format!("{flow:.0} m3/h")),
        level: Level::Go,
        text: format!("With {flow:.0} m³/h of fresh air (now {now:.0} m³/h for sure) the air is go"),
    })
}

/// A page that is never ready as it stands: say so, rather than leave hope in the weather.
fn nothing(page: &PageReview<'_>) -> Option<Change> {
    if page.ready.ready_at.is_some() {
        return None;
    }
    // A layer that is only wet dries: what it asks for is no answer to what never passes.
    let lasting = |finding: &&Finding| finding.level == Level::Hold && finding.code != LAYER_WET;
    let never = page.ready.findings.iter().find(lasting)?;
    Some(Change {
        variable: "none".to_owned(),
        from: None,
        to: None,
        level: Level::Hold,
        text: match &never.remedy {
            Some(remedy) => format!("No weather, sealer or waiting alone changes this: {}", sentence_inside(remedy)),
            None => "No weather, sealer or waiting alone changes this".to_owned(),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use crate::diagnostic::SourceText;
    use crate::input::read_page;
    use crate::page::{Sheet, review};
    use crate::vapour::MoistAir;

    #[test]
    fn what_never_passes_is_not_answered_with_waiting() {
        let now = "2026-11-28T14:00[UTC]".parse().expect("a moment");
        let text = "size = \"A4\"\npaper = \"cardstock\"\n[[layer]]\nmedium = \"watercolour\"\nfinished = \"10 min ago\"\n\
                    [[layer]]\nmedium = \"oil-pastel\"\nfinished = \"9 days ago\"\n";
        let source = SourceText::new("page.toml", text);
        let catalog = Catalog::builtin();
        let page = read_page(&source, &now).expect("a page");
        let sheet = Sheet::resolve(&page, &source, &catalog).expect("known names");
        let air = MoistAir { temperature_c: 20.0, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        let review = review(&sheet, &catalog, &air, &now);
        assert_eq!(
            review.ready.findings.iter().find(|one| one.level == Level::Hold).map(|one| one.code),
            Some(LAYER_WET)
        );
        let said = nothing(&review).expect("oil pastel never dries").text;
        assert!(said.contains("mask it while spraying") && !said.contains("ait until"), "{said}");
    }
}
