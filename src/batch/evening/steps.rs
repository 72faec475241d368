//! The schedule as steps, sheets and cans.

use jiff::{SignedDuration, ZonedDateTime};

use super::ceiling::Aired;
use super::layout::Layout;
use super::model::{EveningCan, EveningStep};
use super::pages::Planned;
use crate::batch::problem::{Lag, Tick};
use crate::input::iso;

/// Turns ticks into clock times.
pub(super) struct Clock<'a> {
    pub(super) start: &'a ZonedDateTime,
    pub(super) tick_s: f64,
}

impl Clock<'_> {
    /// The moment of a tick.
    pub(super) fn at(&self, tick: Tick) -> ZonedDateTime {
        let shift = SignedDuration::from_secs(libm::round(tick as f64 * self.tick_s) as i64);
        self.start.checked_add(shift).unwrap_or_else(|_| self.start.clone())
    }

    /// The same as text.
    pub(super) fn iso(&self, tick: Tick) -> String {
        iso(&self.at(tick))
    }
}

/// Coats in the order they are sprayed.
pub(super) fn steps(layout: &Layout, planned: &[Planned], aired: &Aired, clock: &Clock<'_>) -> Vec<EveningStep> {
    let mut steps: Vec<(Tick, usize, EveningStep)> = Vec::new();
    let pages = layout.slots.iter().zip(&layout.problem.pages).zip(&aired.answer.schedule.starts);
    for ((slot, page), starts) in pages {
        let plan = &planned[slot.plan].worked.plan;
        let of = starts.len();
        for (index, (coat, start)) in page.coats.iter().zip(starts).enumerate() {
            let end = start + coat.spray;
            let wait = starts.get(index + 1).map_or(page.final_dry, |next| next - end);
            let lag = coat.lag.filter(|_| index + 1 < of);
            let open = lag.filter(|lag| lag.max.is_some_and(|max| max >= lag.min));
            let detail = &plan.coats[index];
            let step = EveningStep {
                page: slot.entry + 1,
                copy: slot.copy + 1,
                title: plan.page.title.clone(),
                coat: index + 1,
                of,
                kind: detail.kind,
                sealer: plan.sealer.id.clone(),
                sealer_name: plan.sealer.name.clone(),
                change_can: false,
                starts_at: clock.iso(*start),
                start_min: layout.minutes(*start),
                end_min: layout.minutes(end),
                wait_min: layout.minutes(wait),
                least_wait_min: layout.minutes(lag.map_or(page.final_dry, |lag: Lag| lag.min)),
                next_by: open.and_then(|lag| lag.max).map(|max| clock.iso(end + max)),
                next_again_from: open.and_then(|lag| lag.resume).map(|resume| clock.iso(end + resume)),
                spray_s: detail.spray_s,
                sealer_g: detail.sealer_g,
            };
            steps.push((*start, coat.can, step));
        }
    }
    steps.sort_by_key(|(start, ..)| *start);
    let mut hand = None;
    for (_, can, step) in &mut steps {
        step.change_can = hand.is_some_and(|hand| hand != *can);
        hand = Some(*can);
    }
    steps.into_iter().map(|(.., step)| step).collect()
}

/// Cans in the order of the file.
pub(super) fn cans(layout: &Layout, planned: &[Planned], aired: &Aired) -> Vec<EveningCan> {
    let mut used: Vec<(f64, usize)> = vec![(0.0, 0); layout.cans.len()];
    for (number, starts) in aired.answer.schedule.starts.iter().enumerate() {
        let coats = &planned[layout.slots[number].plan].worked.plan.coats;
        for ((coat, detail), _) in layout.problem.pages[number].coats.iter().zip(coats).zip(starts) {
            used[coat.can].0 += detail.sealer_g;
            used[coat.can].1 += 1;
        }
    }
    let cans = layout.cans.iter().zip(used).filter(|(_, (_, coats))| *coats > 0);
    cans.map(|(sealer, (grams, coats))| EveningCan {
        sealer: sealer.id.clone(),
        name: sealer.name.clone(),
        grams,
        cans: sealer.can.net_g.filter(|net| *net > 0.0).map(|net| libm::ceil(grams / net - 1e-9).max(1.0) as usize),
        coats,
    })
    .collect()
}
