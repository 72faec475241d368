//! The cone: how wide it is and how much of it stays, by distance.

/// Distance at which the share that stays is stated, m.
const TRANSFER_REFERENCE_M: f64 = 0.15;

/// Standard deviation of the Gaussian footprint, m, at a distance (m) for a visible half angle (degrees):
/// `σ = d tan α / 2`, the visible radius being two standard deviations (derived; half angle of a free round jet 11.8°,
/// memory). For a fan nozzle it is the σ across the stroke.
pub fn sigma_m(distance_m: f64, half_angle_deg: f64) -> f64 {
    distance_m * libm::tan(half_angle_deg.to_radians()) / 2.0
}

/// Visible width of the pattern, m: four standard deviations.
pub fn pattern_width_m(sigma_m: f64) -> f64 {
    4.0 * sigma_m
}

/// Share of what is sprayed at an endless sheet that stays on it: `TE = TE15 exp(−(d − 0.15 m)/λ)`, at most one.
///
/// `at_15cm` TE15, `length_m` λ. An estimate: no published curve over distance exists for spray cans; published
/// figures of spray guns are 0.2 to 0.6. Range 0.1 to 0.6 m.
pub fn transfer_efficiency(distance_m: f64, at_15cm: f64, length_m: f64) -> f64 {
    (at_15cm * libm::exp((TRANSFER_REFERENCE_M - distance_m) / length_m)).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn footprint_and_transfer_by_distance() {
        // Derived beside the model: half angle 12.5° gives 1.7, 2.2 and 3.3 cm at 15, 20 and 30 cm.
        for (distance, sigma_cm) in [(0.15, 1.7), (0.20, 2.2), (0.30, 3.3)] {
            assert_abs_diff_eq!(sigma_m(distance, 12.5) * 100.0, sigma_cm, epsilon = 0.05);
        }
        for (distance, share) in [(0.15, 0.70), (0.20, 0.64), (0.30, 0.55)] {
            assert_abs_diff_eq!(transfer_efficiency(distance, 0.70, 0.60), share, epsilon = 0.006);
        }
    }
}
