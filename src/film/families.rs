//! Which sealers' drying the model knows.

use crate::catalog::{Family, Sealer};

/// What tells when a coat has dried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DriedBy {
    /// The film model: a resin that sets by losing solvent.
    Solvent,
    /// Label and floor: the film sets as its particles fuse, which the model does not know. Blush is not judged.
    Water,
    /// Label and floor alone: the film sets by a chemistry that the model does not know, or holds its solvent in a way
    /// the model does not.
    LabelAndFloor,
}

/// What tells when a coat of this sealer has dried. Evaporation, and so the air, is modelled for all; blush for all that
/// are not water-borne.
pub fn dried_by(sealer: &Sealer) -> DriedBy {
    match sealer.family {
        _ if sealer.oxidising => DriedBy::LabelAndFloor,
        Family::Fixative | Family::Acrylic | Family::AcrylicSpirit | Family::AcrylicUv => DriedBy::Solvent,
        Family::WaterBorne => DriedBy::Water,
        Family::Ketone | Family::Dammar | Family::Casein | Family::Nitro | Family::HairSpray => DriedBy::LabelAndFloor,
    }
}
