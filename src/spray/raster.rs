//! Strips side by side: what a moving Gaussian spot lays, and how even parallel passes are.

use std::f64::consts::{PI, SQRT_2};

/// Terms of a theta series after which the next is below double precision for any step up to 8 σ.
const TERMS: u32 = 12;

/// Mass laid by one pass at an offset from its centre line, g/m²:
/// `w(y) = ṁ f TE / (v σ √(2π)) exp(−y²/2σ²)` (a moving Gaussian spot collapses exactly to this strip).
///
/// `landing_g_s` is ṁ f TE, what stays per second; `speed_m_s` v; `sigma_m` σ; `offset_m` y.
pub fn strip_density_g_m2(landing_g_s: f64, speed_m_s: f64, sigma_m: f64, offset_m: f64) -> f64 {
    let ratio = offset_m / sigma_m;
    landing_g_s / (speed_m_s * sigma_m * libm::sqrt(2.0 * PI)) * libm::exp(-0.5 * ratio * ratio)
}

/// Mean mass laid by parallel passes, g/m²: `ṁ f TE / (v s)`, whatever the spread.
pub fn raster_mean_g_m2(landing_g_s: f64, speed_m_s: f64, step_m: f64) -> f64 {
    landing_g_s / (speed_m_s * step_m)
}

/// Coefficient of variation of equal Gaussian strips side by side:
/// `CV = √(2 Σ_k exp(−4π² k² σ²/s²))`, by Poisson summation (mathematics). `step_over_sigma` is s/σ, above nought.
pub fn raster_variation(step_over_sigma: f64) -> f64 {
    let q = libm::exp(-4.0 * PI * PI / (step_over_sigma * step_over_sigma));
    libm::sqrt(2.0 * theta_sum(q, |_| 1.0))
}

/// Local film over its mean at a place between passes: `1 + 2 Σ_k exp(−2π² k² σ²/s²) cos(2π k φ)`, φ the place as a
/// share of the step, nought on a pass centre.
pub fn local_factor(step_over_sigma: f64, phase: f64) -> f64 {
    let q = libm::exp(-2.0 * PI * PI / (step_over_sigma * step_over_sigma));
    1.0 + 2.0 * theta_sum(q, |k| libm::cos(2.0 * PI * f64::from(k) * phase))
}

/// Highest local film over its mean: on a pass centre.
pub fn peak_factor(step_over_sigma: f64) -> f64 {
    local_factor(step_over_sigma, 0.0)
}

/// `Σ_{k≥1} q^(k²) weight(k)`.
fn theta_sum(q: f64, weight: impl Fn(u32) -> f64) -> f64 {
    (1..=TERMS).map(|k| libm::pow(q, f64::from(k * k)) * weight(k)).sum()
}

/// Share of a Gaussian strip within ± this many standard deviations: `erf(z/√2)` (mathematics).
pub fn strip_fraction(half_width_over_sigma: f64) -> f64 {
    libm::erf(half_width_over_sigma / SQRT_2)
}

/// Film at the edge of the sheet over the raster mean, when the outermost pass is centred this far outside:
/// `Φ((e + s/2)/σ)`, e and s in units of σ (derived: the passes that would lie beyond are missing).
pub fn edge_share(outside_over_sigma: f64, step_over_sigma: f64) -> f64 {
    0.5 * libm::erfc(-(outside_over_sigma + step_over_sigma / 2.0) / SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn variation_and_strip_rows() {
        // Closed form, verified by direct summation (derived).
        for (spacing, expected) in [(1.5, 0.000219007), (1.75, 0.00224538), (2.5, 0.0601027), (4.0, 0.411963)] {
            assert_relative_eq!(raster_variation(spacing), expected, max_relative = 0.005);
        }
        // Normal integral (mathematics).
        assert_relative_eq!(strip_fraction(2.0), 0.9545, max_relative = 0.001);
        assert_relative_eq!(edge_share(1.0, 2.0), 0.977, max_relative = 0.001);
    }

    #[test]
    fn strips_add_up_to_the_mean() {
        // Direct summation of strips against the closed forms, at a place a third of a step off a centre.
        let (sigma, step) = (0.02, 0.05);
        let mean = raster_mean_g_m2(0.5, 0.4, step);
        let at = |phase: f64| {
            (-40..=40).map(|k| strip_density_g_m2(0.5, 0.4, sigma, (f64::from(k) + phase) * step)).sum::<f64>()
        };
        assert_relative_eq!(at(1.0 / 3.0), mean * local_factor(step / sigma, 1.0 / 3.0), max_relative = 1e-12);
        assert_relative_eq!(at(0.0), mean * peak_factor(step / sigma), max_relative = 1e-12);
        let places = 1000;
        let spread: f64 = (0..places).map(|n| (at(f64::from(n) / f64::from(places)) / mean - 1.0).powi(2)).sum();
        assert_relative_eq!(
            libm::sqrt(spread / f64::from(places)),
            raster_variation(step / sigma),
            max_relative = 1e-9
        );
    }
}
