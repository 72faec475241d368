//! Liquid in the paper's pores, and liquid that runs.

/// Share of a paper's pore capacity that a wet film fills; `None` for a paper that takes up nothing.
///
/// Organic solvents are not stopped by sizing against water, and Washburn's equation lets a pore of 1 µm drink a
/// millimetre a second: what soaks in is limited by volume, not by time. Up to about 0.3 little shows on the back,
/// 0.3 to 0.6 is a risk, above 1 it comes through (estimates; the limits are in the rules).
pub fn pore_share(wet_um: f64, capacity_um: f64, absorbing: bool) -> Option<f64> {
    (absorbing && capacity_um > 0.0).then(|| wet_um / capacity_um)
}

/// Thickest wet film that runs less than `travel_m` on a standing sheet before it sets, µm:
/// h = √(2 η δ/(ρ g t)).
///
/// η viscosity (Pa s), δ how far it may run (m), ρ density (kg/m³), t time to set (s): a Newtonian film under its own
/// weight, surface speed ρ g h²/(2η). With 0.05 Pa s, 1 to 3 mm and 30 s it gives 19 to 34 µm: the ground of the rules'
/// limit of 30 µm standing. Lying, 45 µm is practice.
pub fn sag_limit_um(viscosity_pa_s: f64, travel_m: f64, density_kg_m3: f64, set_s: f64) -> f64 {
    const GRAVITY_M_S2: f64 = 9.806_65;
    libm::sqrt(2.0 * viscosity_pa_s * travel_m / (density_kg_m3 * GRAVITY_M_S2 * set_s)) * 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn standing_limit() {
        // By hand: √(2 · 0.05 · 0.002 / (900 · 9.81 · 30)) = 27.5 µm, near the middle of 19 to 34 µm.
        assert_relative_eq!(sag_limit_um(0.05, 0.002, 900.0, 30.0), 27.5, max_relative = 2e-3);
    }

    #[test]
    fn pores() {
        assert_eq!(pore_share(12.0, 40.0, true), Some(0.3));
        assert_eq!(pore_share(12.0, 40.0, false), None);
    }
}
