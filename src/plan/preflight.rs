//! The pre-flight list of a plan: what is checked before the first coat.

use super::model::Preflight;
use crate::air::RespiratorKind;
use crate::catalog::{Sealer, Trait};
use crate::diagnostic::sentence_start;
use crate::input::{Finish, RoomInput};
use crate::page::Sheet;

/// The list for this page, sealer, room and mask, in the order it is worked through. `hardened` is a can that cures with
/// a hardener which no cartridge holds.
pub(super) fn preflight(
    sheet: &Sheet<'_>,
    sealer: &Sealer,
    room: Option<&RoomInput>,
    mask: RespiratorKind,
    hardened: bool,
) -> Vec<Preflight> {
    let mut list = Vec::new();
    let mut add = |id: &str, text: &str| list.push(Preflight { id: id.to_owned(), text: text.to_owned() });
    add("label-read", "The label and the safety data sheet of this can are read; where they ask for more, they win");
    add("mask", &mask_line(mask, hardened));
    add("ignition", "No flame, pilot light, heater, candle, cigarette or sparking switch within 6 m (20 ft)");
    let outdoors = room.and_then(|room| room.airflow) == Some(crate::input::Airflow::Outdoors);
    if outdoors {
        add("air", "The wind comes from the side; nobody stands downwind");
    } else {
        add(
            "air",
            "Window open or fan running, an opening behind you lets air in, the door to the rest of the home is shut",
        );
    }
    add(
        "others-out",
        "Children, anyone pregnant or with asthma, pets and birds are out, and stay out until it is clear",
    );
    add("photographed", "The page is photographed or scanned: sealing cannot be undone");
    add("scrap-test", "The stack and this sealer are tried on a scrap of the same paper");
    add("surroundings", "Everything within 2 m is covered; the sheet lies on clean paper");
    if having(sheet, Trait::Wax) {
        add("bloom", "Grey wax bloom is wiped off with a soft cloth, in one direction, within the last two hours");
    }
    if having(sheet, Trait::Friable) {
        add("loose", "Loose pigment is tapped off; nothing is brushed or blown");
    } else {
        add("dust", "Dust and hairs are off: tap the sheet, soft brush outwards");
    }
    if sealer.finish == Some(Finish::Matte) {
        add("can-ready", "The can is at room temperature and shaken for three minutes: matting powder settles");
    } else {
        add("can-ready", "The can is at room temperature and shaken for two minutes");
    }
    add("test-burst", "A test burst off the page sprays evenly, without spitting");
    list
}

/// The mask that the plan counts on; with a hardener nothing but supplied air.
fn mask_line(mask: RespiratorKind, hardened: bool) -> String {
    let kind = sentence_start(mask.in_words());
    if mask.supplies_air() {
        format!("{kind}: it is on, fed with clean air from elsewhere, and it fits")
    } else if hardened {
        "Supplied air on: a mask with cartridges is not enough for the hardener in this can".to_owned()
    } else if mask == RespiratorKind::HalfApr {
        "Half mask with organic-vapour cartridges and particulate pre-filter on, and it seals on the face".to_owned()
    } else {
        format!("{kind}, for organic vapour and with a particulate pre-filter: it is on, and it fits")
    }
}

fn having(sheet: &Sheet<'_>, fact: Trait) -> bool {
    sheet.exposed().any(|layer| layer.medium().is_some_and(|medium| medium.is(fact)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_asks_for_the_mask_that_is_counted_on() {
        let asks = |mask, hardened, words: &str| {
            let line = mask_line(mask, hardened);
            assert!(line.contains(words), "{line}");
        };
        asks(RespiratorKind::HalfApr, false, "Half mask with organic-vapour cartridges");
        asks(RespiratorKind::PaprLoose, false, "Loose hood with a blower and cartridges");
        asks(RespiratorKind::SarContFull, false, "steady flow of supplied air");
        // No cartridge holds an isocyanate, however well the mask fits.
        for mask in [RespiratorKind::HalfApr, RespiratorKind::PaprFull] {
            asks(mask, true, "a mask with cartridges is not enough");
        }
        asks(RespiratorKind::SarContFull, true, "steady flow of supplied air");
    }
}
