//! The answer in one line.

use super::model::{Coat, CoatKind};
use crate::diagnostic::{plural, sentence_inside};
use crate::finding::{Finding, Level};

/// What the one line needs to know.
pub(super) struct Answer<'a> {
    /// The verdict.
    pub(super) verdict: Level,
    /// Findings, most severe first.
    pub(super) findings: &'a [Finding],
    /// Name of the sealer.
    pub(super) sealer: &'a str,
    /// The coats.
    pub(super) coats: &'a [Coat],
    /// When the page is ready, as a clock time, if it is only waiting that is wanted.
    pub(super) ready_clock: Option<String>,
    /// When it can be handled, as a clock time.
    pub(super) handle_clock: Option<String>,
}

/// The answer as one sentence without a full stop.
pub(super) fn answer(parts: &Answer<'_>) -> String {
    if parts.verdict == Level::Hold {
        return hold(parts);
    }
    let coats = structure(parts.coats);
    let when = parts.handle_clock.as_ref().map(|clock| format!("; handle it from {clock}")).unwrap_or_default();
    let care = match parts.findings.iter().filter(|finding| finding.level == Level::Care).count() {
        0 => String::new(),
        count => format!(" ({} to mind)", plural(count, "point")),
    };
    format!("Seal with {}: {coats}{when}{care}", parts.sealer)
}

fn hold(parts: &Answer<'_>) -> String {
    let holding: Vec<&Finding> = parts.findings.iter().filter(|finding| finding.level == Level::Hold).collect();
    let Some(first) = holding.first() else { return "Do not seal it now".to_owned() };
    let more = match holding.len() - 1 {
        0 => String::new(),
        count => format!("; {} more", plural(count, "reason")),
    };
    let ready = parts.ready_clock.as_ref().map(|clock| format!("; the page is ready from {clock}")).unwrap_or_default();
    format!("Do not seal it now: {}{more}{ready}", sentence_inside(&first.text))
}

/// `1 mist at 32 cm, then 2 builds at 17 cm, 15 min apart`.
fn structure(coats: &[Coat]) -> String {
    let part = |kind: CoatKind, noun: &str| {
        let of_kind: Vec<&Coat> = coats.iter().filter(|coat| coat.kind == kind).collect();
        of_kind.first().map(|first| format!("{} at {:.0} cm", plural(of_kind.len(), noun), first.distance_cm))
    };
    let parts: Vec<String> =
        [part(CoatKind::Mist, "mist"), part(CoatKind::Build, "build")].into_iter().flatten().collect();
    let waits: Vec<u32> = coats.iter().rev().skip(1).map(|coat| coat.wait_min).collect();
    let apart = match (waits.iter().min(), waits.iter().max()) {
        (Some(low), Some(high)) if low == high => format!(", {} apart", minutes(*low)),
        (Some(low), Some(high)) => format!(", {} to {} apart", minutes(*low), minutes(*high)),
        _ => String::new(),
    };
    format!("{}{apart}", parts.join(", then "))
}

fn minutes(value: u32) -> String {
    crate::quantity::minutes_in_words(i64::from(value))
}
