//! What would make the air milder: how much air, through what opening, how long a wait; and where the sheet goes.

use super::assess::level;
use super::opening::window_flow_single_sided_m3_s;
use super::run::RunAir;
use super::ventilation::RoomAir;
use crate::both::both;
use crate::catalog::{AirRules, Catalog};
use crate::estimate::Triple;
use crate::finding::{Finding, Level};
use crate::input::{Airflow, RoomInput};
use crate::quantity::{minutes_in_words, number};

/// How close a search comes to its answer, as a factor.
const CLOSE_ENOUGH: f64 = 1.05;

/// What would make the air of a run milder.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Sure flow of outside air with which it would be `go`, m³/h, if any would do.
    pub airflow_for_go_m3_h: Option<f64>,
    /// Sure flow with which a `hold` would be `care`, m³/h, if any would do.
    pub airflow_for_care_m3_h: Option<f64>,
    /// Open window that gives the smaller of these flows in still air, m², if one window can.
    pub opening_m2: Option<f64>,
    /// Rating of a fan, sealed in with an open inlet, that gives it, m³/h.
    pub fan_rating_m3_h: Option<f64>,
    /// Extra time after each coat with which it would be milder, min, if waiting helps.
    pub extra_wait_min: Option<u32>,
    /// The level it then has.
    pub level_after_wait: Option<Level>,
    /// The level of the same coats outdoors at the wind taken when none is given.
    pub level_outdoors: Level,
    /// Where to keep the sheet while it gives off solvent.
    pub keep_sheet: String,
}

/// Searches for what would help.
pub(super) fn advice(run: &RunAir, now: Level, catalog: &Catalog) -> Advice {
    let rules = &catalog.rules.air;
    let outdoors = if run.room.outdoors { now } else { level(&outside(run, rules), catalog) };
    let mut advice = Advice {
        airflow_for_go_m3_h: None,
        airflow_for_care_m3_h: None,
        opening_m2: None,
        fan_rating_m3_h: None,
        extra_wait_min: None,
        level_after_wait: None,
        level_outdoors: outdoors,
        keep_sheet: keep_sheet(run),
    };
    if now == Level::Go {
        return advice;
    }
    // The two searches do not depend on each other.
    let (airflow_for_go, longer) = both(
        || if run.room.outdoors { None } else { airflow_for(run, Level::Go, catalog) },
        || longer_wait(run, now, catalog),
    );
    if !run.room.outdoors {
        advice.airflow_for_go_m3_h = airflow_for_go;
        if now == Level::Hold {
            advice.airflow_for_care_m3_h = airflow_for(run, Level::Care, catalog);
        }
        let least = advice.airflow_for_care_m3_h.or(advice.airflow_for_go_m3_h);
        advice.opening_m2 = least
            .map(|flow| flow / 3600.0 / window_flow_single_sided_m3_s(1.0, 0.0, 1.0, 0.0))
            .filter(|opening| *opening <= rules.opening_most_m2.get());
        advice.fan_rating_m3_h = least.map(|flow| flow / rules.fan_sealed_share.value.low());
    }
    if let Some((minutes, level)) = longer {
        advice.extra_wait_min = Some(minutes);
        advice.level_after_wait = Some(level);
    }
    advice
}

/// The same coats in the open air.
fn outside(run: &RunAir, rules: &AirRules) -> RunAir {
    let room = RoomInput {
        name: String::new(),
        volume_m3: None,
        height_m: None,
        temperature_c: Some(run.room.temperature_c),
        relative_humidity: None,
        outdoor_temperature_c: None,
        airflow: Some(Airflow::Outdoors),
        air_changes_per_h: None,
        fan_m3_h: None,
        fan_span: None,
        fan_sealed: false,
        window: None,
        wind_m_s: None,
        follows: None,
        pressure_pa: run.room.pressure_pa,
        ignition: run.room.ignition,
    };
    RunAir { room: RoomAir::of(Some(&room), rules), ..run.clone() }
}

/// The same coats with a known flow, described afresh.
fn with_flow(run: &RunAir, flow_m3_h: f64, rules: &AirRules) -> RunAir {
    let room = RoomAir {
        flow_m3_h: Triple::exact(flow_m3_h),
        random_air_speed_m_min: run.room.random_air_speed_m_min.max(rules.random_air_speed_open_m_min.get()),
        findings: Vec::new(),
        ..run.room.clone()
    };
    RunAir { room, ..run.clone() }
}

/// The least sure flow at which the air is at most of a level, rounded up to 10 m³/h.
fn airflow_for(run: &RunAir, wanted: Level, catalog: &Catalog) -> Option<f64> {
    let rules = &catalog.rules.air;
    let enough = |flow: f64| level(&with_flow(run, flow, rules), catalog) <= wanted;
    let mut high = rules.airflow_most_m3_h.get();
    let mut low = run.room.flow_m3_h.low();
    if low >= high || !enough(high) {
        return None;
    }
    while high / low > CLOSE_ENOUGH {
        let middle = libm::sqrt(low * high);
        if enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(libm::ceil(high / 10.0) * 10.0)
}

/// The least extra time after each coat that makes the air milder, in steps of 5 minutes, and the level it then has.
fn longer_wait(run: &RunAir, now: Level, catalog: &Catalog) -> Option<(u32, Level)> {
    const STEP_MIN: f64 = 5.0;
    if run.coats.len() < 2 {
        return None;
    }
    let after = |steps: u32| level(&run.with_longer_intervals(f64::from(steps) * STEP_MIN * 60.0), catalog);
    let mut high = (catalog.rules.air.longest_wait_h.get() * 60.0 / STEP_MIN) as u32;
    let mut at_high = after(high);
    let mut low = 0;
    if at_high >= now {
        return None;
    }
    while high - low > 1 {
        let middle = u32::midpoint(low, high);
        let at_middle = after(middle);
        if at_middle < now {
            (high, at_high) = (middle, at_middle);
        } else {
            low = middle;
        }
    }
    Some((high * STEP_MIN as u32, at_high))
}

/// Where the sheet goes.
fn keep_sheet(run: &RunAir) -> String {
    if run.room.outdoors {
        "Let the sheet give off its solvent outdoors under a roof, or in an aired room where no one sleeps, for 1 to 3 days"
            .to_owned()
    } else {
        "Keep the sheet in the aired room where it was sprayed, never where someone sleeps, for 1 to 3 days".to_owned()
    }
}

/// Adds what would help to the findings it helps with.
pub(super) fn add_remedies(findings: &mut [Finding], advice: &Advice, run: &RunAir) {
    const HELPED: [&str; 7] = [
        "fire-at-face",
        "fire-in-room",
        "air-15min",
        "air-short-term",
        "air-8h",
        "mask-does-not-hold",
        "not-clear-today",
    ];
    let Some(worst) = findings.iter_mut().find(|finding| HELPED.contains(&finding.code)) else { return };
    let words = in_words(advice, run);
    if !words.is_empty() {
        let before = worst.remedy.take().unwrap_or_default();
        worst.remedy = Some(format!("{before}. {words}"));
    }
}

/// The advice in a sentence or two.
fn in_words(advice: &Advice, run: &RunAir) -> String {
    let mut words = Vec::new();
    let flow = advice.airflow_for_care_m3_h.or(advice.airflow_for_go_m3_h);
    if let (Some(flow), Some(fan)) = (flow, advice.fan_rating_m3_h) {
        let window = advice.opening_m2.map_or_else(String::new, |opening| {
            format!("{} m² of open window in still air, or ", number(libm::ceil(opening * 10.0) / 10.0))
        });
        words.push(format!(
            "About {} m³/h of outside air would do: {window}a fan rated {} m³/h sealed into a window with another one open",
            number(flow),
            number(libm::ceil(fan / 50.0) * 50.0)
        ));
    }
    if let (Some(minutes), Some(level)) = (advice.extra_wait_min, advice.level_after_wait) {
        words.push(format!(
            "Waiting {} longer after each coat makes it {}",
            minutes_in_words(i64::from(minutes)),
            level.word()
        ));
    }
    if !run.room.outdoors && advice.level_outdoors == Level::Go {
        words.push("Outdoors the same coats are fine".to_owned());
    }
    words.join(". ")
}
