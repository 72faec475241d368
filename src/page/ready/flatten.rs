//! A bowed sheet, and how to flatten it.

use crate::catalog::{Catalog, Trait};
use crate::finding::{Finding, Level};
use crate::input::Laydown;
use crate::page::{Laid, Layer, Sheet};
use crate::quantity::number;

/// Valleys of a bowed sheet collect spray: over the limit nothing is sprayed.
pub(super) fn bow(sheet: &Sheet<'_>, catalog: &Catalog) -> Option<Finding> {
    let limit = &catalog.rules.ready.bow_hold_mm;
    let bow_mm = sheet.bow_m? * 1000.0;
    if bow_mm <= limit.get() {
        return None;
    }
    let text = format!(
        "The sheet bows {} mm, more than {} mm: its valleys collect spray and its hills stay thin",
        number(bow_mm),
        number(limit.get())
    );
    let rest = "then let it rest 4 to 24 h in the air of the spray room";
    let remedy = match sheet.layers.iter().find(|layer| !stands_damp(layer)) {
        Some(layer) => format!(
            "Flatten it dry, under a board and weight for 2 to 5 days, {rest}; do not damp it, because of {}",
            layer.label()
        ),
        None if !sheet.paper.swells => format!("Flatten it dry, under a board and weight for 2 to 5 days, {rest}"),
        None => format!(
            "Mist the back evenly, not soaked, and press it between blotters under a board and weight; change the \
             blotters every 12 to 24 h for 2 to 3 days, {rest}"
        ),
    };
    Some(Finding::on("bowed", Level::Hold, text, &limit.grounds).remedy(remedy))
}

/// Whether a layer is thin and stands a damp back and blotters: no colour that water moves, nothing that sticks or
/// prints off.
fn stands_damp(layer: &Layer<'_>) -> bool {
    let Laid::Medium(medium, technique) = layer.what else { return true };
    let tender = [Trait::WaterSoluble, Trait::Friable, Trait::Glitter, Trait::NeverSealed, Trait::RemoveFirst];
    let thick = layer.laydown == Laydown::Heavy && (medium.is(Trait::Wax) || technique.seal_wait_thick_h.is_some());
    !thick && !tender.iter().any(|fact| medium.is(*fact))
}
