//! How fast mist settles.

use std::f64::consts::PI;

/// Cunningham's slip correction: 1 + (2 λ/d)(1.257 + 0.4 e^(−0.55 d/λ)). d droplet diameter µm, λ mean free path µm.
/// Source: Seinfeld and Pandis 2006, equation 9.34, table 9.3.
pub fn slip_correction(diameter_um: f64, mean_free_path_um: f64) -> f64 {
    let ratio = mean_free_path_um / diameter_um;
    1.0 + 2.0 * ratio * (1.257 + 0.4 * libm::exp(-0.55 / ratio))
}

/// Settling velocity of a droplet, cm/s: Stokes' v = ρ g d² C_c/(18 µ), divided by 1 + 0.15 Re^0.687 (Schiller and
/// Naumann), iterated. d µm, ρ kg/m³, air temperature °C at 1 atm; droplets of 0.5 to 200 µm. Viscosity by Sutherland's
/// law, mean free path 0.066 µm at 20 °C and proportional to µ √T. Source: Hinds, Aerosol Technology (from memory).
pub fn settling_velocity_cm_s(diameter_um: f64, density_kg_m3: f64, temperature_c: f64) -> f64 {
    let kelvin = temperature_c + 273.15;
    let viscosity = 1.716e-5 * libm::pow(kelvin / 273.15, 1.5) * (273.15 + 110.4) / (kelvin + 110.4);
    let air_density = 101_325.0 * 0.028_964_7 / (8.314_462_6 * kelvin);
    // λ = µ/p √(π R T/(2 M)), kinetic theory.
    let free_path = viscosity / 101_325.0 * libm::sqrt(PI * 8.314_462_6 * kelvin / (2.0 * 0.028_964_7));
    let diameter = diameter_um * 1e-6;
    let stokes = density_kg_m3 * 9.806_65 * diameter * diameter * slip_correction(diameter_um, free_path * 1e6)
        / (18.0 * viscosity);
    let mut speed = stokes;
    for _ in 0..60 {
        let reynolds = air_density * speed * diameter / viscosity;
        speed = stokes / (1.0 + 0.15 * libm::pow(reynolds, 0.687));
    }
    speed * 100.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    #[test]
    fn slip_table() {
        // Seinfeld and Pandis 2006, table 9.3, to a unit of the last place.
        for (diameter, expected) in [(1.0, 1.164), (2.0, 1.082), (5.0, 1.032), (10.0, 1.016)] {
            assert_abs_diff_eq!(slip_correction(diameter, 0.0651), expected, epsilon = 0.001);
        }
        // The same table where the exponential counts (from memory).
        assert_relative_eq!(slip_correction(0.2, 0.0651), 1.865, max_relative = 0.002);
    }

    #[test]
    fn settling_table() {
        // Hinds, Aerosol Technology, unit density at 20 °C (from memory), to a unit of the last place.
        for (diameter, expected, place) in [(5.0, 0.078, 0.001), (20.0, 1.2, 0.1), (50.0, 7.2, 0.1)] {
            assert_abs_diff_eq!(settling_velocity_cm_s(diameter, 1000.0, 20.0), expected, epsilon = place);
        }
    }
}
