//! How long each layer dries before the next one and before the spray.

use jiff::{SignedDuration, ZonedDateTime};

use super::drying::{drying_of, seal_wait_h, wait_factor};
use super::{Laid, Layer, Sheet};
use crate::catalog::{Catalog, DryingKind, Trait};
use crate::estimate::Triple;
use crate::vapour::{MoistAir, Surroundings, wash_dry_minutes};

/// What sets the wait before the next layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Governs {
    /// The profile's dry time, scaled to the room.
    Profile,
    /// The evaporation of the water it laid, as modelled.
    Evaporation,
}

impl Governs {
    /// The word in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Profile => "profile",
            Self::Evaporation => "evaporation",
        }
    }
}

/// The waits of one layer.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerWait<'c> {
    /// Id of the medium or sealer.
    pub medium: &'c str,
    /// Place of the layer, from 1 at the bottom.
    pub place: usize,
    /// Minutes before a layer goes over it; `None` if none does, or if it never dries.
    pub before_next_min: Option<f64>,
    /// What sets that wait.
    pub governs: Governs,
    /// Hours before the first spray coat, most likely; `None` never.
    pub before_seal_h: Option<f64>,
    /// When it is ready for the spray; `None` if it is still to be laid or never is.
    pub ready_at: Option<ZonedDateTime>,
}

/// The waits of every layer.
pub(super) fn waits<'c>(sheet: &Sheet<'c>, catalog: &Catalog, air: &MoistAir) -> Vec<LayerWait<'c>> {
    let layers = sheet.layers.iter().enumerate();
    layers
        .map(|(index, layer)| {
            let covered = sheet.layers[index + 1..].iter().any(|upper| upper.meets(layer));
            let next = covered.then(|| before_next_min(layer, catalog, air)).flatten();
            let wait = seal_wait_h(layer, air, &catalog.rules);
            LayerWait {
                medium: layer.id(),
                place: layer.place,
                before_next_min: next.map(|(minutes, _)| minutes),
                governs: next.map_or(Governs::Profile, |(_, governs)| governs),
                before_seal_h: wait.map(Triple::mode),
                ready_at: wait.and_then(|wait| after(layer.finished.as_ref()?, wait.mode())),
            }
        })
        .collect()
}

/// A moment some hours later.
pub(super) fn after(moment: &ZonedDateTime, hours: f64) -> Option<ZonedDateTime> {
    moment.checked_add(SignedDuration::from_secs((hours * 3600.0).round() as i64)).ok()
}

/// Minutes until touch-dry, most likely, and what sets them. For a medium laid with water the longer of the profile's
/// time and the modelled one counts; a sealer below takes its recoat time. `None` never dries.
fn before_next_min(layer: &Layer<'_>, catalog: &Catalog, air: &MoistAir) -> Option<(f64, Governs)> {
    let factor = wait_factor(drying_of(layer), air, &catalog.rules);
    let technique = match layer.what {
        Laid::Sealer(sealer) => return Some((sealer.recoat_min.mode() * factor, Governs::Profile)),
        Laid::Medium(_, technique) => technique,
    };
    technique.through_h?;
    let stated = technique.touch_min.map_or(0.0, |touch| touch.mode() * factor);
    let modelled = layer
        .medium()
        .filter(|medium| medium.is(Trait::WaterMedium) && medium.drying == DryingKind::Water)
        .and_then(|_| evaporation_min(technique.water_load_g_m2.mode(), catalog, air));
    match modelled {
        Some(minutes) if minutes > stated => Some((minutes, Governs::Evaporation)),
        _ => Some((stated, Governs::Profile)),
    }
}

/// Minutes until a wash on a sheet that lies in the open is touch-dry: the time its free water takes to leave the
/// face, times the rules' factor for the water bound in the fibres, which follows more slowly.
fn evaporation_min(load_g_m2: f64, catalog: &Catalog, air: &MoistAir) -> Option<f64> {
    let water = catalog.substances.get("water")?;
    let film = &catalog.model.film;
    let around = Surroundings {
        gas_film_m_s: film.gas_film_m_s.get(),
        radiation_w_m2_k: film.radiation_w_m2_k.get(),
        back_w_m2_k: film.back_w_m2_k.get(),
    };
    let free = wash_dry_minutes(load_g_m2, water, air, &around)?;
    Some(free * catalog.rules.ready.bound_water_factor.get())
}
