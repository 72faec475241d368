//! A low, a most likely and a high value.

/// Three ordered values of one quantity; the unit is that of the field that holds them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Triple {
    low: f64,
    mode: f64,
    high: f64,
}

impl Triple {
    /// Three values in order; `None` if they are not finite or not ordered.
    pub fn new(low: f64, mode: f64, high: f64) -> Option<Self> {
        let finite = low.is_finite() && mode.is_finite() && high.is_finite();
        (finite && low <= mode && mode <= high).then_some(Self { low, mode, high })
    }

    /// A value known exactly.
    ///
    /// # Panics
    /// If the value is not finite.
    pub fn exact(value: f64) -> Self {
        assert!(value.is_finite(), "an exact value is finite");
        Self { low: value, mode: value, high: value }
    }

    /// A range with its midpoint as the most likely value; `None` if it runs backwards.
    pub fn from_range(low: f64, high: f64) -> Option<Self> {
        Self::new(low, f64::midpoint(low, high), high)
    }

    /// The low value.
    pub fn low(self) -> f64 {
        self.low
    }

    /// The most likely value.
    pub fn mode(self) -> f64 {
        self.mode
    }

    /// The high value.
    pub fn high(self) -> f64 {
        self.high
    }

    /// All three multiplied by a factor that is not negative.
    ///
    /// # Panics
    /// If the factor is negative or not finite.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        assert!(factor.is_finite() && factor >= 0.0, "a triple is scaled by a factor that is not negative");
        Self { low: self.low * factor, mode: self.mode * factor, high: self.high * factor }
    }

    /// The value below which the share `u` (0 to 1) of the triangular distribution lies.
    pub fn at(self, u: f64) -> f64 {
        let u = u.clamp(0.0, 1.0);
        let width = self.high - self.low;
        if width <= 0.0 {
            return self.mode;
        }
        let split = (self.mode - self.low) / width;
        if u < split {
            self.low + libm::sqrt(u * width * (self.mode - self.low))
        } else {
            self.high - libm::sqrt((1.0 - u) * width * (self.high - self.mode))
        }
    }

    /// As [`Triple::at`], with the triangle on the logarithm of the value.
    ///
    /// # Panics
    /// If the low value is not positive.
    pub fn log_at(self, u: f64) -> f64 {
        assert!(self.low > 0.0, "a log-triangle is of positive values");
        let logs = Self { low: libm::log(self.low), mode: libm::log(self.mode), high: libm::log(self.high) };
        libm::exp(logs.at(u))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn triangle_quantiles() {
        // Triangular distribution: closed-form inverse, symmetric case (mathematics).
        let triple = Triple::new(0.0, 1.0, 2.0).unwrap();
        assert_relative_eq!(triple.at(0.5), 1.0);
        assert_relative_eq!(triple.at(0.125), 0.5);
        assert_relative_eq!(triple.at(0.0), 0.0);
        assert_relative_eq!(triple.at(1.0), 2.0);
    }

    #[test]
    fn order_is_checked() {
        assert!(Triple::new(2.0, 1.0, 3.0).is_none());
        assert!(Triple::new(0.0, f64::NAN, 1.0).is_none());
    }
}
