//! Which sealers' drying the model knows.

use super::Landed;
use crate::catalog::{Family, Sealer, SolventClass};
use crate::vapour::{MoistAir, Surroundings, wash_dry_minutes};

/// What tells when a coat has dried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DriedBy {
    /// The film model: a resin that sets by losing solvent.
    Solvent,
    /// Label and floor; the model adds how long the water takes to leave, but not how the particles fuse.
    Water,
    /// Label and floor alone: the film sets by a chemistry that the model does not know, or holds its solvent in a way
    /// the model does not.
    LabelAndFloor,
}

/// What tells when a coat of this sealer has dried. Evaporation, and so blush and the air, are modelled for all.
pub fn dried_by(sealer: &Sealer) -> DriedBy {
    match sealer.family {
        _ if sealer.oxidising => DriedBy::LabelAndFloor,
        Family::Fixative | Family::Acrylic | Family::AcrylicSpirit | Family::AcrylicUv => DriedBy::Solvent,
        Family::WaterBorne => DriedBy::Water,
        Family::Ketone | Family::Dammar | Family::Casein | Family::Nitro | Family::HairSpray => DriedBy::LabelAndFloor,
    }
}

/// Minutes until the water of a coat has left at its constant rate; `None` where the air takes no water or none landed.
pub fn water_minutes(landed: &Landed<'_>, air: &MoistAir, around: &Surroundings) -> Option<f64> {
    let water = landed.parts.iter().find(|part| part.substance.class == SolventClass::Water)?;
    wash_dry_minutes(water.mass_g_m2, water.substance, air, around)
}
