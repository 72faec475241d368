//! The best starts: one for each stretch of suitable hours, the best few planned in full.

use super::air::BenchWeather;
use super::starts::Candidate;
use super::{Start, WeatherRequest};
use crate::catalog::{Catalog, Sealer};
use crate::finding::Level;
use crate::input::RoomInput;
use crate::plan::{Plan, Request, make};

/// How many stretches are planned in full.
const PLANNED: usize = 3;

/// A stretch of rows each of which is a start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Window {
    /// The first start.
    pub(super) first: usize,
    /// The last start.
    pub(super) last: usize,
    /// The best start in it.
    pub(super) best: Start,
}

/// The stretches, best first: milder, then farther from the limits, then earlier.
pub(super) fn windows(candidates: &[Candidate]) -> Vec<Window> {
    let mut windows: Vec<Window> = Vec::new();
    for (row, candidate) in candidates.iter().enumerate() {
        let Candidate::Start(start) = *candidate else { continue };
        match windows.last_mut() {
            Some(window) if window.last + 1 == row => {
                window.last = row;
                if (start.level, -start.margin) < (window.best.level, -window.best.margin) {
                    window.best = start;
                }
            }
            _ => windows.push(Window { first: row, last: row, best: start }),
        }
    }
    windows.sort_by(|a, b| {
        a.best.level.cmp(&b.best.level).then(b.best.margin.total_cmp(&a.best.margin)).then(a.first.cmp(&b.first))
    });
    windows
}

/// The best stretches with their plans, those on hold for other reasons than the air last.
pub(super) fn planned(
    request: &WeatherRequest<'_>,
    sealer: &Sealer,
    windows: &[Window],
    bench: &BenchWeather,
    catalog: &Catalog,
) -> Vec<(Window, Option<Plan>)> {
    let mut planned: Vec<(Window, Option<Plan>)> = windows
        .iter()
        .enumerate()
        .map(|(n, window)| (*window, (n < PLANNED).then(|| plan_at(request, sealer, window.best.row, bench, catalog))))
        .collect();
    let held = |plan: &Option<Plan>| plan.as_ref().is_some_and(|plan| plan.verdict == Level::Hold);
    let count = planned.len().min(PLANNED);
    planned[..count].sort_by_key(|(_, plan)| held(plan));
    planned
}

/// The full plan of a start, in the air of its row.
fn plan_at(request: &WeatherRequest<'_>, sealer: &Sealer, row: usize, bench: &BenchWeather, catalog: &Catalog) -> Plan {
    let air = bench.air[row].expect("a start has its air");
    let room = RoomInput {
        temperature_c: Some(air.temperature_c),
        relative_humidity: Some(air.relative_humidity),
        wind_m_s: bench.wind_m_s[row].or(request.room.wind_m_s),
        outdoor_temperature_c: request.forecast.hours[row].temperature_c.or(request.room.outdoor_temperature_c),
        ..request.room.clone()
    };
    let plan_request = Request {
        sheet: request.sheet,
        sealer: Some(sealer),
        room: Some(&room),
        room_named: true,
        respirator: None,
        start: &request.forecast.hours[row].at,
        now: request.now,
        seed: request.seed,
        why: false,
    };
    make(&plan_request, catalog)
}
