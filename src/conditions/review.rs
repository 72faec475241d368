//! Dew margin, humidity, temperature and blush against their limits.

use crate::catalog::{Figure, Label, Rules};
use crate::estimate::{Basis, Grounds};
use crate::finding::{Finding, Level, verdict};
use crate::vapour::MoistAir;

/// A label's temperature is printed in whole degrees of either unit: so far beyond it is still at it, K.
pub const LABEL_SLACK_K: f64 = 0.05;

/// The blush index of the coats and of the reference build: condensed water over film solids, as shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlushIndex {
    /// Highest median of the planned coats.
    pub planned: f64,
    /// Of the reference build.
    pub reference: f64,
}

impl BlushIndex {
    /// The larger of the two: what the limits are held against.
    pub fn worst(self) -> f64 {
        self.planned.max(self.reference)
    }
}

/// The level that the conditions alone give.
pub fn level(air: &MoistAir, label: &Label, blush: Option<BlushIndex>, rules: &Rules) -> Level {
    verdict(&review(air, label, blush, rules))
}

/// Every finding of the air at the bench against the rules and the label.
///
/// `blush` is `None` where no film model applies (water-borne films do not blush this way).
pub fn review(air: &MoistAir, label: &Label, blush: Option<BlushIndex>, rules: &Rules) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(dew_margin(air, rules));
    findings.extend(humidity(air, label, rules));
    findings.extend(temperature(air, label, rules));
    findings.extend(blush.and_then(|blush| blushing(blush, rules)));
    findings
}

/// The level of a value that must not rise over two limits.
fn above(value: f64, care: &Figure, hold: &Figure) -> Option<(Level, Grounds)> {
    // A hair of slack: a value written as the limit is at the limit, not over it.
    let over = |limit: &Figure| value > limit.get() + 1e-9;
    if over(hold) {
        Some((Level::Hold, hold.grounds.clone()))
    } else if over(care) {
        Some((Level::Care, care.grounds.clone()))
    } else {
        None
    }
}

fn dew_margin(air: &MoistAir, rules: &Rules) -> Option<Finding> {
    let conditions = &rules.conditions;
    // The sheet has the temperature of the room; droplets cool it, which the blush index counts.
    let margin = air.temperature_c - air.dew_point_c();
    let (level, grounds, limit) = if margin < conditions.margin_hold_k.get() {
        (Level::Hold, &conditions.margin_hold_k.grounds, conditions.margin_hold_k.get())
    } else if margin < conditions.margin_care_k.get() {
        (Level::Care, &conditions.margin_care_k.grounds, conditions.margin_care_k.get())
    } else {
        return None;
    };
    let text = format!(
        "The sheet is only {margin:.1} K above the dew point of {:.1} °C; {limit:.0} K are wanted",
        air.dew_point_c()
    );
    Some(Finding::on("dew-margin", level, text, grounds).remedy("Warm the room or dry the air before spraying"))
}

fn humidity(air: &MoistAir, label: &Label, rules: &Rules) -> Option<Finding> {
    let conditions = &rules.conditions;
    let value = air.relative_humidity;
    let shown = 100.0 * value;
    if let Some(max) = label.max_humidity
        && value > max + 1e-9
    {
        let text = format!("The air has {shown:.0} % humidity; your can's label stops at {:.0} %", 100.0 * max);
        let finding = Finding::new("humidity-over-label", Level::Hold, text, Basis::Label);
        return Some(finding.remedy("Wait for drier air, or dry and warm the room"));
    }
    let (level, grounds) = above(value, &conditions.humidity_care, &conditions.humidity_hold)?;
    let limit =
        100.0 * if level == Level::Hold { conditions.humidity_hold.get() } else { conditions.humidity_care.get() };
    let text = format!("The air has {shown:.0} % humidity; over {limit:.0} % a film can haze and dries slowly");
    let finding = Finding::on("humidity-high", level, text, &grounds);
    Some(finding.remedy("Wait for drier air, or dry and warm the room"))
}

fn temperature(air: &MoistAir, label: &Label, rules: &Rules) -> Option<Finding> {
    let conditions = &rules.conditions;
    let value = air.temperature_c;
    let outside_label = |limit: f64, side: &str| {
        let text = format!("It is {value:.1} °C; your can's label {side} {limit:.0} °C");
        Finding::new("temperature-outside-label", Level::Hold, text, Basis::Label)
            .remedy("Bring the room and the can to a temperature the label allows")
    };
    if let Some(min) = label.min_temperature_c
        && value < min - LABEL_SLACK_K
    {
        return Some(outside_label(min, "starts at"));
    }
    if let Some(max) = label.max_temperature_c
        && value > max + LABEL_SLACK_K
    {
        return Some(outside_label(max, "stops at"));
    }
    let cold = value < conditions.cold_care_c.get();
    let (level, limit) = if value < conditions.cold_hold_c.get() {
        (Level::Hold, &conditions.cold_hold_c)
    } else if cold {
        (Level::Care, &conditions.cold_care_c)
    } else if value > conditions.hot_hold_c.get() {
        (Level::Hold, &conditions.hot_hold_c)
    } else if value > conditions.hot_care_c.get() {
        (Level::Care, &conditions.hot_care_c)
    } else {
        return None;
    };
    let (text, remedy) = if cold {
        (
            format!("It is {value:.1} °C; below {:.0} °C a can sprays weakly and films stay soft", limit.get()),
            "Warm the room and the can; never warm a can over a flame or above 50 °C",
        )
    } else {
        (
            format!("It is {value:.1} °C; above {:.0} °C droplets dry before they land", limit.get()),
            "Wait for a cooler hour",
        )
    };
    Some(Finding::on("temperature-limit", level, text, &limit.grounds).remedy(remedy))
}

fn blushing(blush: BlushIndex, rules: &Rules) -> Option<Finding> {
    let conditions = &rules.conditions;
    let value = blush.worst();
    let (level, grounds) = above(value, &conditions.blush_care, &conditions.blush_hold).or_else(|| {
        (value > conditions.blush_note.get()).then(|| (Level::Note, conditions.blush_note.grounds.clone()))
    })?;
    let words = match level {
        Level::Hold => "the film would haze white",
        Level::Care => "the film may haze white",
        _ => "a trace of water settles in the film",
    };
    let text = format!(
        "Fast solvents chill the wet film and draw {:.1} % of its solids in water from the air: {words}",
        100.0 * value
    );
    let remedy = "Spray in drier or warmer air; a lower humidity helps most";
    Some(Finding::on("blush", level, text, &grounds).remedy(remedy))
}
