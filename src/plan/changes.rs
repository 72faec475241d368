//! What else would change the answer: waiting, another sealer, more air.

use super::breath::Run;
use super::choose::last_seal;
use super::milestones::iso;
use super::model::Change;
use super::request::Request;
use crate::catalog::Sealer;
use crate::finding::{Finding, Level, verdict};
use crate::fit::Ranked;
use crate::page::PageReview;

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
    let clock = crate::input::clock_time(ready, request.now);
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
    let never = page.ready.findings.iter().find(|finding| finding.level == Level::Hold)?;
    if page.ready.ready_at.is_some() {
        return None;
    }
    Some(Change {
        variable: "none".to_owned(),
        from: None,
        to: None,
        level: Level::Hold,
        text: match &never.remedy {
            Some(remedy) => format!("No weather, sealer or waiting alone changes this: {}", lower(remedy)),
            None => "No weather, sealer or waiting alone changes this".to_owned(),
        },
    })
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().collect::<String>() + letters.as_str())
}
