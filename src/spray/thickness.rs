//! Wet and dry film, volume solids, coverage.

/// Wet film, µm, that dries to a dry film (µm) at a volume share of solids (0 to 1): `wet = dry / VS`.
pub fn wet_film_thickness_um(dry_um: f64, volume_solids: f64) -> f64 {
    dry_um / volume_solids
}

/// Dry film, µm, of a wet film (µm): `dry = wet × VS`.
pub fn dry_film_thickness_um(wet_um: f64, volume_solids: f64) -> f64 {
    wet_um * volume_solids
}

/// Volume share of solids from a wet and a dry film, µm.
pub fn volume_solids(wet_um: f64, dry_um: f64) -> f64 {
    dry_um / wet_um
}

/// Area covered by a litre, m²/L, at a dry film (µm), volume share of solids and loss (both 0 to 1):
/// `1000 VS (1 − loss) / dry`, a litre being 1000 µm over a square metre.
pub fn coverage_m2_l(dry_um: f64, volume_solids: f64, loss: f64) -> f64 {
    1000.0 * volume_solids * (1.0 - loss) / dry_um
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn worked_examples() {
        // Worked examples of ultrimaxstore.com and paintcenter.org film formulae.
        assert_relative_eq!(wet_film_thickness_um(100.0, 0.62), 161.0, max_relative = 0.012);
        assert_relative_eq!(wet_film_thickness_um(38.1, 0.42), 90.678, max_relative = 0.012);
        assert_relative_eq!(dry_film_thickness_um(161.0, 0.62), 100.0, max_relative = 0.005);
        assert_relative_eq!(volume_solids(161.0, 100.0), 0.62, max_relative = 0.005);
        // An alkyd enamel's technical data sheet: wet film, and coverage 675, 690 and 230 ft²/gal.
        assert_relative_eq!(wet_film_thickness_um(38.1, 0.425), 88.9, max_relative = 0.02);
        assert_relative_eq!(coverage_m2_l(25.4, 0.42, 0.0), 16.5661, max_relative = 0.015);
        assert_relative_eq!(coverage_m2_l(25.4, 0.43, 0.0), 16.9342, max_relative = 0.015);
        assert_relative_eq!(coverage_m2_l(63.5, 0.42, 0.15), 5.6447, max_relative = 0.015);
    }
}
