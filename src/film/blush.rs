//! Blush: water from the air that settles on a film while it is cold.

use super::Landed;
use crate::catalog::Rules;

/// Blush index: the most water that lay on the film at once over its solids, or over a floor for thin films.
///
/// `floor_g_m2` keeps a mist, on which little water settles but fewer solids lie, from looking worse than a build.
/// The index and its thresholds are this project's own.
pub fn blush_index(peak_condensed_g_m2: f64, solids_g_m2: f64, floor_g_m2: f64) -> f64 {
    peak_condensed_g_m2 / solids_g_m2.max(floor_g_m2)
}

/// The build of the same liquid on which the index is also taken: what landed, scaled to the rules' wet film.
/// Nothing landed stays nothing.
#[must_use]
pub fn reference_build<'c>(landed: &Landed<'c>, rules: &Rules) -> Landed<'c> {
    scaled_to_wet_um(landed, rules.conditions.blush_reference_um.get())
}

/// The same liquid laid to another wet film, µm.
#[must_use]
pub fn scaled_to_wet_um<'c>(landed: &Landed<'c>, wet_um: f64) -> Landed<'c> {
    let laid_um = landed.wet_um();
    let factor = if laid_um > 0.0 { wet_um / laid_um } else { 0.0 };
    let mut scaled = landed.clone();
    scaled.solids_g_m2 *= factor;
    for part in &mut scaled.parts {
        part.mass_g_m2 *= factor;
    }
    scaled
}
