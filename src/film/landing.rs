//! What one coat puts on the page: the hand-over from the spray to the drying.

use crate::catalog::Substance;

/// One volatile that landed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandedPart<'c> {
    /// Which.
    pub substance: &'c Substance,
    /// How much, g/m².
    pub mass_g_m2: f64,
}

/// What one coat leaves on the page at the moment it has landed.
#[derive(Debug, Clone, PartialEq)]
pub struct Landed<'c> {
    /// Volatile liquids, g/m² each.
    pub parts: Vec<LandedPart<'c>>,
    /// Solids, g/m².
    pub solids_g_m2: f64,
    /// Density of the solids, kg/m³.
    pub solids_density_kg_m3: f64,
    /// Glass transition of the resin, K.
    pub resin_tg_k: f64,
    /// Share of the solids that arrived in dry droplets, 0 to 1.
    pub dry_share: f64,
}

impl Landed<'_> {
    /// Wet film, µm: the volume of everything that landed over the area.
    pub fn wet_um(&self) -> f64 {
        let liquid: f64 =
            self.parts.iter().map(|part| part.mass_g_m2 / part.substance.density_kg_m3).sum::<f64>() * 1000.0;
        liquid + self.dry_um()
    }

    /// Dry film, µm.
    pub fn dry_um(&self) -> f64 {
        self.solids_g_m2 / self.solids_density_kg_m3 * 1000.0
    }
}

/// The sheet as the film feels it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SheetThermal {
    /// Heat capacity of the sheet per area, J/(m² K).
    pub heat_capacity_j_m2_k: f64,
    /// Heat coefficient to what lies behind it, W/(m² K).
    pub back_w_m2_k: f64,
}
