//! Which exposure limit counts, and sums over limits.

use crate::catalog::{AirRules, SolventClass, Substance};
use crate::quantity::number;

/// The limits used for one substance.
#[derive(Debug, Clone, PartialEq)]
pub struct UsedLimits {
    /// 8-hour limit, ppm.
    pub eight_hour_ppm: f64,
    /// Short-term (15-minute) limit, ppm.
    pub short_term_ppm: f64,
    /// Who set them, in words.
    pub source: String,
    /// Whether an 8-hour limit is published at all.
    pub published: bool,
}

impl UsedLimits {
    /// The limits of a substance; `None` only for water.
    ///
    /// The lowest published figure, or this project's default where that is lower or nothing is published; without
    /// either, the limit for unknown substances. A missing short-term limit is a multiple of the 8-hour one.
    pub fn of(substance: &Substance, rules: &AirRules) -> Option<Self> {
        if substance.class == SolventClass::Water {
            return None;
        }
        let limits = &substance.limits;
        let known = lower(limits.lowest_twa_ppm, limits.default_twa_ppm);
        let eight_hour_ppm = known.unwrap_or_else(|| rules.unknown_limit_ppm.get());
        let multiple = rules.short_term_multiple.get();
        let short_known = lower(limits.lowest_short_term_ppm, limits.default_short_term_ppm);
        let short_term_ppm = short_known.unwrap_or(multiple * eight_hour_ppm);
        let own_default = limits.default_twa_ppm.is_some_and(|own| limits.lowest_twa_ppm.is_none_or(|low| own < low));
        let mut source = match (limits.lowest_twa_ppm, own_default) {
            (_, true) => "coatbell's own cautious default".to_owned(),
            (Some(_), false) => limits.source.clone(),
            (None, false) => format!("no limit found; {} ppm assumed", number(eight_hour_ppm)),
        };
        if own_default && limits.lowest_twa_ppm.is_some() && !limits.source.is_empty() {
            source = format!("{source}, below {}", limits.source);
        }
        if short_known.is_none() {
            source = format!("{source}; short-term {} times the 8-hour limit", number(multiple));
        }
        Some(Self { eight_hour_ppm, short_term_ppm, source, published: limits.lowest_twa_ppm.is_some() })
    }

    /// The limits of something unknown.
    pub fn unknown(rules: &AirRules) -> Self {
        let eight_hour_ppm = rules.unknown_limit_ppm.get();
        Self {
            eight_hour_ppm,
            short_term_ppm: rules.short_term_multiple.get() * eight_hour_ppm,
            source: format!("unknown substance; {} ppm assumed", number(eight_hour_ppm)),
            published: false,
        }
    }
}

/// The lower of two figures that may be missing.
fn lower(one: Option<f64>, other: Option<f64>) -> Option<f64> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.min(other)),
        (one, other) => one.or(other),
    }
}

/// 8-hour mean of stretches of (ppm, hours): Σ C T/8. Source: 29 CFR 1910.1000(d)(1)(i).
pub fn twa_8h_ppm(stretches: &[(f64, f64)]) -> f64 {
    stretches.iter().map(|(ppm, hours)| ppm * hours).sum::<f64>() / 8.0
}

/// How full the limits of a mixture are: Σ C/L over pairs of (concentration, limit). 1 is full. Source:
/// 29 CFR 1910.1000(d)(2)(i).
pub fn mixture_index(parts: &[(f64, f64)]) -> f64 {
    parts.iter().map(|(concentration, limit)| concentration / limit).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn worked_examples() {
        // 29 CFR 1910.1000(d)(1)(ii): 81.25 ppm; (d)(2)(ii): 0.925.
        assert_relative_eq!(twa_8h_ppm(&[(150.0, 2.0), (75.0, 2.0), (50.0, 4.0)]), 81.25);
        assert_relative_eq!(mixture_index(&[(500.0, 1000.0), (45.0, 200.0), (40.0, 200.0)]), 0.925);
        let shift = [(150.0, 1.5), (175.0, 1.5), (80.0, 2.0), (350.0, 1.0), (180.0, 2.0)];
        assert_relative_eq!(twa_8h_ppm(&shift), 169.6875);
    }
}
