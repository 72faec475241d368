//! One choice of the uncertain constants of drying.

use crate::catalog::Figure;
use crate::catalog::FilmFigures;
use crate::catalog::Rules;
use crate::estimate::{PointSet, Triple};

/// One value for every uncertain constant of evaporation and drying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmConstants {
    /// Gas-film coefficient of a vapour of 1e-5 m²/s, m/s.
    pub gas_film_m_s: f64,
    /// Radiative heat coefficient, W/(m² K).
    pub radiation_w_m2_k: f64,
    /// Diffusivity of a solvent in the resin at its glass transition, m²/s.
    pub diffusivity_at_tg_m2_s: f64,
    /// Coupling of diffusivity to viscosity, 0 to 1.
    pub diffusivity_coupling: f64,
    /// Flory–Huggins interaction.
    pub interaction: f64,
    /// How much colder than the air droplets land, K.
    pub landing_drop_k: f64,
    /// Glass transition of every solvent, K.
    pub solvent_tg_k: f64,
    /// Glass transition of water, K.
    pub water_tg_k: f64,
    /// Heat capacity of a liquid solvent and of resin, J/(g K).
    pub liquid_heat_capacity_j_g_k: f64,
}

impl FilmConstants {
    /// Coordinates a sampled choice takes.
    pub const DIMENSIONS: usize = 9;

    /// The most likely values, with the gas-film band of the room (see [`crate::vapour::band_at_speed`]).
    pub fn at_mode(figures: &FilmFigures, gas_film: Triple) -> Self {
        Self::choose(figures, gas_film.mode(), |_, figure| figure.get(), |_, figure| figure.get())
    }

    /// The values at one point of a set with at least [`FilmConstants::DIMENSIONS`] coordinates: triangles, on the
    /// logarithm for the gas-film coefficient and the diffusivity.
    pub fn at_point(figures: &FilmFigures, gas_film: Triple, points: &PointSet, n: usize) -> Self {
        Self::choose(
            figures,
            gas_film.log_at(points.coordinate(n, 0)),
            |k, figure| figure.value.at(points.coordinate(n, k)),
            |k, figure| figure.value.log_at(points.coordinate(n, k)),
        )
    }

    fn choose(
        figures: &FilmFigures,
        gas_film_m_s: f64,
        plain: impl Fn(usize, &Figure) -> f64,
        logarithmic: impl Fn(usize, &Figure) -> f64,
    ) -> Self {
        Self {
            gas_film_m_s,
            diffusivity_at_tg_m2_s: logarithmic(1, &figures.diffusivity_at_tg_m2_s),
            diffusivity_coupling: plain(2, &figures.diffusivity_coupling),
            radiation_w_m2_k: plain(3, &figures.radiation_w_m2_k),
            interaction: plain(4, &figures.interaction),
            landing_drop_k: plain(5, &figures.landing_drop_k),
            solvent_tg_k: plain(6, &figures.solvent_tg_k),
            water_tg_k: plain(7, &figures.water_tg_k),
            liquid_heat_capacity_j_g_k: plain(8, &figures.liquid_heat_capacity_kj_kg_k),
        }
    }
}

/// When a film counts as touch-dry and as fit to be handled: how far its glass transition still lies below a fixed
/// temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryMargins {
    /// Margin at touch-dry, K.
    pub touch_k: f64,
    /// Margin when it can be handled, K.
    pub handle_k: f64,
    /// The fixed temperature, K.
    pub reference_k: f64,
}

impl DryMargins {
    /// The margins of the rules.
    pub fn of(rules: &Rules) -> Self {
        Self {
            touch_k: rules.coats.touch_margin_k.get(),
            handle_k: rules.coats.handle_margin_k.get(),
            reference_k: rules.coats.margin_reference_c.get() + crate::vapour::ZERO_CELSIUS_K,
        }
    }
}
