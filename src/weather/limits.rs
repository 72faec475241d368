//! Each row against each limit: how far on the right side it stays.

use serde::Serialize;

use super::air::BenchWeather;
use crate::both::both;
use crate::catalog::{Label, Rules};
use crate::conditions::{BlushIndex, LABEL_SLACK_K};
use crate::finding::Level;
use crate::plan::Prospect;
use crate::vapour::MoistAir;

/// What a row is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LimitKind {
    /// Relative humidity.
    Humidity,
    /// Margin over the dew point.
    DewPoint,
    /// Too cold.
    Cold,
    /// Too hot.
    Hot,
    /// Water drawn into the film.
    Blush,
    /// Wind that blows the mist off the sheet.
    Wind,
    /// Rain.
    Rain,
    /// A value that the forecast does not give.
    Missing,
}

impl LimitKind {
    /// What keeps an hour out, in words.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Humidity => "too humid",
            Self::DewPoint => "too near the dew point",
            Self::Cold => "too cold",
            Self::Hot => "too hot",
            Self::Blush => "the film would haze white",
            Self::Wind => "too windy",
            Self::Rain => "rain",
            Self::Missing => "a value is missing",
        }
    }
}

/// A row held against one limit: 1 and more is a plain go, 0 to 1 care, below 0 hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitAt {
    /// Which.
    pub kind: LimitKind,
    /// Distance to the hold, in units of the distance from care to hold.
    pub margin: f64,
    /// Whether nearness alone is care; a can's label knows only yes and no.
    pub care: bool,
}

impl LimitAt {
    /// The level it alone gives.
    pub fn level(&self) -> Level {
        // The slack of the conditions: a value written as the limit is at it, not over it.
        if self.margin < -1e-9 {
            Level::Hold
        } else if self.care && self.margin < 1.0 - 1e-9 {
            Level::Care
        } else {
            Level::Go
        }
    }
}

/// The level of several limits together: that of the strictest.
pub fn strictest_level(limits: &[LimitAt]) -> Level {
    limits.iter().map(LimitAt::level).max().unwrap_or(Level::Go)
}

/// Air, wind and rain against every limit but the blush.
pub fn limits_at(
    air: &MoistAir,
    wind_m_s: Option<f64>,
    rain_mm: Option<f64>,
    label: &Label,
    rules: &Rules,
) -> Vec<LimitAt> {
    let conditions = &rules.conditions;
    let rule = |kind, margin| LimitAt { kind, margin, care: true };
    let below = |value: f64, care: f64, hold: f64| (hold - value) / (hold - care);
    let above = |value: f64, care: f64, hold: f64| (value - hold) / (care - hold);
    let humidity = (conditions.humidity_care.get(), conditions.humidity_hold.get());
    let (cold, hot) = (
        (conditions.cold_care_c.get(), conditions.cold_hold_c.get()),
        (conditions.hot_care_c.get(), conditions.hot_hold_c.get()),
    );
    let dew = air.temperature_c - air.dew_point_c();
    let mut limits = vec![
        rule(LimitKind::Humidity, below(air.relative_humidity, humidity.0, humidity.1)),
        rule(LimitKind::DewPoint, above(dew, conditions.margin_care_k.get(), conditions.margin_hold_k.get())),
        rule(LimitKind::Cold, above(air.temperature_c, cold.0, cold.1)),
        rule(LimitKind::Hot, below(air.temperature_c, hot.0, hot.1)),
    ];
    let mut printed = |kind, margin| limits.push(LimitAt { kind, margin, care: false });
    if let Some(most) = label.max_humidity {
        printed(LimitKind::Humidity, (most - air.relative_humidity) / (humidity.1 - humidity.0));
    }
    if let Some(least) = label.min_temperature_c {
        printed(LimitKind::Cold, (air.temperature_c - least + LABEL_SLACK_K) / (cold.0 - cold.1));
    }
    if let Some(most) = label.max_temperature_c {
        printed(LimitKind::Hot, (most + LABEL_SLACK_K - air.temperature_c) / (hot.1 - hot.0));
    }
    if let Some(wind) = wind_m_s {
        limits.push(rule(LimitKind::Wind, below(wind, rules.air.brisk_wind_m_s.get(), conditions.wind_hold_m_s.get())));
    }
    if let Some(rain) = rain_mm.filter(|rain| *rain > 0.0) {
        let most = conditions.rain_hold_mm.get();
        limits.push(rule(LimitKind::Rain, (most - rain) / most));
    }
    limits
}

/// The blush index against its limits.
fn blush_limit(blush: BlushIndex, rules: &Rules) -> LimitAt {
    let (care, hold) = (rules.conditions.blush_care.get(), rules.conditions.blush_hold.get());
    LimitAt { kind: LimitKind::Blush, margin: (hold - blush.worst()) / (hold - care), care: true }
}

/// A row judged: its level, the smallest margin, and whose it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Judged {
    pub(super) level: Level,
    pub(super) margin: f64,
    pub(super) kind: LimitKind,
}

/// Judges every row; `None` where a value is missing. Blush is asked only where nothing else holds already: it takes a
/// film solved to the end.
pub(super) fn judge(bench: &BenchWeather, prospect: &Prospect<'_>, rules: &Rules) -> Vec<Option<Judged>> {
    let one = |row: usize| -> Option<Judged> {
        let air = bench.air[row].filter(|_| !bench.wind_missing[row])?;
        let mut limits = limits_at(&air, bench.wind_m_s[row], bench.rain_mm[row], &prospect.sealer.label, rules);
        if strictest_level(&limits) < Level::Hold {
            limits.extend(prospect.blush(air).map(|blush| blush_limit(blush, rules)));
        }
        let level = strictest_level(&limits);
        let nearest =
            limits.iter().filter(|limit| limit.level() == level).min_by(|a, b| a.margin.total_cmp(&b.margin))?;
        let margin = limits.iter().map(|limit| limit.margin).fold(f64::INFINITY, f64::min);
        Some(Judged { level, margin, kind: nearest.kind })
    };
    let rows = bench.air.len();
    // Neighbouring rows cost alike, so even and odd rows share the work evenly.
    let half = |odd: usize| (odd..rows).step_by(2).map(one).collect::<Vec<_>>();
    let (even, odd) = both(|| half(0), || half(1));
    let (mut even, mut odd) = (even.into_iter(), odd.into_iter());
    (0..rows).map(|row| if row % 2 == 0 { even.next() } else { odd.next() }.flatten()).collect()
}
