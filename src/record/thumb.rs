//! How a can dries against the model, from thumbs.
//!
//! What the model does not know is of two kinds: what stays the same from coat to coat (the air over the bench, the can)
//! and what is another with every coat (how thick the hand laid it). Thumbs teach the first; the second stays in the
//! range, however many coats were touched.

use super::{CanRecord, LogNormal, Reading};
use crate::catalog::ModelFigures;

/// z of the 90 % point of the standard normal.
const Z_90: f64 = 1.281_551_565_544_6;

/// Drying time over the modelled one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Drying {
    /// What stays the same, before and after the readings.
    same_before: LogNormal,
    same: LogNormal,
    /// Standard deviation of the logarithm from coat to coat.
    coat_sd: f64,
}

impl Drying {
    /// A model whose times are so wide (ln p90/p10), before any reading; as much too fast as too slow.
    fn prior(width: f64, model: &ModelFigures) -> Self {
        let total = width / (2.0 * Z_90);
        let coat_sd = model.measure.coat_variation.get().min(total);
        let same = LogNormal { mu: 0.0, sigma: libm::sqrt(total * total - coat_sd * coat_sd) };
        Self { same_before: same, same, coat_sd }
    }

    fn with(self, readings: &[&Reading]) -> Self {
        let same = readings.iter().fold(self.same, |known, reading| match reading {
            Reading::Drying { minutes, modelled_p50_min, relative_sd, .. } => known.updated(
                minutes / modelled_p50_min,
                libm::sqrt(relative_sd * relative_sd + self.coat_sd * self.coat_sd),
            ),
            _ => known,
        });
        Self { same, ..self }
    }

    /// With the readings of a can; `None` if there are none.
    pub(super) fn known(record: &CanRecord, model: &ModelFigures) -> Option<Self> {
        let thumbs = thumbs(record);
        let widths: Vec<f64> = thumbs.iter().filter_map(|reading| width(reading)).collect();
        let mean = widths.iter().sum::<f64>() / widths.len() as f64;
        (!widths.is_empty()).then(|| Self::prior(mean, model).with(&thumbs))
    }

    /// The minutes a thumb was to be expected to say, its own coat's difference included.
    pub(super) fn expected(reading: &Reading, record: &CanRecord, model: &ModelFigures) -> LogNormal {
        let modelled = match reading {
            Reading::Drying { modelled_p50_min, .. } => *modelled_p50_min,
            _ => 1.0,
        };
        let known = Self::prior(width(reading).unwrap_or(0.0), model).with(&thumbs(record)).now();
        LogNormal { mu: known.mu + libm::log(modelled), ..known }
    }

    /// The factor of the next coat, before any reading.
    pub(super) fn before(&self) -> LogNormal {
        self.next(self.same_before)
    }

    /// The factor of the next coat.
    pub(super) fn now(&self) -> LogNormal {
        self.next(self.same)
    }

    fn next(&self, same: LogNormal) -> LogNormal {
        LogNormal { mu: same.mu, sigma: libm::sqrt(same.sigma * same.sigma + self.coat_sd * self.coat_sd) }
    }

    /// Times over the modelled ones.
    pub(super) fn factor(&self) -> f64 {
        libm::exp(self.same.mu)
    }

    /// Width of what is left unknown over the model's own width.
    pub(super) fn narrowing(&self) -> f64 {
        let before = self.before().sigma;
        if before > 0.0 { (self.now().sigma / before).min(1.0) } else { 1.0 }
    }
}

fn thumbs(record: &CanRecord) -> Vec<&Reading> {
    record.measurements.iter().map(|one| &one.reading).filter(|reading| reading.word() == "drying").collect()
}

fn width(reading: &Reading) -> Option<f64> {
    match reading {
        Reading::Drying { modelled_p10_min, modelled_p90_min, .. } => {
            Some(libm::log(modelled_p90_min / modelled_p10_min))
        }
        _ => None,
    }
}
