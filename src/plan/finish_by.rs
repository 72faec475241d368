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
/// no slower, so the answer is never too early. A run without a build counts only if the plan has none, and a plan
/// without times fits nothing.
pub fn finish_by(plan: &Plan, by: Timestamp) -> FinishBy {
    let builds_in = |coats: usize| plan.coats.iter().take(coats).filter(|coat| coat.kind == CoatKind::Build).count();
    let builds_planned = builds_in(plan.coats.len());
    let handled = |coats: usize| -> Option<Timestamp> {
        let last = plan.coats.get(coats.checked_sub(1)?)?;
        if coats == plan.coats.len()
            && let Some(at) = plan.handle_at.as_ref().and_then(|at| at.parse::<Timestamp>().ok())
        {
            return Some(at);
        }
        let begins: Timestamp = last.starts_at.as_ref()?.parse().ok()?;
        let settle = plan.coats.last().map_or(0, |coat| coat.wait_min).max(last.wait_min);
        begins.checked_add(SignedDuration::from_mins(i64::from(settle))).ok()
    };
    let fitting =
        (1..=plan.coats.len()).rev().find_map(|coats| handled(coats).filter(|at| *at <= by).map(|at| (coats, at)));
    let (coats, handle_at) = fitting.map_or((0, None), |(coats, at)| (coats, Some(at)));
    FinishBy { coats, builds: builds_in(coats), builds_planned, handle_at, whole_at: handled(plan.coats.len()) }
}
