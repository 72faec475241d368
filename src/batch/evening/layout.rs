//! Planned pages laid out as a bench problem.

use jiff::ZonedDateTime;

use super::naming::EntryNames;
use super::pages::{EveningEntry, EveningRequest, LeftOut, Planned};
use crate::batch::problem::{Coat, Lag, Page, Pause, Problem, Tick};
use crate::batch::{MOST_TICKS, Site};
use crate::catalog::{Rules, Sealer};

/// One sheet of the evening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Slot {
    /// Entry of the file, from 0.
    pub(super) entry: usize,
    /// Copy, from 0.
    pub(super) copy: usize,
    /// Place of its plan.
    pub(super) plan: usize,
}

/// The bench: the problem without air, and which sheet each of its pages is.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) problem: Problem,
    /// The sheets of the problem's pages.
    pub(super) slots: Vec<Slot>,
    /// The sealers; can `n` of the problem is sealer `n`, and the last can is the empty hand.
    pub(super) cans: Vec<Sealer>,
    pub(super) handling_s: f64,
    pub(super) can_change_min: f64,
    /// How the sheets of each entry are called.
    pub(super) names: Vec<EntryNames>,
}

/// Lays the planned pages out. Pages that can never be sprayed are marked in `planned` and left out.
pub(super) fn lay_out(
    request: &EveningRequest<'_>,
    start: &ZonedDateTime,
    planned: &mut [Planned],
    rules: &Rules,
) -> Layout {
    let tick_s = rules.batch.tick_s.get();
    let handling_s = 60.0 * request.handling_min.unwrap_or_else(|| rules.batch.handling_min.get());
    let can_change_min = request.can_change_min.unwrap_or_else(|| rules.batch.can_change_min.get());
    let mut cans: Vec<Sealer> = Vec::new();
    let mut can_of = Vec::with_capacity(planned.len());
    for page in planned.iter().filter(|page| page.out.is_none()) {
        if !cans.contains(&page.worked.sealer) {
            cans.push(page.worked.sealer.clone());
        }
    }
    for page in planned.iter() {
        can_of.push(cans.iter().position(|can| *can == page.worked.sealer));
    }
    let since = |moment: &ZonedDateTime| moment.duration_since(start).as_secs_f64() / tick_s;
    let up = |ticks: f64| libm::ceil(ticks - 1e-9).clamp(0.0, MOST_TICKS as f64) as Tick;
    let down = |ticks: f64| libm::floor(ticks + 1e-9).clamp(-1.0, 10.0 * MOST_TICKS as f64) as Tick;
    let mut templates: Vec<Option<Page>> = Vec::with_capacity(planned.len());
    for (page, can) in planned.iter_mut().zip(&can_of) {
        let template = can.filter(|_| page.out.is_none()).map(|can| {
            let figures = Figures { tick_s, handling_s, can, release: up(since(&page.release)) };
            template(page, &figures)
        });
        templates.push(match template {
            Some(Ok(template)) => Some(template),
            Some(Err(out)) => {
                page.out = Some(out);
                None
            }
            None => None,
        });
    }
    let change = up(60.0 * can_change_min / tick_s);
    let hand = cans.len();
    let setup = (0..=hand)
        .map(|from| (0..=hand).map(|to| if from == to || from == hand || to == hand { 0 } else { change }).collect())
        .collect();
    let pauses = request.breaks.iter().map(|(from, to)| Pause { start: down(since(from)), end: up(since(to)) });
    let titles = request.entries.iter().map(|entry| (&*planned[entry.sheet].worked.plan.page.title, entry.copies));
    let mut layout = Layout {
        problem: Problem {
            name: "evening".to_owned(),
            tick_s,
            pages: Vec::new(),
            rack_slots: Some(request.rack),
            initial_can: hand,
            setup,
            pauses: pauses.collect(),
            session_end: request.stop_by.as_ref().map(|stop| down(since(stop)).max(1)),
            air: None,
        },
        slots: Vec::new(),
        cans,
        handling_s,
        can_change_min,
        names: EntryNames::of(titles),
    };
    for (entry, EveningEntry { sheet: plan, copies, .. }) in request.entries.iter().enumerate() {
        for copy in 0..*copies {
            let Some(template) = &templates[*plan] else { break };
            let label = layout.names[entry].name(&template.label, copy + 1);
            layout.problem.pages.push(Page { label, ..template.clone() });
            layout.slots.push(Slot { entry, copy, plan: *plan });
        }
    }
    never_fitting(&mut layout, planned);
    layout
}

/// What all pages of an evening share.
struct Figures {
    tick_s: f64,
    handling_s: f64,
    can: usize,
    release: Tick,
}

/// The page as the bench sees it. A step lasts from taking the sheet to the end of the spraying, so the time between
/// two sprayings is the gap between the steps, and the handling and spraying of the second: the label's window shrinks
/// by that.
fn template(page: &Planned, figures: &Figures) -> Result<Page, LeftOut> {
    let Figures { tick_s, handling_s, can, release } = *figures;
    let up = |seconds: f64| libm::ceil(seconds / tick_s - 1e-9).clamp(0.0, MOST_TICKS as f64) as Tick;
    let down = |seconds: f64| libm::floor(seconds / tick_s + 1e-9).clamp(-1.0, MOST_TICKS as f64) as Tick;
    let worked = &page.worked;
    let count = worked.plan.coats.len();
    let mut coats = Vec::with_capacity(count);
    for (index, coat) in worked.plan.coats.iter().enumerate() {
        let spray = up(handling_s + coat.spray_s).max(1);
        let min = up(60.0 * f64::from(coat.wait_min));
        let window = worked.windows.get(index).copied().flatten();
        let lag = (index + 1 < count).then(|| {
            let max = window.map(|window| {
                // From the end of a spraying to the start of the next one lie the rest of the step's last tick, the gap,
                // the handling, and at most the rest of the next step's last tick.
                let next_s = worked.plan.coats.get(index + 1).map_or(0.0, |next| next.spray_s);
                let rest_s = spray as f64 * tick_s - coat.spray_s;
                let next_rest_s = up(handling_s + next_s) as f64 * tick_s - handling_s - next_s;
                down(60.0 * window.closes_min - rest_s - next_rest_s)
            });
            let resume = window.and_then(|window| window.reopens_min).map(|minutes| up(60.0 * minutes));
            Lag { min, max, resume }
        });
        if let Some(Lag { max: Some(max), resume: None, .. }) = lag
            && max < min
        {
            let closes = window.map_or(0.0, |window| window.closes_min);
            return Err(LeftOut {
                reason: format!(
                    "the can's recoat window closes {} after coat {}, before the wait of {} and the handling are over",
                    crate::quantity::minutes_in_words(closes as i64),
                    index + 1,
                    crate::quantity::minutes_in_words(i64::from(coat.wait_min)),
                ),
                cure: "Take another can, spray in warmer air with more draught, or lay the sheets out beforehand and \
                       write a shorter `handling`"
                    .to_owned(),
                would_fit_at: None,
            });
        }
        coats.push(Coat { spray, can, lag, vapour_m3: 0.0, flash_share: 1.0 });
    }
    let final_dry = up(60.0 * worked.handle_min);
    Ok(Page { label: worked.plan.page.title.clone(), release, final_dry, coats })
}

/// Takes out the pages that no search could place: no stretch between breaks is as long as one of their coats.
fn never_fitting(layout: &mut Layout, planned: &mut [Planned]) {
    for fault in layout.problem.faults() {
        let (Site::Page(page) | Site::Coat(page, _)) = fault.site else { continue };
        let out =
            LeftOut { reason: fault.message, cure: crate::diagnostic::sentence_start(&fault.hint), would_fit_at: None };
        planned[layout.slots[page].plan].out.get_or_insert(out);
    }
    let keep: Vec<bool> = layout.slots.iter().map(|slot| planned[slot.plan].out.is_none()).collect();
    let mut kept = keep.iter();
    layout.problem.pages.retain(|_| *kept.next().unwrap_or(&false));
    let mut kept = keep.iter();
    layout.slots.retain(|_| *kept.next().unwrap_or(&false));
}

impl Layout {
    /// Minutes of some ticks.
    pub(super) fn minutes(&self, count: Tick) -> i64 {
        libm::round(count as f64 * self.problem.tick_min()) as i64
    }
}
