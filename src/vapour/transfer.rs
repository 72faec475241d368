//! Mass and heat transfer between a surface and the air.

use super::pressure::ZERO_CELSIUS_K;
use crate::estimate::Triple;

/// Diffusivity for which a gas-film coefficient is stated, m²/s.
const STATED_DIFFUSIVITY_M2_S: f64 = 1e-5;

/// Gas constant of dry air, J/(kg K).
const DRY_AIR_J_KG_K: f64 = 287.05;

/// Heat capacity of air, J/(kg K).
const AIR_HEAT_CAPACITY_J_KG_K: f64 = 1006.0;

/// Thermal diffusivity of air at 20 °C, m²/s.
const AIR_THERMAL_DIFFUSIVITY_M2_S: f64 = 2.14e-5;

/// Mean mass-transfer coefficient of a flat plate in laminar flow, m/s: Sh = k L/D = 0.664 Re^½ Sc^⅓.
///
/// `speed_m_s` free-stream speed, `length_m` length along the flow, `diffusivity_m2_s` of the vapour,
/// `viscosity_m2_s` kinematic viscosity of air. Valid for Re below about 5e5 and Sc above 0.6. Pohlhausen's result,
/// standard in texts on convection.
pub fn laminar_plate_m_s(speed_m_s: f64, length_m: f64, diffusivity_m2_s: f64, viscosity_m2_s: f64) -> f64 {
    let reynolds = speed_m_s * length_m / viscosity_m2_s;
    let schmidt = viscosity_m2_s / diffusivity_m2_s;
    0.664 * libm::sqrt(reynolds) * libm::cbrt(schmidt) * diffusivity_m2_s / length_m
}

/// Mean mass-transfer coefficient of a horizontal plate in still air, m/s: Sh = c (Gr Sc)^¼ with c = 0.54 where the
/// layer at the surface is lighter than the air (it rises) and 0.27 where it is heavier (it pools and creeps off the
/// edges).
///
/// `density_excess` relative density difference of that layer, negative if lighter; `length_m` area over perimeter.
/// Valid for Gr Sc of 1e4 to 1e10; McAdams' correlations as printed in texts on convection (from memory).
pub fn natural_convection_m_s(density_excess: f64, length_m: f64, diffusivity_m2_s: f64, viscosity_m2_s: f64) -> f64 {
    const GRAVITY_M_S2: f64 = 9.806_65;
    let grashof =
        GRAVITY_M_S2 * density_excess.abs() * length_m * length_m * length_m / (viscosity_m2_s * viscosity_m2_s);
    let rayleigh = grashof * viscosity_m2_s / diffusivity_m2_s;
    let factor = if density_excess > 0.0 { 0.27 } else { 0.54 };
    factor * libm::sqrt(libm::sqrt(rayleigh)) * diffusivity_m2_s / length_m
}

/// Gas-film coefficient of a vapour, m/s, from that of a vapour of 1e-5 m²/s: k = k0 (D / 1e-5)^⅔ (boundary-layer
/// analogy, exponent of the laminar plate).
pub fn gas_film_m_s(stated_m_s: f64, diffusivity_m2_s: f64) -> f64 {
    let root = libm::cbrt(diffusivity_m2_s / STATED_DIFFUSIVITY_M2_S);
    stated_m_s * root * root
}

/// Convective heat coefficient, W/(m² K), that belongs to a gas-film coefficient by the Lewis relation:
/// h = k0 ρ cp (α / 1e-5)^⅔, with the density of dry air at its temperature and pressure.
pub fn lewis_heat_w_m2_k(stated_m_s: f64, temperature_c: f64, pressure_pa: f64) -> f64 {
    let density = pressure_pa / (DRY_AIR_J_KG_K * (temperature_c + ZERO_CELSIUS_K));
    gas_film_m_s(stated_m_s, AIR_THERMAL_DIFFUSIVITY_M2_S) * density * AIR_HEAT_CAPACITY_J_KG_K
}

/// The band of the gas-film coefficient when the air moves at another speed than the band is stated for, m/s.
///
/// The coefficient grows with the square root of the speed (laminar plate). Faster air never leaves the band's high
/// end, since the correlations disagree beyond a light draught, and its low end stays at most at the stated mode:
/// a corner of the sheet may lie in the lee. Slower air never leaves the low end.
pub fn band_at_speed(stated: Triple, stated_speed_m_s: f64, speed_m_s: f64) -> Triple {
    let factor = libm::sqrt((speed_m_s / stated_speed_m_s).max(0.0));
    let within = |value: f64| (value * factor).clamp(stated.low(), stated.high());
    let mode = within(stated.mode());
    let (low, high) = if factor < 1.0 {
        (stated.low(), within(stated.high()).max(stated.mode()))
    } else {
        (within(stated.low()).min(stated.mode()), stated.high())
    };
    Triple::new(low, mode, high).unwrap_or(stated)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn laminar_plate() {
        // Evaluation of Sh = 0.664 Re^½ Sc^⅓ for 0.1 m/s over 0.2 m (check file, derived).
        assert_relative_eq!(laminar_plate_m_s(0.1, 0.2, 1e-5, 1.5e-5), 0.001_388, max_relative = 5e-3);
    }

    #[test]
    fn a_heavy_vapour_over_a_flat_page_goes_slowest() {
        // Acetone vapour over a page in dead air: about 24 % by volume, twice as heavy as air, so a quarter denser.
        let pooled = natural_convection_m_s(0.24, 0.06, 1e-5, 1.5e-5);
        let rising = natural_convection_m_s(-0.24, 0.06, 1e-5, 1.5e-5);
        assert_relative_eq!(rising, 2.0 * pooled, max_relative = 1e-12);
        assert!((0.5e-3..2.0e-3).contains(&pooled), "{pooled}");
    }

    #[test]
    fn heat_follows_mass() {
        // k0 ρ cp (α/1e-5)^⅔ = 1.5e-3 · 1.20 · 1006 · 1.66 = 3.0 W/(m² K), by hand.
        assert_relative_eq!(lewis_heat_w_m2_k(1.5e-3, 20.0, 101_325.0), 3.0, max_relative = 0.01);
    }

    #[test]
    fn a_draught_moves_the_band_but_not_out_of_it() {
        let stated = Triple::new(0.7e-3, 1.5e-3, 3.5e-3).unwrap();
        assert_eq!(band_at_speed(stated, 0.06, 0.06), stated);
        let fan = band_at_speed(stated, 0.06, 0.24);
        assert_relative_eq!(fan.mode(), 3.0e-3, max_relative = 1e-12);
        assert_eq!(fan.high(), stated.high());
        let gale = band_at_speed(stated, 0.06, 6.0);
        assert_eq!((gale.low(), gale.mode(), gale.high()), (1.5e-3, 3.5e-3, 3.5e-3));
        let dead = band_at_speed(stated, 0.06, 0.0);
        assert_eq!((dead.low(), dead.mode(), dead.high()), (0.7e-3, 0.7e-3, 1.5e-3));
    }
}
