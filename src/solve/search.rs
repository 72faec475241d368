//! Trying settings a hand can keep: whole centimetres of distance, half centimetres of step, cm/s of speed.

use crate::spray::{Samples, SprayField};

/// Step of the distance, cm.
const DISTANCE_STEP_CM: f64 = 1.0;
/// Step of the step-over, cm.
const STEP_STEP_CM: f64 = 0.5;
/// Step of the speed, cm/s.
const SPEED_STEP_CM_S: f64 = 1.0;
/// Slack that keeps rounding from tipping an exact value over to the next step.
const HAIR: f64 = 1e-9;

/// A range with the value a hand likes best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Liked {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) best: f64,
}

impl Liked {
    /// How far a value is from the liked one, in halves of the range.
    pub(super) fn strain(self, value: f64) -> f64 {
        let half = ((self.high - self.low) / 2.0).max(f64::MIN_POSITIVE);
        (value - self.best) / half
    }
}

/// Distances in whole centimetres, nearest first.
pub(super) fn distances(near_cm: f64, far_cm: f64) -> impl Iterator<Item = f64> {
    let first = libm::ceil(near_cm / DISTANCE_STEP_CM - HAIR) * DISTANCE_STEP_CM;
    let count = libm::floor((far_cm - first) / DISTANCE_STEP_CM + HAIR).max(0.0) as usize;
    (0..=count).map(move |n| first + n as f64 * DISTANCE_STEP_CM)
}

/// The widest step-over in half centimetres up to a bound, at least one half centimetre.
pub(super) fn widest_step(high_cm: f64) -> f64 {
    (libm::floor(high_cm / STEP_STEP_CM + HAIR) * STEP_STEP_CM).max(STEP_STEP_CM)
}

/// Step-overs in half centimetres within a range, the widest first; at least one.
pub(super) fn steps_from_widest(low_cm: f64, high_cm: f64) -> impl Iterator<Item = f64> {
    let widest = widest_step(high_cm);
    let count = libm::floor((widest - low_cm) / STEP_STEP_CM + HAIR).max(0.0) as usize;
    (0..=count).map(move |n| widest - n as f64 * STEP_STEP_CM)
}

/// A speed rounded up to what a hand is told, cm/s.
pub(super) fn speed_up(speed_cm_s: f64) -> f64 {
    libm::ceil(speed_cm_s / SPEED_STEP_CM_S - HAIR) * SPEED_STEP_CM_S
}

/// Scratch space of a search, so that no setting allocates.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    wet: Vec<f64>,
}

impl Scratch {
    /// The wet film, at a hand speed of 1 m/s, that the share of samples stays at or under, µm.
    pub(super) fn wet_quantile(
        &mut self,
        samples: &Samples<'_, '_>,
        field: &SprayField,
        step_cm: f64,
        share: f64,
    ) -> f64 {
        samples.wet_at_unit_speed(field, step_cm, &mut self.wet);
        self.rank(share)
    }

    /// The upper middle of the films just computed, so that an interpolated median is not above it.
    pub(super) fn upper_median(&mut self) -> f64 {
        let count = self.wet.len().max(1);
        self.rank((count / 2 + 1) as f64 / count as f64)
    }

    fn rank(&mut self, share: f64) -> f64 {
        if self.wet.is_empty() {
            return 0.0;
        }
        let count = self.wet.len();
        let rank = (libm::ceil(share * count as f64 - HAIR) as usize).clamp(1, count) - 1;
        *self.wet.select_nth_unstable_by(rank, f64::total_cmp).1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_all_whole_centimetres_of_a_range() {
        assert_eq!(distances(15.0, 20.0).collect::<Vec<_>>(), [15.0, 16.0, 17.0, 18.0, 19.0, 20.0]);
        assert_eq!(distances(14.2, 16.9).collect::<Vec<_>>(), [15.0, 16.0]);
        // What a conversion leaves behind moves neither end.
        let inch_cm = 100.0 * (0.1 + 0.2);
        assert_eq!(distances(inch_cm, inch_cm).collect::<Vec<_>>(), [30.0]);
    }

    #[test]
    fn a_value_at_the_end_of_its_range_is_one_half_range_off() {
        let liked = Liked { low: 30.0, high: 60.0, best: 45.0 };
        assert_eq!([30.0, 45.0, 52.5, 60.0].map(|value| liked.strain(value)), [-1.0, 0.0, 0.5, 1.0]);
    }

    #[test]
    fn a_share_of_samples_is_the_least_number_that_reaches_it() {
        let ranked = |share: f64| Scratch { wet: vec![4.0, 1.0, 3.0, 2.0, 5.0] }.rank(share);
        assert_eq!([0.0, 0.2, 0.21, 0.4, 0.8, 0.81, 1.0].map(ranked), [1.0, 1.0, 2.0, 2.0, 4.0, 5.0, 5.0]);
    }
}
