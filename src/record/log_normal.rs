//! A positive figure that is not known exactly, as a normal distribution of its logarithm.

use crate::estimate::{Quantiles, Triple};

/// z of the 90 % point of the standard normal.
const Z_90: f64 = 1.281_551_565_544_6;

/// Rounds in which a triangle is brought to three points.
const ROUNDS: usize = 200;

/// A log-normal distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogNormal {
    /// Mean of the logarithm.
    pub mu: f64,
    /// Standard deviation of the logarithm.
    pub sigma: f64,
}

impl LogNormal {
    /// The one nearest to a triangle at its 10, 50 and 90 % points, by least squares of the logarithms:
    /// `μ = (ln q10 + ln q50 + ln q90)/3`, `σ = (ln q90 − ln q10)/(2 z90)`. `None` if a point is not positive.
    pub fn matched(triangle: Triple) -> Option<Self> {
        let points = [triangle.at(0.1), triangle.at(0.5), triangle.at(0.9)];
        if points.iter().any(|point| *point <= 0.0) {
            return None;
        }
        let [low, middle, high] = points.map(libm::log);
        Some(Self { mu: (low + middle + high) / 3.0, sigma: (high - low) / (2.0 * Z_90) })
    }

    /// The one through a median, as wide as two outer points.
    pub fn through(points: Quantiles) -> Self {
        Self { mu: libm::log(points.p50), sigma: libm::log(points.p90 / points.p10) / (2.0 * Z_90) }
    }

    /// After a reading with a relative standard deviation: precisions add up,
    /// `1/σ'² = 1/σ² + 1/s²`, `μ' = σ'² (μ/σ² + ln x/s²)` (normal distributions, closed form).
    #[must_use]
    pub fn updated(self, value: f64, relative_sd: f64) -> Self {
        if self.sigma <= 0.0 {
            return self;
        }
        let (before, new) = (1.0 / (self.sigma * self.sigma), 1.0 / (relative_sd * relative_sd));
        let precision = before + new;
        Self { mu: (self.mu * before + libm::log(value) * new) / precision, sigma: 1.0 / libm::sqrt(precision) }
    }

    /// How far a reading lies from what is expected, in standard deviations of the two together.
    pub fn surprise(self, value: f64, relative_sd: f64) -> f64 {
        let spread = libm::sqrt(self.sigma * self.sigma + relative_sd * relative_sd);
        (libm::log(value) - self.mu).abs() / spread.max(1e-12)
    }

    /// Its 10, 50 and 90 % points.
    pub fn quantiles(self) -> Quantiles {
        let at = |z: f64| libm::exp(self.mu + z * self.sigma);
        Quantiles { p10: at(-Z_90), p50: at(0.0), p90: at(Z_90) }
    }

    /// The triangle with the same 10, 50 and 90 % points, as the sampling takes it. Beyond a σ of about 0.37 no
    /// triangle is as skewed; the middle point is then only neared.
    pub fn triangle(self) -> Triple {
        let wanted = self.quantiles();
        let reach = |from: f64, to: f64| 1.809 * (to - from);
        let (mut low, mut mode, mut high) =
            (wanted.p50 - reach(wanted.p10, wanted.p50), wanted.p50, wanted.p50 + reach(wanted.p50, wanted.p90));
        for _ in 0..ROUNDS {
            let Some(now) = Triple::new(low, mode, high) else { break };
            low += wanted.p10 - now.at(0.1);
            high += wanted.p90 - now.at(0.9);
            mode = (mode + wanted.p50 - now.at(0.5)).clamp(low, high);
        }
        let low = low.max(wanted.p10 * 0.1);
        Triple::new(low, mode.max(low), high.max(mode)).unwrap_or(Triple::exact(wanted.p50))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_triangle_there_and_back() {
        for (low, mode, high) in [(0.6, 0.9, 1.3), (9.0, 12.5, 18.0), (0.55, 0.7, 0.85)] {
            let triangle = Triple::new(low, mode, high).unwrap();
            let matched = LogNormal::matched(triangle).unwrap();
            let back = matched.triangle();
            for share in [0.1, 0.5, 0.9] {
                assert_relative_eq!(back.at(share), triangle.at(share), max_relative = 0.02);
            }
            for (share, point) in [(0.1, matched.quantiles().p10), (0.9, matched.quantiles().p90)] {
                assert_relative_eq!(back.at(share), point, max_relative = 1e-3);
            }
        }
    }

    #[test]
    fn a_sure_reading_wins_and_a_vague_one_changes_nothing() {
        let prior = LogNormal { mu: 0.0, sigma: 0.3 };
        assert_relative_eq!(prior.updated(1.4, 1e-4).quantiles().p50, 1.4, max_relative = 1e-4);
        assert_relative_eq!(prior.updated(1.4, 1e4).quantiles().p50, 1.0, max_relative = 1e-4);
        assert!(prior.surprise(3.0, 0.05) > 3.0 && prior.surprise(1.2, 0.05) < 1.0);
    }
}
