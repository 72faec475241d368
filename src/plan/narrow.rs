//! The one measurement that would narrow the plan most.

use super::model::Narrow;
use super::times::CoatDrying;
use crate::catalog::{Catalog, Sealer};
use crate::estimate::Triple;
use crate::page::Sheet;
use crate::solve::PlannedCoat;

/// z between the 10 and the 90 % point of the standard normal.
const OUTER: f64 = 2.0 * 1.281_551_565_5;

/// A scale of single grams and a burst of ten seconds.
const SCALE_G: f64 = 1.0;
const BURST_S: f64 = 10.0;

/// Least part by which the wet film has to narrow for a card to be worth its day.
const WORTH_A_DAY: f64 = 0.03;

/// Picks what is worth measuring next, of what was not measured yet. The film comes first, for bleeding, waits and grams
/// all follow from it: the can's rate, which narrows it most, then the drying of this coat, then the share that stays if
/// a card would narrow the film by a few parts in a hundred, and at last the scrap test, which settles what no scale
/// can. `None` when nothing is left that would pay.
pub(super) fn narrow_most(
    sheet: &Sheet<'_>,
    sealer: &Sealer,
    catalog: &Catalog,
    coats: &[PlannedCoat<'_>],
    drying: &[CoatDrying<'_>],
) -> Option<Narrow> {
    let name = name_to_type(&sealer.id);
    let thickest = coats.iter().max_by(|one, other| one.wet_um.p50.total_cmp(&other.wet_um.p50));
    if sealer.can.discharge_g_s.is_none() {
        return Some(can(&name));
    }
    if sealer.can.drying.is_none() {
        let timed = coats.iter().zip(drying).filter_map(|(coat, dried)| Some((coat.number, dried.sampled?.touch_min)));
        let slowest = timed.max_by(|one, other| one.1.p50.total_cmp(&other.1.p50));
        if let Some((number, touch_min)) = slowest {
            return Some(thumb(&name, number, touch_min.p50));
        }
    }
    if sealer.can.transfer_at_15cm.is_none()
        && let Some(coat) = thickest
        && card_narrows(sealer, spread(coat.wet_um.p10, coat.wet_um.p90), catalog) >= WORTH_A_DAY
    {
        return Some(card(&name));
    }
    let mut media = sheet.exposed().filter_map(crate::page::Layer::medium);
    let untried = media.any(|medium| !sealer.can.bears.contains_key(&medium.id));
    untried.then(|| scrap(&name))
}

fn spread(low: f64, high: f64) -> f64 {
    if low > 0.0 { libm::log(high / low) / OUTER } else { 0.0 }
}

fn spread_of(triple: Triple) -> f64 {
    spread(triple.at(0.1), triple.at(0.9))
}

/// By which part a card would narrow the wet film, whose logarithm has this standard deviation now: it tells the product
/// of rate, share and solids, so that the variance v of rate and share together falls by v²/(v + n²), n what a card
/// leaves open.
fn card_narrows(sealer: &Sealer, film_sd: f64, catalog: &Catalog) -> f64 {
    let figures = &catalog.model.measure;
    let square = |value: f64| value * value;
    let of_both = square(spread_of(sealer.discharge_at_22c_g_s()))
        + square(spread_of(catalog.model.spray.transfer_at_15cm.value));
    let of_a_card = square(figures.card_variation.get())
        + square(figures.burst_variation.get())
        + square(figures.timing_s.get() / BURST_S)
        + square(spread_of(sealer.volume_solids));
    let all = square(film_sd);
    if all <= 0.0 {
        return 0.0;
    }
    let left = (1.0 - square(of_both) / (of_both + of_a_card) / all).max(0.0);
    1.0 - libm::sqrt(left)
}

fn can(name: &str) -> Narrow {
    Narrow {
        measurement: "the can's rate".to_owned(),
        steps: steps(&[
            "Shake the can and let it come to room temperature",
            &format!("Weigh it on a kitchen scale that shows steps of {SCALE_G:.0} g, or better tenths"),
            &format!("Spray for {BURST_S:.0} seconds off the page, outdoors, by the clock"),
            "Weigh it again with the same cap on, or off, both times",
            &format!(
                "Type `coatbell measure can --sealer {name} --before \"312 g\" --after \"303 g\" --seconds 10` with your \
                 own figures"
            ),
        ]),
    }
}

fn card(name: &str) -> Narrow {
    Narrow {
        measurement: "how much of the spray stays on a sheet".to_owned(),
        steps: steps(&[
            "Weigh a card of known size on a scale that shows hundredths of a gram",
            "Spray a coat over it as planned, a hand's breadth past every edge, counting the seconds",
            "Let it dry for a day and weigh it again",
            &format!(
                "Type `coatbell measure transfer --sealer {name} --card A4 --swept \"45 cm x 35 cm\" --before \"15.60 g\" \
                 --after \"15.75 g\" --seconds 8 --distance \"20 cm\" --scale \"0.01 g\"` with your own figures"
            ),
        ]),
    }
}

fn thumb(name: &str, coat: usize, touch_min: f64) -> Narrow {
    let every = if touch_min < 5.0 { "every half minute" } else { "every minute or two" };
    let touched = format!("14:{:02}:30", libm::floor(touch_min).clamp(0.0, 59.0));
    Narrow {
        measurement: "when a coat is touch-dry".to_owned(),
        steps: steps(&[
            &format!("After coat {coat}, touch a sprayed corner off the picture with a clean thumb {every}"),
            "Note the time, to the second, when nothing sticks or prints any more",
            &format!(
                "Type `coatbell measure drying PAGE --sealer {name} --coat {coat} --sprayed 14:00:00 --touched {touched}` \
                 with your own page, room and times; after `coatbell seal` it is `coatbell measure drying --run 1 --coat \
                 {coat} --touched {touched}`"
            ),
        ]),
    }
}

fn scrap(name: &str) -> Narrow {
    Narrow {
        measurement: "whether your media hold under this can".to_owned(),
        steps: steps(&[
            "Take an offcut of the same paper with a bar of each medium",
            &format!("Type `coatbell scrap PAGE --sealer {name}` for the zones, the coats and what to look for"),
        ]),
    }
}

/// What a person types for a sealer: its id, or the file of an own can.
pub(crate) fn name_to_type(id: &str) -> String {
    match id.split_once(':') {
        Some((_, file)) => format!("{file}.toml"),
        None => id.to_owned(),
    }
}

fn steps(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}
