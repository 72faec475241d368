//! The one measurement that would narrow the plan most.

use super::model::Narrow;
use crate::catalog::{Catalog, Sealer};
use crate::estimate::Triple;
use crate::film::{DriedBy, dried_by};

/// Picks, of what was not measured yet, the figure that is the widest on a logarithmic scale: thickness is in
/// proportion to the can's rate and to the share that stays. Then comes the drying, and at last the scrap test, which
/// settles what no scale can.
///
/// Width = ln(q90 / q10).
pub(super) fn narrow_most(sealer: &Sealer, catalog: &Catalog) -> Narrow {
    let width = |triple: Triple| {
        if triple.at(0.1) > 0.0 { libm::log(triple.at(0.9) / triple.at(0.1)) } else { f64::INFINITY }
    };
    let name = name_to_type(&sealer.id);
    let rate = sealer.can.discharge_g_s.is_none().then(|| width(sealer.discharge_g_s));
    let transfer = sealer.can.transfer_at_15cm.is_none().then(|| width(catalog.model.spray.transfer_at_15cm.value));
    match (rate, transfer) {
        (Some(rate), other) if other.is_none_or(|transfer| rate >= transfer) => Narrow {
            measurement: "the can's rate".to_owned(),
            steps: steps(&[
                "Shake the can and let it come to room temperature",
                "Weigh it on a kitchen scale that shows single grams, or better tenths",
                "Spray for ten seconds off the page, outdoors, by the clock",
                "Weigh it again with the same cap on, or off, both times",
                &format!(
                    "Type `coatbell measure can --sealer {name} --before \"312 g\" --after \"303 g\" --seconds 10` \
                     with your own figures"
                ),
            ]),
        },
        (_, Some(_)) => Narrow {
            measurement: "how much of the spray stays on a sheet".to_owned(),
            steps: steps(&[
                "Weigh a card of known size on a scale that shows hundredths of a gram",
                "Spray a coat over it as planned, a hand's breadth past every edge, counting the seconds",
                "Let it dry for a day and weigh it again",
                &format!(
                    "Type `coatbell measure transfer --sealer {name} --card A4 --swept \"45 cm x 35 cm\" --before \
                     \"15.60 g\" --after \"15.75 g\" --seconds 8 --distance \"20 cm\" --scale \"0.01 g\"` with \
                     your own figures"
                ),
            ]),
        },
        _ if sealer.can.drying.is_none() && dried_by(sealer) == DriedBy::Solvent => Narrow {
            measurement: "when a coat is touch-dry".to_owned(),
            steps: steps(&[
                "After a coat, touch a sprayed corner off the picture with a clean thumb every minute or two",
                "Note the time when nothing sticks or prints any more",
                &format!(
                    "Type `coatbell measure drying PAGE --sealer {name} --coat 1 --sprayed 14:00 --touched 14:08` with \
                     your own page and times"
                ),
            ]),
        },
        _ => Narrow {
            measurement: "whether your media hold under this can".to_owned(),
            steps: steps(&[
                "Take an offcut of the same paper with a bar of each medium",
                &format!("Type `coatbell scrap PAGE --sealer {name}` for the zones, the coats and what to look for"),
            ]),
        },
    }
}

/// What a person types for a sealer: its id, or the file of an own can.
fn name_to_type(id: &str) -> String {
    match id.split_once(':') {
        Some((_, file)) => format!("{file}.toml"),
        None => id.to_owned(),
    }
}

fn steps(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}
