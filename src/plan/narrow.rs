//! The one measurement that would narrow the plan most.

use super::model::Narrow;
use crate::catalog::{Catalog, Sealer};

/// Picks the measurement whose figure is the widest on a logarithmic scale, since thickness is in proportion to the
/// can's rate and to the share that stays, and drying time to the air's coefficient and the slow solvents.
///
/// Width = ln(high / low). A figure measured already has next to none.
pub(super) fn narrow_most(sealer: &Sealer, catalog: &Catalog) -> Narrow {
    let width = |low: f64, high: f64| if low > 0.0 { libm::log(high / low) } else { f64::INFINITY };
    let discharge = width(sealer.discharge_g_s.low(), sealer.discharge_g_s.high());
    let transfer = catalog.model.spray.transfer_at_15cm.value;
    let transfer = width(transfer.low(), transfer.high());
    if discharge >= transfer {
        return Narrow {
            measurement: "the can's rate".to_owned(),
            steps: steps(&[
                "Shake the can and let it come to room temperature",
                "Weigh it on a kitchen scale that shows tenths of a gram, or single grams",
                "Spray for ten seconds off the page, outdoors, by the clock",
                "Weigh it again; the difference divided by ten is the rate in g/s",
                "Write it into the can's file as `discharge = \"… g/s\"` under `[can]`",
            ]),
        };
    }
    Narrow {
        measurement: "how much of the spray stays on a sheet".to_owned(),
        steps: steps(&[
            "Weigh a card of known size on a scale that shows hundredths of a gram",
            "Spray one coat on it as planned, noting the seconds of spraying",
            "Let it dry for a day and weigh it again",
            "Compare what it gained with what the can lost times its solids",
        ]),
    }
}

fn steps(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}
