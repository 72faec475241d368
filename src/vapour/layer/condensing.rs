//! Water from the air that settles on a film colder than the dew point.

use super::trace::Step;
use crate::vapour::exponential::exp;
use crate::vapour::humid_air::{MoistAir, saturation_pressure_pa};
use crate::vapour::pressure::{GAS_CONSTANT_J_MOL_K, ZERO_CELSIUS_K};
use crate::vapour::transfer::gas_film_m_s;

/// Molar mass of water, g/mol.
const WATER_G_MOL: f64 = 18.015;

/// Heat of vaporisation of water at 25 °C, J/g (standard tables).
const WATER_LATENT_J_G: f64 = 2441.0;

/// Diffusivity of water vapour in air at 25 °C, m²/s (Fuller's method).
const WATER_DIFFUSIVITY_M2_S: f64 = 2.537e-5;

/// Parts into which one step is divided.
const PARTS: u32 = 4;

/// Counts the water that settles on a film while it is colder than the dew point: j = k_w M (p∞ − p_sat(T_c))/(R T_m).
///
/// The film's drying does not feel this water. Only the count itself does: the water's own heat warms the spot where
/// it settles, T_c = T + δ, C dδ/dt = L j − (h + ∂Q/∂T) δ, with the heat Q that the film gives off anyway. This
/// first-order correction is within 5 % of a film that is heated by its water; without it the count is 10 to 25 % high.
#[derive(Debug, Clone)]
pub struct Condensing {
    far_pa: f64,
    dew_k: f64,
    air_k: f64,
    /// k_w M/R, g K/(J s) per m².
    coefficient: f64,
    warmer_k: f64,
    water_g_m2: f64,
    peak_g_m2: f64,
    coldest_k: f64,
}

impl Condensing {
    /// Nothing has settled yet.
    pub fn new(air: &MoistAir, stated_gas_film_m_s: f64, start_k: f64) -> Self {
        Self {
            far_pa: air.vapour_pressure_pa(),
            dew_k: air.dew_point_c() + ZERO_CELSIUS_K,
            air_k: air.temperature_c + ZERO_CELSIUS_K,
            coefficient: gas_film_m_s(stated_gas_film_m_s, WATER_DIFFUSIVITY_M2_S) * WATER_G_MOL / GAS_CONSTANT_J_MOL_K,
            warmer_k: 0.0,
            water_g_m2: 0.0,
            peak_g_m2: 0.0,
            coldest_k: start_k,
        }
    }

    /// Takes one step of the film into account.
    pub fn watch(&mut self, step: &Step<'_>) {
        let ends = step.temperature_k(0.0).min(step.temperature_k(1.0));
        self.coldest_k = self.coldest_k.min(ends).min(step.temperature_k(0.5));
        if self.water_g_m2 <= 0.0 && ends >= self.dew_k {
            return;
        }
        let part_s = step.length_s / f64::from(PARTS);
        for part in 0..PARTS {
            let film_k = step.temperature_k((f64::from(part) + 0.5) / f64::from(PARTS));
            // The flux is linear in δ over one part, so δ relaxes exponentially to its balance.
            let (flux, per_kelvin) = self.flux(film_k + self.warmer_k);
            let stiffness = step.stiffness_w_m2_k + WATER_LATENT_J_G * per_kelvin;
            let balance = self.warmer_k + (WATER_LATENT_J_G * flux - step.stiffness_w_m2_k * self.warmer_k) / stiffness;
            let speed = stiffness * part_s / step.capacity_j_m2_k;
            let mean_share = -libm::expm1(-speed) / speed;
            let mean = balance + (self.warmer_k - balance) * mean_share;
            let settled = (flux - per_kelvin * (mean - self.warmer_k)) * part_s;
            self.warmer_k = balance + (self.warmer_k - balance) * exp(-speed);
            self.water_g_m2 += settled;
            if self.water_g_m2 <= 0.0 {
                self.water_g_m2 = 0.0;
                self.warmer_k = 0.0;
            }
            self.peak_g_m2 = self.peak_g_m2.max(self.water_g_m2);
        }
    }

    /// Flux at a temperature, g/(m² s), and how much it falls per kelvin.
    fn flux(&self, temperature_k: f64) -> (f64, f64) {
        let per_pascal = self.coefficient * 2.0 / (temperature_k + self.air_k);
        let saturated = saturation_pressure_pa(temperature_k - ZERO_CELSIUS_K);
        // Clausius–Clapeyron with the heat of vaporisation.
        let log_slope = WATER_LATENT_J_G * WATER_G_MOL / (GAS_CONSTANT_J_MOL_K * temperature_k * temperature_k);
        (per_pascal * (self.far_pa - saturated), per_pascal * saturated * log_slope)
    }

    /// Whether water lay on the film at the end of the last step.
    pub fn is_settling(&self) -> bool {
        self.water_g_m2 > 0.0
    }

    /// Most water that lay on the film at once, g/m².
    pub fn peak_g_m2(&self) -> f64 {
        self.peak_g_m2
    }

    /// Coldest the film got, K.
    pub fn coldest_k(&self) -> f64 {
        self.coldest_k
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_flux_falls_by_its_own_slope() {
        let air = MoistAir { temperature_c: 21.0, relative_humidity: 0.7, pressure_pa: 101_325.0 };
        let condensing = Condensing::new(&air, 1.5e-3, 280.0);
        for film_k in [282.0, 287.0, 292.0] {
            let (warmer, cooler) = (condensing.flux(film_k + 0.01).0, condensing.flux(film_k - 0.01).0);
            let (flux, per_kelvin) = condensing.flux(film_k);
            let slope = (cooler - warmer) / 0.02;
            // The handbook's heat of vaporisation is that of 25 °C, and the mean temperature is held.
            assert!((per_kelvin / slope - 1.0).abs() < 0.05, "{film_k} K: {per_kelvin} against {slope}");
            assert_eq!(flux > 0.0, film_k < condensing.dew_k);
        }
    }
}
