//! A water wash drying on paper.

use super::humid_air::MoistAir;
use super::surface::{SteadySurface, Surroundings, steady_surface};
use crate::catalog::Substance;

/// What leaves one face of a wet sheet, g/(m² h), and how cold the sheet is: the steady state of a water surface.
///
/// At 22 °C and 45 % with k0 1.4e-3 m/s and a free back: 56 g/(m² h) at 17.4 °C.
pub fn wash_surface(water: &Substance, air: &MoistAir, around: &Surroundings) -> SteadySurface {
    steady_surface(water, air, around)
}

/// Minutes until the surface of a wash no longer shines: load over the constant-rate flux of one face.
///
/// `load_g_m2` is the water laid per area. Water bound in the fibres takes as long again at least; that is the
/// caller's factor, since it depends on the medium. `None` where the air takes no water.
pub fn wash_dry_minutes(load_g_m2: f64, water: &Substance, air: &MoistAir, around: &Surroundings) -> Option<f64> {
    let flux = wash_surface(water, air, around).flux_g_m2_s;
    (flux > 1e-9).then(|| load_g_m2 / flux / 60.0)
}

/// How much longer a wash takes to dry in one air than in another of the same movement: the ratio of their fluxes.
/// `None` where the air takes no water.
pub fn wash_time_factor(water: &Substance, air: &MoistAir, reference: &MoistAir, around: &Surroundings) -> Option<f64> {
    let here = wash_surface(water, air, around).flux_g_m2_s;
    (here > 1e-9).then(|| wash_surface(water, reference, around).flux_g_m2_s / here)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vapour::samples::{around, indoor, substance};
    use approx::assert_relative_eq;

    #[test]
    fn five_airs() {
        // Derived independently beforehand (heat balance by hand calculation), to two figures: °C, share, g/(m² h), °C of
        // the sheet.
        for (temperature_c, humidity, flux, sheet_c) in [
            (18.0, 0.60, 34.0, 15.2),
            (20.0, 0.50, 47.0, 16.2),
            (22.0, 0.45, 56.0, 17.4),
            (25.0, 0.40, 68.0, 19.4),
            (22.0, 0.75, 25.0, 20.0),
        ] {
            let steady = wash_surface(&substance("water"), &indoor(temperature_c, humidity), &around(1.4e-3, 0.0));
            assert_relative_eq!(steady.flux_g_m2_s * 3600.0, flux, max_relative = 0.02);
            assert!((steady.temperature_c - sheet_c).abs() < 0.06, "{} {sheet_c}", steady.temperature_c);
        }
    }

    #[test]
    fn minutes() {
        // 30 g/m² at 56.3 g/(m² h) are 32 min, by hand; saturated air never dries it.
        let (water, around) = (substance("water"), around(1.4e-3, 0.0));
        let minutes = wash_dry_minutes(30.0, &water, &indoor(22.0, 0.45), &around).unwrap();
        assert_relative_eq!(minutes, 32.0, max_relative = 0.005);
        assert_eq!(wash_dry_minutes(30.0, &water, &indoor(22.0, 1.0), &around), None);
        let factor = wash_time_factor(&water, &indoor(22.0, 0.75), &indoor(22.0, 0.45), &around).unwrap();
        assert_relative_eq!(factor, 2.27, max_relative = 0.03);
    }
}
