//! Which finish is possible by a given time: how many coats of a plan fit.

use jiff::{SignedDuration, Timestamp};

use super::{CoatKind, Plan};

/// What can be done by a given time.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishBy {
    /// Coats that are sprayed and have dried for handling by then.
    pub coats: usize,
    /// How many of them are builds.
    pub builds: usize,
    /// How many builds the whole plan has.
    pub builds_planned: usize,
    /// When the page can be handled with that many coats; `None` if no coat fits.
    pub handle_at: Option<Timestamp>,
    /// When the page can be handled with the whole plan; `None` if its last coat has no time.
    pub whole_at: Option<Timestamp>,
}

impl FinishBy {
    /// Whether the whole plan fits.
    pub fn fits(&self) -> bool {
        self.coats > 0 && self.builds == self.builds_planned && self.handle_at == self.whole_at
    }
}

/// Counts the coats of a plan that fit before `by`, the wait for handling included.
///
/// A shorter run ends with the same wait before handling as the whole plan does after its last coat: fewer coats dry
/// no slower, so the answer is never too early. A plan without times fits nothing.
pub fn finish_by(plan: &Plan, by: Timestamp) -> FinishBy {
    let moment = |text: Option<&String>| text.and_then(|text| text.parse::<Timestamp>().ok());
    let builds_in = |coats: usize| plan.coats.iter().take(coats).filter(|coat| coat.kind == CoatKind::Build).count();
    let starts = |coats: usize| moment(plan.coats.get(coats.checked_sub(1)?)?.starts_at.as_ref());
    let whole = plan.coats.len();
    let stated = plan.coats.last().map_or(0, |coat| coat.wait_min);
    let settle = match (moment(plan.handle_at.as_ref()), starts(whole)) {
        (Some(handle), Some(last)) => handle.duration_since(last).max(SignedDuration::from_mins(i64::from(stated))),
        _ => SignedDuration::from_mins(i64::from(stated)),
    };
    let handled = |coats: usize| starts(coats)?.checked_add(settle).ok();
    let fitting = (1..=whole).rev().find_map(|coats| handled(coats).filter(|at| *at <= by).map(|at| (coats, at)));
    let (coats, handle_at) = fitting.map_or((0, None), |(coats, at)| (coats, Some(at)));
    FinishBy { coats, builds: builds_in(coats), builds_planned: builds_in(whole), handle_at, whole_at: handled(whole) }
}
