//! What is known of the can's rate, of the share that stays and of the solids together: a card tells only their product,
//! so that what it leaves unknown of the one hangs on the others.

use super::{CanRecord, LogNormal, Reading};
use crate::catalog::{ModelFigures, Sealer};

/// Places in the vectors below.
const RATE: usize = 0;
const STAYS: usize = 1;
const SOLIDS: usize = 2;

/// A normal distribution of three logarithms: of the rate at 22 °C, of the share that stays at 15 cm, and of the solids
/// over the profile's most likely ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Joint {
    mean: [f64; 3],
    covariance: [[f64; 3]; 3],
}

impl Joint {
    /// Before any reading: nothing hangs on anything else. `None` where the profile's rate or share is not positive.
    fn prior(sealer: &Sealer, solids_sd: f64, model: &ModelFigures) -> Option<Self> {
        let rate = LogNormal::matched(sealer.discharge_at_22c_g_s())?;
        let stays = LogNormal::matched(model.spray.transfer_at_15cm.value)?;
        let mut covariance = [[0.0; 3]; 3];
        for (place, sd) in [(RATE, rate.sigma), (STAYS, stays.sigma), (SOLIDS, solids_sd)] {
            covariance[place][place] = sd * sd;
        }
        Some(Self { mean: [rate.mu, stays.mu, 0.0], covariance })
    }

    /// With every weighing of the can and of a card. `None` as above.
    pub(super) fn known(record: &CanRecord, sealer: &Sealer, model: &ModelFigures) -> Option<Self> {
        let readings = record.measurements.iter().map(|one| &one.reading);
        // The solids are the same in every card of one can: what the last reading took them for.
        let solids_sd = readings.clone().rev().find_map(|reading| match reading {
            Reading::Transfer { solids_sd, .. } => Some(*solids_sd),
            _ => None,
        });
        let mut known = Self::prior(sealer, solids_sd.unwrap_or(0.0), model)?;
        for reading in readings {
            match reading {
                Reading::Can { rate_g_s, relative_sd, .. } => {
                    known = known.updated([1.0, 0.0, 0.0], libm::log(*rate_g_s), *relative_sd);
                }
                Reading::Transfer { rate_g_s, share_at_15cm, relative_sd, .. } => {
                    known = known.updated([1.0; 3], libm::log(rate_g_s * share_at_15cm), *relative_sd);
                }
                _ => {}
            }
        }
        Some(known)
    }

    /// After a reading of a sum of the logarithms with its standard deviation `s` (normal distributions, closed form):
    /// `S = hᵀΣh + s²`, `μ' = μ + Σh (y − hᵀμ)/S`, `Σ' = Σ − Σh hᵀΣ/S`.
    fn updated(self, sum_of: [f64; 3], value: f64, sd: f64) -> Self {
        let along: [f64; 3] = std::array::from_fn(|row| (0..3).map(|k| self.covariance[row][k] * sum_of[k]).sum());
        let spread = (0..3).map(|k| sum_of[k] * along[k]).sum::<f64>() + sd * sd;
        let off = value - (0..3).map(|k| sum_of[k] * self.mean[k]).sum::<f64>();
        Self {
            mean: std::array::from_fn(|row| self.mean[row] + along[row] * off / spread),
            covariance: std::array::from_fn(|row| {
                std::array::from_fn(|k| self.covariance[row][k] - along[row] * along[k] / spread)
            }),
        }
    }

    fn one(&self, place: usize) -> LogNormal {
        LogNormal { mu: self.mean[place], sigma: libm::sqrt(self.covariance[place][place].max(0.0)) }
    }

    /// The rate at 22 °C, g/s.
    pub(super) fn rate(&self) -> LogNormal {
        self.one(RATE)
    }

    /// The share that stays at 15 cm.
    pub(super) fn stays(&self) -> LogNormal {
        self.one(STAYS)
    }

    /// What a card would show as the share that stays if the rate is taken as `rate_g_s`.
    pub(super) fn shown_by_a_card(&self, rate_g_s: f64, solids_sd: f64) -> LogNormal {
        let mut variance: f64 = self.covariance.iter().flatten().sum();
        if self.covariance[SOLIDS][SOLIDS] == 0.0 {
            variance += solids_sd * solids_sd;
        }
        LogNormal { mu: self.mean.iter().sum::<f64>() - libm::log(rate_g_s), sigma: libm::sqrt(variance.max(0.0)) }
    }

    /// How the rate and the share that stays hang together: the correlation of their logarithms.
    pub(super) fn correlation(&self) -> f64 {
        let both = self.rate().sigma * self.stays().sigma;
        if both > 0.0 { (self.covariance[RATE][STAYS] / both).clamp(-1.0, 1.0) } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn readings_of_one_figure_are_those_of_one_distribution() {
        let one = LogNormal { mu: -0.1, sigma: 0.16 };
        let mut covariance = [[0.0; 3]; 3];
        covariance[RATE][RATE] = 0.16 * 0.16;
        covariance[STAYS][STAYS] = 0.01;
        let joint = Joint { mean: [-0.1, -0.4, 0.0], covariance }.updated([1.0, 0.0, 0.0], libm::log(1.1), 0.06);
        let alone = one.updated(1.1, 0.06);
        assert_relative_eq!(joint.rate().mu, alone.mu, max_relative = 1e-12);
        assert_relative_eq!(joint.rate().sigma, alone.sigma, max_relative = 1e-12);
        assert_relative_eq!(joint.stays().sigma, 0.1, max_relative = 1e-12);
        assert_relative_eq!(joint.correlation(), 0.0);
    }

    #[test]
    fn a_sure_sum_leaves_each_unknown_and_the_two_opposed() {
        let mut covariance = [[0.0; 3]; 3];
        covariance[RATE][RATE] = 0.04;
        covariance[STAYS][STAYS] = 0.04;
        let joint = Joint { mean: [0.0; 3], covariance }.updated([1.0; 3], 0.2, 1e-6);
        assert_relative_eq!(joint.rate().mu, 0.1, max_relative = 1e-6);
        assert_relative_eq!(joint.rate().sigma, 0.2 / libm::sqrt(2.0), max_relative = 1e-6);
        assert_relative_eq!(joint.correlation(), -1.0, max_relative = 1e-6);
    }
}
