//! What no clock settles: oil pastel, masking fluid, wax bloom, loose powder, colour on the back.

use jiff::ZonedDateTime;

use crate::catalog::{Carrier, Catalog, Trait};
use crate::diagnostic::{and_list, sentence_start};
use crate::estimate::Basis;
use crate::finding::{Finding, Level};
use crate::input::Laydown;
use crate::page::{Laid, Layer, Sheet};
use crate::quantity::number;

/// A layer that is never ready: oil pastel, masking fluid, anything else that never dries.
pub(super) fn never(layer: &Layer<'_>) -> Option<Finding> {
    let Laid::Medium(medium, technique) = layer.what else { return None };
    let finding = if medium.is(Trait::RemoveFirst) {
        let text = format!("{} has to come off before the spray", layer.titled());
        Finding::new("masking-left", Level::Hold, text, Basis::Practice)
            .remedy("Rub it off, check with low-tack tape that none is left, and let the sheet rest for an hour")
    } else if medium.is(Trait::NeverSealed) {
        let text = format!("{} never dries: a sealer over it wrinkles and stays tacky", layer.titled());
        Finding::on("never-sealed", Level::Hold, text, medium.grounds.of("seal_wait_h")).remedy(
            "Do not seal it: mask it while spraying (`masked = true`), or leave the page unsealed and frame it under \
             glass",
        )
    } else if technique.seal_wait_h.is_none() {
        let text = format!("{} never dries enough to be sealed", layer.titled());
        Finding::on("never-sealed", Level::Hold, text, medium.grounds.of("seal_wait_h"))
            .remedy("Mask it while spraying (`masked = true`)")
    } else {
        return None;
    };
    Some(finding.layers([layer.place]))
}

/// A masked layer is left out, but a never-drying one under a mask still needs care.
pub(super) fn masked(layer: &Layer<'_>) -> Option<Finding> {
    let medium = layer.medium().filter(|medium| medium.is(Trait::NeverSealed))?;
    let text = format!("{} is masked: spray that creeps under the mask stays tacky", layer.titled());
    let finding = Finding::on("never-sealed-masked", Level::Care, text, medium.grounds.of("seal_wait_h"))
        .remedy("Weight the edges of the mask, spray straight down, and lift it off between coats");
    Some(finding.layers([layer.place]))
}

/// Heavy wax may bloom for days: wiped, then sprayed soon after.
pub(super) fn bloom(layer: &Layer<'_>, catalog: &Catalog, start: &ZonedDateTime) -> Option<Finding> {
    let rules = &catalog.rules.ready;
    layer.medium().filter(|medium| medium.is(Trait::Wax) && layer.laydown == Laydown::Heavy)?;
    let finished = layer.finished.as_ref()?;
    let days = start.duration_since(finished).as_secs_f64() / 86_400.0;
    let watch = rules.bloom_watch_days.get();
    if days >= watch {
        return None;
    }
    let text = format!(
        "{} is heavy and less than {} days old: wax may still rise as a grey haze",
        layer.titled(),
        number(watch)
    );
    let remedy = format!(
        "Wipe it with a soft lint-free cloth, one way, feather-light, and spray within {} h; look again before each coat",
        number(rules.bloom_wiped_within_h.get())
    );
    let finding = Finding::on("wax-bloom", Level::Care, text, &rules.bloom_watch_days.grounds).remedy(remedy);
    Some(finding.layers([layer.place]))
}

/// Loose powder and loose glitter, which the jet moves.
pub(super) fn loose(layer: &Layer<'_>) -> Option<Finding> {
    let Laid::Medium(medium, technique) = layer.what else { return None };
    let finding = if medium.is(Trait::Friable) {
        let text = format!("{} is loose powder that the jet moves and that falls into other colours", layer.titled());
        Finding::on("loose-pigment", Level::Care, text, medium.grounds.of("friability"))
            .remedy("Tap the sheet off upside down, do not brush or blow, and keep to far, dusting mists")
    } else if medium.is(Trait::Glitter) && (technique.id == LOOSE || !layer.technique_stated) {
        let text = format!("{} may be loose: flakes blow off and land elsewhere", layer.titled());
        Finding::on("glitter-loose", Level::Care, text, medium.grounds.of("friability"))
            .remedy("Tap it off twice, ten minutes apart, over a tray")
    } else {
        return None;
    };
    Some(finding.layers([layer.place]))
}

/// The technique of glitter strewn on glue.
const LOOSE: &str = "loose";

/// Markers on paper that lets them through: the back is live dye.
pub(super) fn strike_through(sheet: &Sheet<'_>) -> Option<Finding> {
    if !sheet.paper.strike_through_prone {
        return None;
    }
    let markers: Vec<&Layer<'_>> = sheet
        .exposed()
        .filter(|layer| {
            layer.medium().is_some_and(|medium| matches!(medium.carrier, Carrier::Alcohol | Carrier::Solvent))
        })
        .collect();
    if markers.is_empty() {
        return None;
    }
    let names: Vec<String> = markers.iter().map(|layer| layer.label()).collect();
    let text = format!(
        "{} lets {} through: take the back as live colour that a spray would move",
        sentence_start(&sheet.paper.name),
        and_list(&names)
    );
    let finding = Finding::new("strike-through", Level::Note, text, Basis::Practice).remedy(
        "Do not spray the back; lay a release sheet under the page and wait a day before sealing the facing page",
    );
    Some(finding.layers(markers.iter().map(|layer| layer.place)))
}
