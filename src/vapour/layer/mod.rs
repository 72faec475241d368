//! The evaporating layer: liquids leaving a thin film into the air, with the film's own temperature.
//!
//! One model for a water wash on paper and for a solvent film with resin. Unknowns are the logarithm of every liquid's
//! mass, so that no mass can turn negative, and the film's temperature:
//!
//! - d ln m_i/dt = −r_i, with 1/r_i = m_i/N_i + τ: evaporation and diffusion in series;
//! - C dT/dt = h (T_air − T) − Σ m_i r_i L_i.
//!
//! `rates` holds the physics, `rosenbrock` the stiff step, `trace` the run through time, `condensing` the water that
//! settles on a film colder than the dew point.

mod condensing;
mod matrix;
mod rates;
mod rosenbrock;
mod trace;

pub use condensing::Condensing;
pub use trace::{Run, Step, StopReason, evaporate};

use super::pressure::VapourCurve;

/// One liquid of a layer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayerPart {
    /// How much of it lies there at the start, g/m².
    pub mass_g_m2: f64,
    /// Molar mass, g/mol.
    pub molar_mass_g_mol: f64,
    /// Its vapour pressure.
    pub curve: VapourCurve,
    /// Its own gas-film coefficient, m/s.
    pub gas_film_m_s: f64,
    /// Heat it takes along, J/g; nothing where its cooling is left out.
    pub latent_j_g: f64,
    /// Liquid density, kg/m³.
    pub density_kg_m3: f64,
    /// Glass transition, K.
    pub glass_transition_k: f64,
    /// Heat capacity of the liquid, J/(g K).
    pub heat_capacity_j_g_k: f64,
    /// Its partial pressure in the air far away, Pa.
    pub far_pressure_pa: f64,
    /// Whether it dissolves the resin. A liquid that does not (water) leaves with its share among the liquids as
    /// activity, whatever the resin.
    pub dissolves: bool,
}

/// What does not evaporate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayerSolids {
    /// Mass, g/m².
    pub mass_g_m2: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Glass transition, K.
    pub glass_transition_k: f64,
    /// Flory–Huggins interaction with the solvents.
    pub interaction: f64,
    /// Thickness through which solvent has to diffuse: this and earlier coats dry, m.
    pub path_m: f64,
    /// Diffusivity of a solvent at the glass transition, m²/s.
    pub diffusivity_at_tg_m2_s: f64,
    /// Coupling of the diffusivity to viscosity, 0 to 1.
    pub diffusivity_coupling: f64,
}

/// A layer at the moment it has been laid, and what is around it.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// The liquids.
    pub parts: Vec<LayerPart>,
    /// The solids, if there are any.
    pub solids: Option<LayerSolids>,
    /// Heat capacity of the sheet and the solids, J/(m² K).
    pub dry_heat_capacity_j_m2_k: f64,
    /// Heat coefficient to the surroundings in all, W/(m² K).
    pub heat_w_m2_k: f64,
    /// Temperature of the layer and its sheet at the start, K.
    pub start_k: f64,
    /// Temperature of the air, K.
    pub air_k: f64,
    /// Pressure of the air, Pa.
    pub pressure_pa: f64,
}

#[cfg(test)]
mod tests;
