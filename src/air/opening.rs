//! Air through windows.

/// Discharge coefficient of a sharp-edged opening. Source: BS 5925 (from memory).
const DISCHARGE: f64 = 0.61;

/// Gravity, m/s².
const GRAVITY: f64 = 9.806_65;

/// Air through one open window, m³/s: Q = ½ A √(0.001 U² + 0.0035 h |ΔT| + 0.01). A open area m², U wind at 10 m height
/// m/s, h height of the opening m, ΔT indoor less outdoor K. Tends to be optimistic for half-blocked windows. Source: de
/// Gids and Phaff 1982, Air Infiltration Review 4(1):4–5.
pub fn window_flow_single_sided_m3_s(area_m2: f64, wind_m_s: f64, height_m: f64, difference_k: f64) -> f64 {
    0.5 * area_m2 * libm::sqrt(0.001 * wind_m_s * wind_m_s + 0.0035 * height_m * difference_k.abs() + 0.01)
}

/// The same by BS 5925 (Warren and Parkins 1984), m³/s: the larger of wind 0.025 A U and stack
/// (C_d A/3) √(g h |ΔT|/T), T the absolute temperature, here the indoor one, which is within 2 % of the mean. Nothing in
/// calm air without a temperature difference.
pub fn window_flow_bs_5925_m3_s(
    area_m2: f64,
    wind_m_s: f64,
    height_m: f64,
    difference_k: f64,
    indoor_temperature_c: f64,
) -> f64 {
    let wind = 0.025 * area_m2 * wind_m_s;
    let stack = DISCHARGE * area_m2 / 3.0
        * libm::sqrt(GRAVITY * height_m * difference_k.abs() / (indoor_temperature_c + 273.15));
    wind.max(stack)
}

/// Air through openings on two sides, m³/s: Q = C_d A_w U √ΔC_p with 1/A_w² = 1/A₁² + 1/A₂². A m², U wind m/s, ΔC_p
/// difference of the wind-pressure coefficients. Source: BS 5925 (from memory).
pub fn cross_flow_m3_s(area_m2: f64, opposite_m2: f64, wind_m_s: f64, pressure_difference: f64) -> f64 {
    if area_m2 <= 0.0 || opposite_m2 <= 0.0 {
        return 0.0;
    }
    let together = 1.0 / libm::sqrt(1.0 / (area_m2 * area_m2) + 1.0 / (opposite_m2 * opposite_m2));
    DISCHARGE * together * wind_m_s * libm::sqrt(pressure_difference)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn single_sided() {
        // de Gids and Phaff 1982, evaluated; in still air the floor is 0.05 m³/s a square metre.
        assert_relative_eq!(window_flow_single_sided_m3_s(0.5, 2.0, 1.0, 10.0), 0.05534, max_relative = 0.005);
        assert_relative_eq!(window_flow_single_sided_m3_s(1.0, 0.0, 1.0, 0.0), 0.05, max_relative = 0.005);
        // BS 5925: 0.5 m², 2 m/s gives 0.025; 10 K over 1 m gives 0.0588.
        assert_relative_eq!(window_flow_bs_5925_m3_s(0.5, 2.0, 1.0, 0.0, 20.0), 0.025);
        assert_relative_eq!(window_flow_bs_5925_m3_s(0.5, 2.0, 1.0, 10.0, 20.0), 0.0588, max_relative = 0.01);
    }

    #[test]
    fn two_equal_openings() {
        // A_w = A/√2 for equal openings.
        let flow = cross_flow_m3_s(1.0, 1.0, 2.0, 0.25);
        assert_relative_eq!(flow, 0.61 / std::f64::consts::SQRT_2, max_relative = 1e-12);
    }
}
