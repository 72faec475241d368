//! Quasi-random points: the same every time, spread evenly, no hidden state.

/// A set of points in the unit cube: the additive recurrence on the generalised golden ratio.
///
/// Point `n`, coordinate `k`: frac(shift_k + n φ_d^−(k+1)), φ_d the positive root of x^(d+1) = x + 1 (Roberts 2018,
/// "The unreasonable effectiveness of quasirandom sequences"). The shift comes from the seed.
#[derive(Debug, Clone)]
pub struct PointSet {
    steps: Vec<f64>,
    shifts: Vec<f64>,
    count: usize,
    mirrored: bool,
}

impl PointSet {
    /// `count` points of `dimensions` coordinates for a seed.
    pub fn new(dimensions: usize, count: usize, seed: u64) -> Self {
        let exponent = 1.0 / (dimensions as f64 + 1.0);
        let mut ratio = 2.0_f64;
        for _ in 0..40 {
            ratio = libm::pow(1.0 + ratio, exponent);
        }
        let steps = (1..=dimensions).map(|k| libm::pow(1.0 / ratio, k as f64) % 1.0).collect();
        let mut state = seed;
        let shifts = (0..dimensions).map(|_| split_mix(&mut state)).collect();
        Self { steps, shifts, count, mirrored: false }
    }

    /// The same in mirrored pairs: every second point is the one before it with every coordinate `u` as `1 − u`
    /// (antithetic variates). Medians of what rises or falls with its inputs hold stiller from seed to seed.
    pub fn mirrored(dimensions: usize, count: usize, seed: u64) -> Self {
        Self { mirrored: true, ..Self::new(dimensions, count, seed) }
    }

    /// How many points there are.
    pub fn len(&self) -> usize {
        self.count
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// Coordinate `k` of point `n`, in 0 to 1.
    ///
    /// # Panics
    /// If `k` is not below the number of dimensions.
    pub fn coordinate(&self, n: usize, k: usize) -> f64 {
        let place = if self.mirrored { n / 2 } else { n };
        let coordinate = self.shifts[k] + (place as f64 + 1.0) * self.steps[k];
        let coordinate = coordinate - libm::floor(coordinate);
        if self.mirrored && n % 2 == 1 { 1.0 - coordinate } else { coordinate }
    }
}

/// One step of the SplitMix64 generator, as a number in 0 to 1.
fn split_mix(state: &mut u64) -> f64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^= z >> 31;
    (z >> 11) as f64 / (1u64 << 53) as f64
}

/// The standard normal value below which the share `u` lies.
///
/// Rational approximation of the inverse normal integral (Acklam), relative error below 1.2e-9, polished by one
/// Newton step on `erfc`.
pub fn normal_from_uniform(u: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969683028665376e1,
        2.209460984245205e2,
        -2.759285104469687e2,
        1.38357751867269e2,
        -3.066479806614716e1,
        2.506628277459239,
    ];
    const B: [f64; 5] =
        [-5.447609879822406e1, 1.615858368580409e2, -1.556989798598866e2, 6.680131188771972e1, -1.328068155288572e1];
    const C: [f64; 6] = [
        -7.784894002430293e-3,
        -3.223964580411365e-1,
        -2.400758277161838,
        -2.549732539343734,
        4.374664141464968,
        2.938163982698783,
    ];
    const D: [f64; 4] = [7.784695709041462e-3, 3.224671290700398e-1, 2.445134137142996, 3.754408661907416];
    let u = u.clamp(1e-12, 1.0 - 1e-12);
    let tail = |q: f64| {
        (((((C[0] * q + C[1]) * q + C[2]) * q + C[3]) * q + C[4]) * q + C[5])
            / ((((D[0] * q + D[1]) * q + D[2]) * q + D[3]) * q + 1.0)
    };
    let x = if u < 0.02425 {
        tail(libm::sqrt(-2.0 * libm::log(u)))
    } else if u > 1.0 - 0.02425 {
        -tail(libm::sqrt(-2.0 * libm::log(1.0 - u)))
    } else {
        let q = u - 0.5;
        let r = q * q;
        (((((A[0] * r + A[1]) * r + A[2]) * r + A[3]) * r + A[4]) * r + A[5]) * q
            / (((((B[0] * r + B[1]) * r + B[2]) * r + B[3]) * r + B[4]) * r + 1.0)
    };
    let error = 0.5 * libm::erfc(-x / std::f64::consts::SQRT_2) - u;
    let density = libm::exp(-0.5 * x * x) / libm::sqrt(2.0 * std::f64::consts::PI);
    x - error / density
}

/// The share of the standard normal distribution below a value: `erfc(−z/√2)/2`.
pub fn uniform_from_normal(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn normal_quantiles() {
        // Standard normal table: 97.5 % at 1.959964, 90 % at 1.281552 (mathematics).
        assert_relative_eq!(normal_from_uniform(0.975), 1.959_963_985, epsilon = 1e-8);
        assert_relative_eq!(normal_from_uniform(0.9), 1.281_551_566, epsilon = 1e-8);
        assert_relative_eq!(normal_from_uniform(0.01), -2.326_347_874, epsilon = 1e-8);
        assert_relative_eq!(uniform_from_normal(normal_from_uniform(0.3)), 0.3, epsilon = 1e-9);
    }

    #[test]
    fn mirrored_points_come_in_pairs() {
        let points = PointSet::mirrored(3, 8, 7);
        for n in [0, 2, 4, 6] {
            for k in 0..3 {
                assert_relative_eq!(points.coordinate(n, k) + points.coordinate(n + 1, k), 1.0, epsilon = 1e-12);
            }
        }
        assert_ne!(points.coordinate(0, 1), points.coordinate(2, 1));
    }

    #[test]
    fn points_are_even_and_repeatable() {
        let points = PointSet::new(6, 1024, 7);
        for k in 0..6 {
            let mean: f64 = (0..points.len()).map(|n| points.coordinate(n, k)).sum::<f64>() / 1024.0;
            assert!((mean - 0.5).abs() < 0.005, "{mean}");
        }
        assert_eq!(points.coordinate(5, 2), PointSet::new(6, 1024, 7).coordinate(5, 2));
    }
}
