//! Vapour pressure of a pure liquid.

use super::exponential::exp;
use crate::catalog::Substance;

/// Molar gas constant, J/(mol K): exact by the definition of the SI units, 2019.
pub const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618;

/// Freezing point of water on the absolute scale, K.
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Pascals in a millimetre of mercury (conventional value).
const PASCAL_PER_MMHG: f64 = 133.322_387_415;

/// Temperature of the single vapour pressure every substance has, K.
const REFERENCE_K: f64 = 298.15;

/// The vapour pressure of a liquid over temperature: ln(p/Pa) = a − b/(T/K + c).
///
/// Both the Antoine equation (log10(p/mmHg) = A − B/(t/°C + C)) and the Clausius–Clapeyron line through the 25 °C
/// pressure with a constant heat of vaporisation (c = 0, b = ΔH/R) have this form, so the solver knows only one.
/// Range of use: −5 to 60 °C; a fast film is colder for some seconds, where the fits still fall smoothly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VapourCurve {
    /// Intercept of the logarithm.
    a: f64,
    /// Slope, K.
    b_k: f64,
    /// Shift of the temperature, K.
    c_k: f64,
}

impl VapourCurve {
    /// The curve of a substance: Antoine if its coefficients are known, else Clausius–Clapeyron.
    pub fn of(substance: &Substance) -> Self {
        if let Some([a, b, c]) = substance.antoine {
            let ten = std::f64::consts::LN_10;
            Self { a: a * ten + libm::log(PASCAL_PER_MMHG), b_k: b * ten, c_k: c - ZERO_CELSIUS_K }
        } else {
            let slope = substance.heat_of_vaporisation_kj_mol * 1000.0 / GAS_CONSTANT_J_MOL_K;
            let reference = libm::log(substance.vapour_pressure_25c_kpa * 1000.0);
            Self { a: reference + slope / REFERENCE_K, b_k: slope, c_k: 0.0 }
        }
    }

    /// Vapour pressure, Pa, at a temperature, K.
    pub fn pressure_pa(&self, temperature_k: f64) -> f64 {
        exp(self.a - self.b_k / self.shifted(temperature_k))
    }

    /// Slope of the logarithm, d ln p / dT, 1/K.
    pub fn log_slope_per_k(&self, temperature_k: f64) -> f64 {
        let shifted = self.shifted(temperature_k);
        self.b_k / (shifted * shifted)
    }

    /// Keeps the fit on its own side of its pole however cold it gets.
    fn shifted(&self, temperature_k: f64) -> f64 {
        (temperature_k + self.c_k).max(1.0)
    }
}

/// Vapour pressure of a substance, kPa, at −5 to 60 °C, by [`VapourCurve`].
///
/// Checked against general-purpose property libraries and handbooks in the check file, to the tolerance of each row.
pub fn vapour_pressure_kpa(substance: &Substance, temperature_c: f64) -> f64 {
    VapourCurve::of(substance).pressure_pa(temperature_c + ZERO_CELSIUS_K) / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vapour::samples::{substance, substance_without_antoine};
    use approx::assert_relative_eq;

    #[test]
    fn libraries_and_handbooks_agree() {
        // chemicals and thermo (reference libraries), kPa; tolerance that of the check file.
        for (id, temperature_c, expected, tolerance) in [
            ("water", 25.0, 3.17, 0.03),
            ("acetone", 25.0, 30.73, 0.03),
            ("n-butyl-acetate", 25.0, 1.619, 0.08),
            ("toluene", 25.0, 3.799, 0.03),
            ("xylene", 25.0, 1.117, 0.03),
        ] {
            assert_relative_eq!(vapour_pressure_kpa(&substance(id), temperature_c), expected, max_relative = tolerance);
        }
    }

    #[test]
    fn one_pressure_and_the_heat_of_vaporisation_are_enough() {
        // Clausius–Clapeyron by hand: 0.055 kPa at 25 °C and 50 kJ/mol give 0.055 exp(50000/R (1/298.15 − 1/313.15)).
        let solvent = substance_without_antoine();
        assert_relative_eq!(vapour_pressure_kpa(&solvent, 25.0), 0.055, max_relative = 1e-12);
        assert_relative_eq!(vapour_pressure_kpa(&solvent, 40.0), 0.144_528, max_relative = 1e-5);
    }

    #[test]
    fn slope_is_the_derivative() {
        let curve = VapourCurve::of(&substance("acetone"));
        let step = (curve.pressure_pa(290.01) / curve.pressure_pa(289.99)).ln() / 0.02;
        assert_relative_eq!(curve.log_slope_per_k(290.0), step, max_relative = 1e-6);
    }
}
