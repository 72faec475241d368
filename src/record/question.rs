//! Readings far from what was to be expected: asked about, never dropped and never bent.

use super::{LogNormal, Reading};
use crate::catalog::MeasureFigures;
use crate::diagnostic::Problem;
use crate::estimate::Quantiles;

/// What all of a sprayed card's share can be.
const ALL: f64 = 1.0;

/// The question a reading raises that lies far from what is known by now, or that cannot be; `None` if it is in the
/// ordinary. `known` is what it was to be expected to show.
pub fn questioned(known: LogNormal, reading: &Reading, figures: &MeasureFigures) -> Option<Box<Problem>> {
    let (value, relative_sd) = reading.value()?;
    let more_than_all = matches!(reading, Reading::Transfer { .. }) && value > ALL;
    if known.surprise(value, relative_sd) <= figures.question_at.get() && !more_than_all {
        return None;
    }
    let Quantiles { p10, p50, p90 } = known.quantiles();
    let high = value > p50;
    let expected = |unit: &str, digits: usize| {
        format!(
            "{value:.digits$} {unit} is far from what was to be expected: about {p50:.digits$} {unit}, in eight of ten \
             cases {p10:.digits$} to {p90:.digits$}"
        )
    };
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let (message, explained) = match reading {
        Reading::Can { .. } => {
            let why = "a miscounted second, the cap on the can at one weighing only, or a nozzle that spits";
            (expected("g/s", 2), why)
        }
        Reading::Cone { .. } => (expected("degrees", 1), "a length in another unit, or a nozzle half blocked"),
        Reading::Transfer { .. } if more_than_all => {
            let message = format!("the card would have kept {} of what was sprayed at it", percent(value));
            (message, "more seconds than counted, a smaller area swept than given, or a card still wet or damp")
        }
        Reading::Transfer { .. } => {
            let message = format!(
                "{} staying on the card is far from what was to be expected: about {}, in eight of ten cases {} to {}",
                percent(value),
                percent(p50),
                percent(p10),
                percent(p90)
            );
            let why = if high {
                "more seconds than counted, a smaller area swept than given, or a card still damp"
            } else {
                "fewer seconds than counted, a larger area swept than given, or wind at the card"
            };
            (message, why)
        }
        Reading::Drying { .. } => {
            let why = if high {
                "another coat than the one named, a thicker one, still air or a cold sheet"
            } else {
                "another coat than the one named, a thinner one, a fan or a heater"
            };
            (expected("min", 1), why)
        }
        Reading::Scrap { .. } => return None,
    };
    let hint = format!(
        "would explain it: {explained}; measure again; if it comes out the same, add `--insist` and it counts as it stands"
    );
    Some(Box::new(Problem::new("far-from-expected", message).with_hint(hint)))
}
