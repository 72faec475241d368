//! Glass transition of a film and the solvent it may still hold.

/// Mass fraction of solvent at which a film's glass transition lies a margin below a temperature, by Fox:
/// 1/(T − margin) = w/Tg_s + (1 − w)/Tg_r.
///
/// All temperatures in K. At 295 K with resin 313 K and solvent 130 K: 21 % at a margin of 54 K, 10 % at 21 K (Fox 1956;
/// the margins come from viscosity levels with the universal Williams–Landel–Ferry equation, from memory). Negative if
/// the resin alone is softer than that.
pub fn solvent_fraction_at_tg_margin(temperature_k: f64, resin_tg_k: f64, solvent_tg_k: f64, margin_k: f64) -> f64 {
    (1.0 / (temperature_k - margin_k) - 1.0 / resin_tg_k) / (1.0 / solvent_tg_k - 1.0 / resin_tg_k)
}

/// A glass transition that a film's own has to rise to: the weighted sum of masses whose sign tells on which side it is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Threshold {
    per_part: Vec<f64>,
    solids: f64,
}

impl Threshold {
    /// For parts with the given glass transitions and solids of a mass and glass transition.
    pub(super) fn new(target_k: f64, parts_k: impl Iterator<Item = f64>, solids_g_m2: f64, solids_k: f64) -> Self {
        let weight = |transition_k: f64| 1.0 / transition_k - 1.0 / target_k;
        Self { per_part: parts_k.map(weight).collect(), solids: solids_g_m2 * weight(solids_k) }
    }

    /// Positive while the film is softer than the threshold.
    pub(super) fn softness(&self, masses: impl Iterator<Item = (usize, f64)>) -> f64 {
        self.solids + masses.map(|(place, mass)| self.per_part[place] * mass).sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn fox_by_hand() {
        // Fox equation evaluated by hand (check file, derived).
        assert_relative_eq!(solvent_fraction_at_tg_margin(295.0, 313.0, 130.0, 54.0), 0.2121, max_relative = 1e-3);
        assert_relative_eq!(solvent_fraction_at_tg_margin(295.0, 313.0, 130.0, 21.0), 0.1011, max_relative = 1e-3);
    }

    #[test]
    fn the_threshold_is_the_same_equation() {
        let threshold = Threshold::new(241.0, [130.0].into_iter(), 1.0 - 0.2121, 313.0);
        assert!(threshold.softness([(0, 0.2121)].into_iter()).abs() < 1e-6);
        assert!(threshold.softness([(0, 0.25)].into_iter()) > 0.0);
    }
}
