//! Quantiles of a sample.

use serde::{Deserialize, Serialize};

/// The 10 %, 50 % and 90 % points of a sample.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Quantiles {
    /// One in ten is below.
    pub p10: f64,
    /// Half are below.
    pub p50: f64,
    /// Nine in ten are below.
    pub p90: f64,
}

impl Quantiles {
    /// The three points of a sample, which is sorted on the way. An empty sample gives zeros.
    pub fn of(values: &mut [f64]) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        Self { p10: quantile(values, 0.1), p50: quantile(values, 0.5), p90: quantile(values, 0.9) }
    }

    /// All three times a factor.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self { p10: self.p10 * factor, p50: self.p50 * factor, p90: self.p90 * factor }
    }
}

/// The quantile of a sorted sample by linear interpolation between order statistics (type 7 of Hyndman and Fan
/// 1996, the default of common statistics packages). An empty sample gives 0.
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let position = share.clamp(0.0, 1.0) * last as f64;
    let below = libm::floor(position) as usize;
    let above = (below + 1).min(last);
    sorted[below] + (position - below as f64) * (sorted[above] - sorted[below])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn type_seven() {
        // numpy.quantile([1, 2, 3, 4], 0.1) = 1.3 (reference library, default method).
        assert!((quantile(&[1.0, 2.0, 3.0, 4.0], 0.1) - 1.3).abs() < 1e-12);
        assert_eq!(quantile(&[], 0.5), 0.0);
    }
}
