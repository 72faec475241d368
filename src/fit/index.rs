//! The bleed index: how far a liquid could carry a medium before it is gone.

use crate::catalog::{BySolvent, Medium, Rules, SolventClass, Substance, Trait};
use crate::page::{Layer, Sheet};

/// One liquid that lands with the first coat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidShare<'c> {
    /// Which; `None` is a part that nobody named, which counts as the most careful class.
    pub substance: Option<&'c Substance>,
    /// Its mass share of the liquid that lands, 0 to 1.
    pub share: f64,
    /// How long it stays in the film on average, s.
    pub stays_s: f64,
}

/// The liquid that lands with the first coat at its most likely values.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandedLiquid<'c> {
    /// Its parts; shares add up to 1, or there are none.
    pub parts: Vec<LiquidShare<'c>>,
}

impl LandedLiquid<'_> {
    /// Share of the liquid that is of a class.
    pub fn class_share(&self, class: SolventClass) -> f64 {
        self.parts
            .iter()
            .filter(|part| part.substance.is_some_and(|substance| substance.class == class))
            .map(|part| part.share)
            .sum()
    }

    /// Share of the liquid that boils at or above a temperature (°C) and is of a class; unnamed parts count as slow.
    pub fn slow_share(&self, boiling_c: f64, class: Option<SolventClass>) -> f64 {
        self.parts
            .iter()
            .filter(|part| match part.substance {
                Some(substance) => {
                    substance.boiling_point_c >= boiling_c && class.is_none_or(|class| substance.class == class)
                }
                None => true,
            })
            .map(|part| part.share)
            .sum()
    }
}

/// The bleed index of one layer.
#[derive(Debug, Clone, PartialEq)]
pub struct MediumIndex {
    /// Place of the layer.
    pub place: usize,
    /// Σ share × sensitivity × √(2 D t), µm.
    pub bleed_um: f64,
    /// The substance that contributes most; `None` for an unnamed part or no contribution.
    pub worst: Option<String>,
}

/// The bleed index of every exposed medium.
///
/// B = Σ_i w_i s_i √(2 D t_i) in µm, with w the mass share of liquid i in what lands, s the medium's sensitivity to
/// its class (mode, 0 to 1), t its mean stay in the film in s and D the diffusivity of dissolved colour in a wet film
/// (estimate, `fit.bleed_diffusivity_m2_s`). A ranking index, not a prediction: real bleeding is capillary and starts
/// when the surface is visibly wet.
pub fn bleed_indices(sheet: &Sheet<'_>, liquid: &LandedLiquid<'_>, rules: &Rules) -> Vec<MediumIndex> {
    let diffusivity = rules.fit.bleed_diffusivity_m2_s.get();
    sheet
        .exposed()
        .filter_map(|layer| layer.medium().map(|medium| (layer, medium)))
        .map(|(layer, medium)| {
            let sensitivity = |class| sensitivity_of(sheet, layer, medium, class);
            let mut bleed_um = 0.0;
            let mut worst: Option<(f64, Option<String>)> = None;
            for part in &liquid.parts {
                let response = match part.substance {
                    Some(substance) => sensitivity(substance.class),
                    None => worst_class(&medium.sensitivity),
                };
                let reach_um = 1e6 * libm::sqrt(2.0 * diffusivity * part.stays_s.max(0.0));
                let contribution = part.share * response * reach_um;
                bleed_um += contribution;
                if contribution > 0.0 && worst.as_ref().is_none_or(|(most, _)| contribution > *most) {
                    worst = Some((contribution, part.substance.map(|substance| substance.id.clone())));
                }
            }
            MediumIndex { place: layer.place, bleed_um, worst: worst.and_then(|(_, id)| id) }
        })
        .collect()
}

/// Sensitivity (mode) of a layer's medium to a class. A blender's residue has none of its own and takes the largest of
/// the media it meets.
pub(super) fn sensitivity_of(sheet: &Sheet<'_>, layer: &Layer<'_>, medium: &Medium, class: SolventClass) -> f64 {
    let own = medium.sensitivity.of(class).mode();
    if !medium.is(Trait::Residue) {
        return own;
    }
    sheet
        .exposed()
        .filter(|other| other.place != layer.place && other.meets(layer))
        .filter_map(Layer::medium)
        .map(|other| other.sensitivity.of(class).mode())
        .fold(own, f64::max)
}

/// The largest sensitivity over all classes.
pub(super) fn worst_class(sensitivity: &BySolvent) -> f64 {
    SolventClass::WORDS.iter().map(|(_, class)| sensitivity.of(*class).mode()).fold(0.0, f64::max)
}
