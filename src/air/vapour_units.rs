//! Parts per million, milligrams, explosive limits, dilution: the arithmetic of vapour in air.

/// Gas constant, J/(mol K).
const GAS_CONSTANT: f64 = 8.314_462_6;

/// Standard pressure, Pa.
const ATMOSPHERE_PA: f64 = 101_325.0;

/// Volume of a mole of vapour, m³: R T/p (24.45 L at 25 °C and 1 atm).
pub fn molar_volume_m3(temperature_c: f64, pressure_pa: f64) -> f64 {
    GAS_CONSTANT * (temperature_c + 273.15) / pressure_pa
}

/// Parts per million of a vapour at 1 g/m³: 10⁶ V_m/M with M in g/mol.
pub fn ppm_per_g_m3(molar_mass_g_mol: f64, temperature_c: f64, pressure_pa: f64) -> f64 {
    molar_volume_m3(temperature_c, pressure_pa) / molar_mass_g_mol * 1e6
}

/// mg/m³ of a vapour from parts per million: ppm M/V_m, M g/mol, V_m in L/mol (24.45 at 25 °C, 1 atm). Source: ideal gas.
pub fn ppm_to_mg_m3(molar_mass_g_mol: f64, ppm: f64, temperature_c: f64, pressure_atm: f64) -> f64 {
    ppm / ppm_per_g_m3(molar_mass_g_mol, temperature_c, pressure_atm * ATMOSPHERE_PA) * 1000.0
}

/// Parts per million over a liquid at equilibrium: 10⁶ p_v/p, both in kPa. Source: Dalton's law.
pub fn saturation_ppm(vapour_pressure_kpa: f64, pressure_kpa: f64) -> f64 {
    vapour_pressure_kpa / pressure_kpa * 1e6
}

/// A tenth of the lower explosive limit, ppm, from the limit in vol %. Source: NIOSH, documentation for immediately
/// dangerous concentrations, which caps them there.
pub fn ten_percent_lel_ppm(lel_vol_pct: f64) -> f64 {
    lel_vol_pct * 1e4 * 0.1
}

/// Explosive limit of a mixture, vol %: 1/Σ(y_i/L_i), y_i shares of the combustible vapour, L_i their limits in vol %.
/// Source: Le Chatelier 1891; Crowl and Louvar, Chemical Process Safety (from memory). Good for lower limits, rougher
/// for upper ones.
pub fn le_chatelier_limit_vol_pct(parts: &[(f64, f64)]) -> f64 {
    1.0 / parts.iter().map(|(share, limit)| share / limit).sum::<f64>()
}

/// Air flow that keeps a steady release at a limit, m³/h: Q = K G/C. G g/h, C the limit in ppm turned into g/m³ at the
/// room's temperature and 1 atm, K mixing factor. Source: dilution ventilation, ACGIH Industrial Ventilation (from
/// memory).
pub fn dilution_flow_m3_h(
    release_g_h: f64,
    molar_mass_g_mol: f64,
    limit_ppm: f64,
    mixing_factor: f64,
    temperature_c: f64,
) -> f64 {
    release_g_h * 1000.0 * mixing_factor / ppm_to_mg_m3(molar_mass_g_mol, limit_ppm, temperature_c, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn published_pairs() {
        // ACGIH ppm and mg/m³ pairs as quoted by NIOSH and OSHA pages.
        for (molar_mass, ppm, mg) in [
            (88.11, 400.0, 1440.0),
            (58.08, 500.0, 1187.0),
            (116.16, 150.0, 713.0),
            (92.14, 50.0, 188.0),
            (100.2, 400.0, 1640.0),
            (86.18, 50.0, 176.0),
            (84.16, 300.0, 1030.0),
            (46.07, 1000.0, 1880.0),
            (116.16, 50.0, 238.0),
            (118.17, 25.0, 121.0),
            (58.12, 1.0, 2.38),
        ] {
            assert_relative_eq!(ppm_to_mg_m3(molar_mass, ppm, 25.0, 1.0), mg, max_relative = 0.005);
        }
        assert_relative_eq!(saturation_ppm(0.5066, 101.325), 5000.0, max_relative = 0.01);
        assert_relative_eq!(ten_percent_lel_ppm(1.1), 1100.0, max_relative = 5e-4);
    }

    #[test]
    fn mixture_limit() {
        // Crowl and Louvar, flammability mixture example (from memory): 2.75 vol %.
        let limit = le_chatelier_limit_vol_pct(&[(0.24, 1.2), (0.61, 5.3), (0.15, 3.1)]);
        assert_relative_eq!(limit, 2.75, max_relative = 0.006);
    }

    #[test]
    fn dilution_examples() {
        // ACGIH Industrial Ventilation, dilution chapter examples (from memory): 1425 and 3000 cfm.
        assert_relative_eq!(dilution_flow_m3_h(936.888, 133.4, 350.0, 5.0, 21.1), 2421.1, max_relative = 0.01);
        assert_relative_eq!(dilution_flow_m3_h(761.813, 72.1, 200.0, 4.0, 21.1), 5097.0, max_relative = 0.01);
    }
}
