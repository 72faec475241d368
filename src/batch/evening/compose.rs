//! From a request to an evening.

use std::collections::BTreeMap;

use jiff::ZonedDateTime;

use super::bench::EveningBench;
use super::ceiling::{Aired, search};
use super::layout::{Layout, lay_out};
use super::model::{Evening, EveningAirPart, EveningEcho, EveningPage, EveningPlan, EveningPoint, EveningSheetEcho};
use super::pages::{EveningEntry, EveningRequest, Planned, plan_all, whole_minute};
use super::say::{answer, findings, unfit_reason};
use super::steps::{Clock, cans, steps};
use crate::air::evening_series;
use crate::batch::problem::{Problem, Tick};
use crate::batch::solve::{Control, Effort, UnfitReason};
use crate::catalog::Catalog;
use crate::finding::{Level, verdict};
use crate::input::iso;

/// Points of the air's curve.
const POINTS: usize = 181;

/// Plans the pages and schedules the evening. The same request gives the same evening, byte for byte.
pub fn evening(request: &EveningRequest<'_>, effort: Effort, control: &Control<'_>, catalog: &Catalog) -> Evening {
    let start = whole_minute(&request.start);
    let mut planned = plan_all(request, &start, catalog);
    let layout = lay_out(request, &start, &mut planned, &catalog.rules);
    let aired = search(&layout, &planned, effort, control, catalog);
    let clock = Clock { start: &start, tick_s: layout.problem.tick_s };
    let steps = steps(&layout, &planned, &aired, &clock);
    let cans = cans(&layout, &planned, &aired);
    let pages = pages(request, &layout, &planned, &aired, &clock);
    let measures = aired.answer.measures;
    let first = aired.answer.schedule.starts.iter().filter_map(|starts| starts.first()).min().copied();
    let times = first.map(|first| [clock.at(first), clock.at(measures.work_end), clock.at(measures.makespan)]);
    let air_holds = aired.air.as_ref().is_some_and(|air| air.verdict == Level::Hold);
    let findings = findings(request, &planned, &aired, &pages, &cans, &layout);
    Evening {
        schema: "coatbell.batch/1",
        version: env!("CARGO_PKG_VERSION"),
        inputs: echo(request, &layout, &start),
        verdict: verdict(&findings),
        answer: answer(request, &layout, &aired, &pages, times.as_ref(), air_holds),
        findings,
        cautions: crate::caution::in_full(),
        starts_at: times.as_ref().map(|[first, ..]| iso(first)),
        last_coat_at: times.as_ref().map(|[_, last, _]| iso(last)),
        done_at: times.as_ref().map(|[.., done]| iso(done)),
        makespan_min: layout.minutes(measures.makespan),
        lower_bound_min: layout.minutes(aired.answer.lower_bound),
        gap_pct: aired.answer.gap_pct(),
        proved: aired.answer.proved && !aired.decides,
        stopped: aired.answer.stopped,
        effort: effort.word(),
        one_by_one_min: layout.minutes(aired.one_by_one.unwrap_or(0)),
        can_changes: steps.iter().filter(|step| step.change_can).count(),
        steps,
        rack_peak: measures.rack_peak,
        cans,
        wet_wait_min: layout.minutes(measures.wet_wait),
        air: air_part(&aired, &layout, catalog),
        names: layout.names.clone(),
        bench: EveningBench::of(&layout, &aired, &start),
        plans: plans(request, planned),
        pages,
    }
}

fn echo(request: &EveningRequest<'_>, layout: &Layout, start: &ZonedDateTime) -> EveningEcho {
    let sheet = |entry: &EveningEntry| EveningSheetEcho {
        file: entry.file.clone(),
        sealer: entry.sealer.clone(),
        copies: entry.copies,
        written_at: entry.written_at.clone(),
    };
    EveningEcho {
        pages: request.entries.iter().map(sheet).collect(),
        rack: request.rack,
        start: iso(start),
        stop_by: request.stop_by.as_ref().map(iso),
        breaks: request.breaks.iter().map(|(from, to)| [iso(from), iso(to)]).collect(),
        can_change_min: layout.can_change_min,
        handling_min: layout.handling_s / 60.0,
        room: request.room.filter(|_| request.room_named).map(|room| room.name.clone()),
        room_named: request.room_named,
    }
}

fn pages(
    request: &EveningRequest<'_>,
    layout: &Layout,
    planned: &[Planned],
    aired: &Aired,
    clock: &Clock<'_>,
) -> Vec<EveningPage> {
    let mut pages = Vec::new();
    let slots = layout.slots.iter().enumerate().map(|(place, slot)| ((slot.entry, slot.copy), place));
    let places: BTreeMap<(usize, usize), usize> = slots.collect();
    let unfit: BTreeMap<usize, UnfitReason> =
        aired.answer.unfit.iter().map(|unfit| (unfit.page, unfit.reason)).collect();
    for (entry, EveningEntry { sheet: plan, copies, .. }) in request.entries.iter().enumerate() {
        for copy in 0..*copies {
            let page = &planned[*plan];
            let mut told = EveningPage {
                page: entry + 1,
                copy: copy + 1,
                title: page.worked.plan.page.title.clone(),
                fits: false,
                reason: page.out.as_ref().map(|out| out.reason.clone()),
                would_fit_at: page.out.as_ref().and_then(|out| out.would_fit_at.as_ref().map(iso)),
                starts_at: None,
                handle_at: None,
                plan: *plan,
            };
            if let Some(place) = places.get(&(entry, copy)).copied() {
                let starts = &aired.answer.schedule.starts[place];
                told.fits = !starts.is_empty();
                told.starts_at = starts.first().map(|start| clock.iso(*start));
                told.handle_at = handle(&layout.problem, place, starts).map(|tick| clock.iso(tick));
                if let Some(reason) = unfit.get(&place).copied() {
                    told.reason = Some(unfit_reason(reason, aired.decides).0.to_owned());
                    told.would_fit_at = match reason {
                        UnfitReason::SessionTooShort(end) => Some(clock.iso(end)),
                        UnfitReason::NoRoom => aired.would_end[place].map(|tick| clock.iso(tick)),
                        UnfitReason::NeverAlone => None,
                    };
                }
            }
            pages.push(told);
        }
    }
    pages
}

/// When a page may be handled.
fn handle(problem: &Problem, page: usize, starts: &[Tick]) -> Option<Tick> {
    let page = &problem.pages[page];
    Some(starts.last()? + page.coats.last()?.spray + page.final_dry)
}

fn air_part(aired: &Aired, layout: &Layout, catalog: &Catalog) -> Option<EveningAirPart> {
    let (air, run) = (aired.air.as_ref()?, aired.run.as_ref()?);
    let clear_min = f64::from(air.after_last.clear_unmasked_min.unwrap_or(240)).min(240.0);
    let ends = aired.answer.measures.work_end as f64 * layout.problem.tick_min();
    let step = libm::ceil((ends + clear_min).max(1.0) / (POINTS - 1) as f64 * 2.0) / 2.0;
    let series = evening_series(run, catalog, step, POINTS);
    Some(EveningAirPart {
        fullness_peak: air.fullness_peak,
        ceiling: aired.ceiling,
        decides: aired.decides,
        room_index_peak: air.room_index_peak,
        index_15min: air.index_15min,
        index_8h: air.index_8h,
        index_unmasked_only: air.index_unmasked_only,
        lel_room_pct: air.lel_room_pct,
        lel_near_pct: air.lel_near_pct,
        return_masked_min: air.after_last.return_masked_min,
        clear_unmasked_min: air.after_last.clear_unmasked_min,
        clear_others_min: air.after_last.clear_others_min,
        series: series
            .into_iter()
            .map(|[t_min, room_index, near_index]| EveningPoint { t_min, room_index, near_index })
            .collect(),
        verdict: air.verdict,
    })
}

fn plans(request: &EveningRequest<'_>, planned: Vec<Planned>) -> Vec<EveningPlan> {
    let pages_of = |place: usize| {
        let entries = request.entries.iter().enumerate().filter(move |(_, entry)| entry.sheet == place);
        entries.map(|(entry, _)| entry + 1).collect()
    };
    let plans = planned.into_iter().enumerate();
    plans.map(|(place, page)| EveningPlan { pages: pages_of(place), plan: page.worked.plan }).collect()
}
