//! A finished plan with other times: the same coats, as a schedule of many pages places them.

use jiff::{SignedDuration, Timestamp, ZonedDateTime};

use super::answer::{Answer, answer};
use super::model::Plan;
use crate::finding::Level;
use crate::input::{clock_time, iso};

/// When one coat is sprayed instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CoatMoment {
    /// Its start.
    pub starts_at: String,
    /// Until the next coat, or until the page may be handled, min.
    pub wait_min: u32,
    /// Latest start of the next coat by the can's label; absent if it sets none.
    pub recoat_by: Option<String>,
}

impl Plan {
    /// The same plan with its coats at these moments, in their order, and the page to be handled from `handle_at` on.
    /// What becomes allowed later moves with that, and the answer says the new time. A plan on hold keeps its answer.
    #[must_use]
    pub fn moved(&self, coats: &[CoatMoment], handle_at: Timestamp, now: &ZonedDateTime) -> Self {
        let mut plan = self.clone();
        for (coat, moment) in plan.coats.iter_mut().zip(coats) {
            coat.starts_at = Some(moment.starts_at.clone());
            coat.wait_min = moment.wait_min;
            coat.recoat_by.clone_from(&moment.recoat_by);
        }
        let local = |at: Timestamp| at.to_zoned_datetime(now.time_zone().clone());
        let parsed = |at: &String| at.parse::<Timestamp>().ok();
        let planned = self.handle_at.as_ref().and_then(parsed);
        let later = planned.map_or(SignedDuration::ZERO, |planned| handle_at.duration_since(planned));
        for milestone in &mut plan.milestones {
            let moved = milestone.at.as_ref().and_then(parsed).and_then(|at| at.checked_add(later).ok());
            milestone.at = moved.map(|at| iso(&local(at)));
        }
        plan.handle_at = Some(iso(&local(handle_at)));
        if plan.verdict != Level::Hold {
            plan.answer = answer(&Answer {
                verdict: plan.verdict,
                findings: &plan.findings,
                sealer: &plan.sealer.name,
                coats: &plan.coats,
                ready_clock: None,
                handle_clock: Some(clock_time(&local(handle_at), now)),
            });
        }
        plan
    }
}
