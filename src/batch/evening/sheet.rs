//! What one sheet's own plan comes to among the others.

use jiff::ZonedDateTime;

use super::model::{Evening, EveningPage, EveningStep};
use crate::finding::Level;
use crate::plan::{CoatMoment, Plan};

impl Evening {
    /// The plan of a sheet with the times it has in the evening; `None` if it is not sprayed. It is never milder than the
    /// air of all pages together: whoever takes one sheet along must not read of a go where the evening is a hold.
    pub fn plan_of(&self, page: &EveningPage, now: &ZonedDateTime) -> Option<Plan> {
        let own = &self.plans.get(page.plan)?.plan;
        let moment = |number: usize| {
            let is_it = |step: &&EveningStep| (step.page, step.copy, step.coat) == (page.page, page.copy, number);
            let step = self.steps.iter().find(is_it)?;
            Some(CoatMoment {
                starts_at: step.starts_at.clone(),
                wait_min: u32::try_from(step.wait_min).ok()?,
                recoat_by: step.next_by.clone(),
            })
        };
        let moments: Vec<CoatMoment> = own.coats.iter().map(|coat| moment(coat.number)).collect::<Option<_>>()?;
        let mut plan = own.moved(&moments, page.handle_at.as_ref()?.parse().ok()?, now);
        plan.page.title = self.name_of(page.page, page.copy, &page.title);
        let together = self.air.as_ref().map_or(Level::Go, |air| air.verdict);
        if together <= plan.verdict {
            return Some(plan);
        }
        plan.verdict = together;
        if together == Level::Hold {
            let answer = "Do not seal it this evening: with the other pages the air would be too much";
            answer.clone_into(&mut plan.answer);
            let holds = self.findings.iter().filter(|finding| finding.level == Level::Hold);
            plan.findings.splice(0..0, holds.cloned());
        } else {
            plan.answer.push_str("; mind the air of all pages together");
        }
        Some(plan)
    }
}
