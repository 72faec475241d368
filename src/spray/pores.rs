//! Paper as pores.

/// Apparent density of a sheet, g/cm³, from its weight (g/m²) and thickness (µm): weight over thickness.
pub fn paper_apparent_density_g_cm3(grammage_g_m2: f64, caliper_um: f64) -> f64 {
    grammage_g_m2 / caliper_um
}

/// Share of a sheet that is air: `1 − ρ_apparent / ρ_fibre` (fibre 1.5 g/cm³); fillers make the truth a little lower.
pub fn paper_void_fraction(apparent_density_g_cm3: f64, fibre_density_g_cm3: f64) -> f64 {
    1.0 - apparent_density_g_cm3 / fibre_density_g_cm3
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn printed_densities() {
        // A document on paper characteristics (scribd 268084097); fibre density of probsee.com Paper_density.
        assert_relative_eq!(paper_apparent_density_g_cm3(75.0, 102.0), 0.74, max_relative = 0.015);
        assert_relative_eq!(paper_apparent_density_g_cm3(205.0, 305.0), 0.67, max_relative = 0.015);
        assert_relative_eq!(paper_void_fraction(0.74, 1.5), 0.507, max_relative = 0.01);
    }
}
