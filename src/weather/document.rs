//! The review of a forecast as data.

use serde::Serialize;
use serde_json::{Value, json};

use super::air::BenchWeather;
use super::best::Window;
use super::limits::{Judged, LimitKind};
use super::starts::Candidate;
use super::{Readiness, WeatherRequest};
use crate::catalog::Catalog;
use crate::diagnostic::{plural, sentence_inside};
use crate::estimate::Basis;
use crate::finding::{Finding, Level};
use crate::input::{Follows, clock_time, iso};
use crate::plan::{Plan, Prospect};
use crate::quantity::number;

/// One row of the forecast, as it is at the bench.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeatherHour {
    /// When.
    pub at: String,
    /// Temperature at the bench, °C.
    pub temperature_c: Option<f64>,
    /// Humidity at the bench, %.
    pub relative_humidity_pct: Option<f64>,
    /// Wind at the bench, m/s.
    pub wind_m_s: Option<f64>,
    /// Level of this row alone; `None` where a value is missing.
    pub level: Option<Level>,
    /// Distance to the nearest limit: below 0 hold, up to 1 care.
    pub margin: Option<f64>,
    /// The nearest limit.
    pub limit: Option<LimitKind>,
    /// Level of a run that begins here; `None` if none can.
    pub start: Option<Level>,
}

/// A stretch of hours in which a run may begin.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeatherWindow {
    /// The first start.
    pub from: String,
    /// The last start.
    pub to: String,
    /// The best start.
    pub best_at: String,
    /// A run begun there is over, handle-dry, at.
    pub ends_at: String,
    /// Its level.
    pub level: Level,
    /// How far it stays from the nearest limit: 0 at hold, 1 where care begins.
    pub margin: f64,
    /// That limit.
    pub limit: LimitKind,
    /// Temperature at the bench then, °C.
    pub temperature_c: f64,
    /// Humidity at the bench then, %.
    pub relative_humidity_pct: f64,
    /// Wind at the bench then, m/s.
    pub wind_m_s: Option<f64>,
    /// Verdict of the full plan; only the best few are planned.
    pub plan_verdict: Option<Level>,
    /// Answer of the full plan.
    pub plan_answer: Option<String>,
}

/// How many hours a limit keeps out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitCount {
    /// Which limit.
    pub limit: LimitKind,
    /// How many rows are on hold for it.
    pub hours: usize,
}

/// The review of a forecast.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Weather {
    /// `coatbell.weather/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// Echo of what was taken.
    pub inputs: Value,
    /// `go`, `care` or `hold`.
    pub verdict: Level,
    /// The answer in one line.
    pub answer: String,
    /// What was noticed.
    pub findings: Vec<Finding>,
    /// The cautions.
    pub cautions: Vec<String>,
    /// The page's title.
    pub page: String,
    /// The sealer's name.
    pub sealer: String,
    /// From the first coat to handle-dry in the worst air allowed, min.
    pub run_min: u32,
    /// How many rows a run may begin at.
    pub starts: usize,
    /// The stretches, best first.
    pub windows: Vec<WeatherWindow>,
    /// What keeps the other hours out, most hours first.
    pub limits: Vec<LimitCount>,
    /// Every row.
    pub hours: Vec<WeatherHour>,
    /// The plan of the best start.
    #[serde(skip)]
    pub best_plan: Option<Plan>,
}

pub(super) fn document(
    request: &WeatherRequest<'_>,
    page: &Readiness,
    prospect: &Prospect<'_>,
    bench: &BenchWeather,
    judged: &[Option<Judged>],
    candidates: &[Candidate],
    planned: Vec<(Window, Option<Plan>)>,
    catalog: &Catalog,
) -> Weather {
    let run_min = libm::ceil(prospect.run_min) as u32;
    let starts = candidates.iter().filter(|candidate| matches!(candidate, Candidate::Start(_))).count();
    let windows: Vec<WeatherWindow> =
        planned.iter().map(|(window, plan)| window_part(request, window, plan.as_ref(), bench, run_min)).collect();
    let best_plan = planned.into_iter().next().and_then(|(_, plan)| plan);
    let findings = findings(request, page, candidates, catalog);
    let verdict = match windows.first() {
        Some(best) => best.level.max(best.plan_verdict.unwrap_or(Level::Go)).max(crate::finding::verdict(&findings)),
        None => Level::Hold,
    };
    let limits = limit_counts(judged, candidates);
    let answer = answer(request, &windows, starts, candidates, &limits);
    Weather {
        schema: "coatbell.weather/1",
        version: env!("CARGO_PKG_VERSION"),
        inputs: json!({
            "now": iso(request.now),
            "page": request.sheet.title,
            "sealer": prospect.sealer.id,
            "room": request.room.name,
            "follows": request.follows.word(),
            "between_h": [request.between_h.0, request.between_h.1],
            "step_min": request.forecast.step_min,
            "units_assumed": request.forecast.assumed,
            "seed": request.seed,
        }),
        verdict,
        answer,
        findings,
        cautions: crate::caution::in_full(),
        page: request.sheet.title.clone(),
        sealer: prospect.sealer.name.clone(),
        run_min,
        starts,
        windows,
        limits,
        hours: hours(request, bench, judged, candidates),
        best_plan,
    }
}

fn window_part(
    request: &WeatherRequest<'_>,
    window: &Window,
    plan: Option<&Plan>,
    bench: &BenchWeather,
    run_min: u32,
) -> WeatherWindow {
    let at = |row: usize| &request.forecast.hours[row].at;
    let air = bench.air[window.best.row].expect("a start has its air");
    let begins = at(window.best.row);
    let ends =
        begins.checked_add(jiff::SignedDuration::from_mins(i64::from(run_min))).unwrap_or_else(|_| begins.clone());
    WeatherWindow {
        from: iso(at(window.first)),
        to: iso(at(window.last)),
        best_at: iso(begins),
        ends_at: plan.and_then(|plan| plan.handle_at.clone()).unwrap_or_else(|| iso(&ends)),
        level: window.best.level,
        margin: window.best.margin,
        limit: window.best.nearest,
        temperature_c: air.temperature_c,
        relative_humidity_pct: 100.0 * air.relative_humidity,
        wind_m_s: bench.wind_m_s[window.best.row],
        plan_verdict: plan.map(|plan| plan.verdict),
        plan_answer: plan.map(|plan| plan.answer.clone()),
    }
}

fn hours(
    request: &WeatherRequest<'_>,
    bench: &BenchWeather,
    judged: &[Option<Judged>],
    candidates: &[Candidate],
) -> Vec<WeatherHour> {
    request
        .forecast
        .hours
        .iter()
        .enumerate()
        .map(|(row, hour)| WeatherHour {
            at: iso(&hour.at),
            temperature_c: bench.air[row].map(|air| air.temperature_c),
            relative_humidity_pct: bench.air[row].map(|air| 100.0 * air.relative_humidity),
            wind_m_s: bench.wind_m_s[row],
            level: judged[row].map(|judged| judged.level),
            margin: judged[row].map(|judged| judged.margin),
            limit: judged[row].map(|judged| judged.kind),
            start: match candidates[row] {
                Candidate::Start(start) => Some(start.level),
                _ => None,
            },
        })
        .collect()
}

/// Rows on hold or missing by what keeps them out; rows nobody asked for are not counted.
fn limit_counts(judged: &[Option<Judged>], candidates: &[Candidate]) -> Vec<LimitCount> {
    let mut counts: std::collections::BTreeMap<LimitKind, usize> = std::collections::BTreeMap::new();
    for candidate in candidates {
        if let Candidate::Held(row) = candidate {
            *counts.entry(judged[*row].map_or(LimitKind::Missing, |judged| judged.kind)).or_default() += 1;
        }
    }
    let mut counts: Vec<LimitCount> = counts.into_iter().map(|(limit, hours)| LimitCount { limit, hours }).collect();
    counts.sort_by_key(|count| std::cmp::Reverse(count.hours));
    counts
}

fn findings(
    request: &WeatherRequest<'_>,
    page: &Readiness,
    candidates: &[Candidate],
    catalog: &Catalog,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    if !page.all_laid {
        let text = "A layer is still to be laid: the hours are those of the air alone";
        findings.push(
            Finding::new("layer-to-lay", Level::Care, text, Basis::Practice)
                .remedy("Write `finished` for each layer once it is laid, and ask again"),
        );
    }
    if let Some(ready) = page.ready_at.as_ref().filter(|ready| *ready > request.now) {
        let text = format!("The page is ready from {}; no run begins before", clock_time(ready, request.now));
        findings.push(Finding::new("ready-later", Level::Note, text, Basis::Practice));
    }
    if request.follows == Follows::Outdoors && !request.forecast.has_wind {
        let text = "The forecast has no wind: too windy hours are not found";
        findings.push(
            Finding::on("wind-not-given", Level::Care, text, &catalog.rules.conditions.wind_hold_m_s.grounds)
                .remedy("Add a column `wind (m/s)`, or look out of the window before each coat"),
        );
    }
    if request.follows == Follows::Garage {
        let lag = &catalog.rules.conditions.garage_lag_h;
        let text = format!("The room is taken to lag {} h behind the weather", number(lag.get()));
        findings.push(
            Finding::on("garage-lag", Level::Care, text, &lag.grounds)
                .remedy("Look at a thermometer at the bench before the first coat"),
        );
    }
    if !request.forecast.assumed.is_empty() {
        let text =
            format!("The forecast names no unit for some values: {} are taken", request.forecast.assumed.join(", "));
        findings.push(Finding::new("units-assumed", Level::Note, text, Basis::Choice));
    }
    let uncovered = candidates.iter().filter(|candidate| **candidate == Candidate::NotCovered).count();
    if uncovered > 0 {
        let text = format!("{} the forecast does not cover a whole run", after(uncovered));
        findings.push(Finding::new("forecast-ends", Level::Note, text, Basis::Choice));
    }
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    findings
}

fn after(count: usize) -> String {
    if count == 1 { "After 1 hour".to_owned() } else { format!("After {count} of its hours") }
}

fn answer(
    request: &WeatherRequest<'_>,
    windows: &[WeatherWindow],
    starts: usize,
    candidates: &[Candidate],
    limits: &[LimitCount],
) -> String {
    let asked = candidates.iter().filter(|candidate| **candidate != Candidate::NotAsked).count();
    let Some(best) = windows.first() else {
        if asked == 0 {
            return "No hour of the forecast is left to begin in".to_owned();
        }
        let reason = limits.first().map_or_else(
            || "it ends before the run does".to_owned(),
            |limit| format!("mostly {}", limit.limit.in_words()),
        );
        return format!("No hour of the forecast suits, of {asked} looked at: {reason}");
    };
    if let (Some(Level::Hold), Some(held)) = (best.plan_verdict, &best.plan_answer) {
        // The air is not all: whoever reads only this line must not take it for leave to spray.
        return format!("The air would suit in {starts} of {}, but {}", plural(asked, "hour"), sentence_inside(held));
    }
    let clock = |text: &str| {
        text.parse::<jiff::Timestamp>()
            .map(|at| clock_time(&at.to_zoned_datetime(request.now.time_zone().clone()), request.now))
            .unwrap_or_default()
    };
    let wind = best.wind_m_s.map(|wind| format!(", wind {} m/s", number((wind * 10.0).round() / 10.0)));
    format!(
        "{} of {} suit to begin in; best {} ({} °C, {} %{}), handle-dry by {}",
        starts,
        plural(asked, "hour"),
        clock(&best.best_at),
        number(best.temperature_c.round()),
        number(best.relative_humidity_pct.round()),
        wind.unwrap_or_default(),
        clock(&best.ends_at),
    )
}
