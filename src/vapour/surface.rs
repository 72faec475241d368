//! A wet surface at rest: how much leaves it and how cold it gets.

use super::humid_air::MoistAir;
use super::pressure::{GAS_CONSTANT_J_MOL_K, VapourCurve, ZERO_CELSIUS_K};
use super::transfer::{gas_film_m_s, lewis_heat_w_m2_k};
use crate::catalog::{SolventClass, Substance};

/// Highest share of the air's pressure that a liquid's vapour may take at the surface: beyond, it boils, and the
/// flux of the film theory has no meaning.
pub(crate) const BOILING_SHARE: f64 = 0.95;

/// Coldest a surface is looked for below the air, K.
const COLDEST_DROP_K: f64 = 120.0;

/// What surrounds a wet surface besides the air's state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Gas-film coefficient of a vapour of 1e-5 m²/s, m/s.
    pub gas_film_m_s: f64,
    /// Radiative heat coefficient, W/(m² K).
    pub radiation_w_m2_k: f64,
    /// Heat coefficient from behind, W/(m² K); nothing for a sheet that hangs free or is wet on both faces.
    pub back_w_m2_k: f64,
}

/// A surface whose cooling by evaporation is balanced by heat from its surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadySurface {
    /// What leaves one face, g/(m² s); never negative.
    pub flux_g_m2_s: f64,
    /// Its temperature, °C.
    pub temperature_c: f64,
}

/// Flux of a pure liquid from its surface, g/(m² s): N = k M P/(R T_m) ln((P − p∞)/(P − p_s)), Stefan's form.
///
/// k gas-film coefficient (m/s), M molar mass, P air pressure, T_m mean of film and air temperature, p_s vapour
/// pressure at the surface, p∞ in the air (water only). Reduces to k M (p_s − p∞)/(R T) for small pressures.
fn pure_flux_g_m2_s(
    substance: &Substance,
    curve: &VapourCurve,
    air: &MoistAir,
    stated_m_s: f64,
    surface_k: f64,
) -> f64 {
    let air_k = air.temperature_c + ZERO_CELSIUS_K;
    let far_share = if substance.class == SolventClass::Water {
        curve.pressure_pa(air_k) * air.relative_humidity / air.pressure_pa
    } else {
        0.0
    };
    let near_share = (curve.pressure_pa(surface_k) / air.pressure_pa).min(BOILING_SHARE);
    let gas = air.pressure_pa / (GAS_CONSTANT_J_MOL_K * f64::midpoint(surface_k, air_k));
    let coefficient = gas_film_m_s(stated_m_s, substance.diffusivity_m2_s) * substance.molar_mass_g_mol * gas;
    coefficient * (libm::log1p(-far_share) - libm::log1p(-near_share))
}

/// The steady state of a surface wet with one pure liquid: Σ N L = (h_c + h_r + h_back)(T_air − T_s), with h_c from
/// the Lewis relation, by bisection.
///
/// N from Stefan's flux, L heat of vaporisation at 25 °C. Valid for liquids that boil above the air's temperature.
/// With acetone at 22 °C it gives 0.44 g/(m² s) at 4 °C, a third of the flux without cooling.
pub fn steady_surface(substance: &Substance, air: &MoistAir, around: &Surroundings) -> SteadySurface {
    let curve = VapourCurve::of(substance);
    let air_k = air.temperature_c + ZERO_CELSIUS_K;
    let heat = lewis_heat_w_m2_k(around.gas_film_m_s, air.temperature_c, air.pressure_pa)
        + around.radiation_w_m2_k
        + around.back_w_m2_k;
    let latent_j_g = substance.heat_of_vaporisation_kj_mol * 1000.0 / substance.molar_mass_g_mol;
    let flux = |surface_k: f64| pure_flux_g_m2_s(substance, &curve, air, around.gas_film_m_s, surface_k);
    let (mut cold, mut warm) = (air_k - COLDEST_DROP_K, air_k);
    for _ in 0..50 {
        let middle = f64::midpoint(cold, warm);
        if flux(middle) * latent_j_g < heat * (air_k - middle) {
            cold = middle;
        } else {
            warm = middle;
        }
    }
    let surface_k = f64::midpoint(cold, warm);
    SteadySurface { flux_g_m2_s: flux(surface_k).max(0.0), temperature_c: surface_k - ZERO_CELSIUS_K }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vapour::samples::{around, indoor, substance};
    use approx::assert_relative_eq;

    #[test]
    fn pure_solvents() {
        // Evaluated independently in Python with the same data, 22 °C, k0 1.4e-3 m/s, back 5 W/(m² K): g/(m² s), °C.
        for (id, flux, temperature_c) in [
            ("acetone", 0.442, 4.3),
            ("toluene", 0.123, 18.2),
            ("ethanol", 0.123, 13.5),
            ("n-butyl-acetate", 0.064, 20.2),
        ] {
            let steady = steady_surface(&substance(id), &indoor(22.0, 0.45), &around(1.4e-3, 5.0));
            assert_relative_eq!(steady.flux_g_m2_s, flux, max_relative = 0.01);
            assert!((steady.temperature_c - temperature_c).abs() < 0.1, "{id} {}", steady.temperature_c);
        }
    }

    #[test]
    fn saturated_air_takes_no_water() {
        let steady = steady_surface(&substance("water"), &indoor(20.0, 1.0), &around(1.4e-3, 0.0));
        assert!(steady.flux_g_m2_s < 1e-9 && (steady.temperature_c - 20.0).abs() < 1e-6);
    }
}
