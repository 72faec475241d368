//! What a drying coat gives to the air over time.

/// Share of everything that evaporates after which a point of the curve is kept.
const KEPT_SHARE: f64 = 0.08;

/// Factor on the time after which a point is kept in the tail.
const KEPT_FACTOR: f64 = 4.0;

/// Share that must have left for a point to be kept in the tail.
const TAIL_SHARE: f64 = 1e-4;

/// What is left of every substance over time: straight between the points, about 12 to 20 of them.
#[derive(Debug, Clone, PartialEq)]
pub struct ReleaseCurve<'c> {
    /// Ids of the substances.
    pub substances: Vec<&'c str>,
    /// Times since the coat landed, s, rising from 0.
    pub times_s: Vec<f64>,
    /// What is left at each time, g/m²: one list a time, in the order of the substances. The last is what the film
    /// still holds when the curve ends.
    pub left_g_m2: Vec<Vec<f64>>,
}

impl<'c> ReleaseCurve<'c> {
    /// A curve at its start.
    pub(super) fn new(substances: Vec<&'c str>, laid_g_m2: Vec<f64>) -> Self {
        Self { substances, times_s: vec![0.0], left_g_m2: vec![laid_g_m2] }
    }

    /// Adds a moment if enough has left since the last point, or if it is the last moment.
    pub(super) fn add(&mut self, seconds: f64, left_g_m2: &[f64], last: bool) {
        let (Some(time), Some(before)) = (self.times_s.last(), self.left_g_m2.last()) else { return };
        let laid: f64 = self.left_g_m2[0].iter().sum();
        let left: f64 = before.iter().zip(left_g_m2).map(|(before, now)| before - now).sum();
        let enough =
            left >= KEPT_SHARE * laid || (*time > 0.0 && seconds >= KEPT_FACTOR * time && left >= TAIL_SHARE * laid);
        if seconds > *time && (last || enough) {
            self.times_s.push(seconds);
            // Nothing comes back: what the solver is off by in a minor liquid is not a release.
            let falling = before.iter().zip(left_g_m2).map(|(before, now)| now.min(*before)).collect();
            self.left_g_m2.push(falling);
        }
    }

    /// What one substance gave to the air until a time, g/m².
    pub fn released_g_m2(&self, substance: usize, seconds: f64) -> f64 {
        self.left_g_m2[0][substance] - self.left_at(substance, seconds)
    }

    /// How long one substance stays in the film on average, s: ∫ left dt over what was laid. What the film still holds
    /// at the end of the curve counts as gone then. Nothing laid stays no time.
    pub fn mean_stay_s(&self, substance: usize) -> f64 {
        let laid = self.left_g_m2[0][substance];
        if laid <= 0.0 {
            return 0.0;
        }
        let area: f64 = self
            .times_s
            .windows(2)
            .zip(self.left_g_m2.windows(2))
            .map(|(times, left)| (times[1] - times[0]) * f64::midpoint(left[0][substance], left[1][substance]))
            .sum();
        area / laid
    }

    /// What is left of one substance at a time, g/m².
    fn left_at(&self, substance: usize, seconds: f64) -> f64 {
        let next = self.times_s.partition_point(|&time| time <= seconds);
        let before = next.saturating_sub(1);
        let left = self.left_g_m2[before][substance];
        match (self.times_s.get(next), self.left_g_m2.get(next)) {
            (Some(time), Some(later)) => {
                let share = (seconds - self.times_s[before]) / (time - self.times_s[before]);
                left + share.clamp(0.0, 1.0) * (later[substance] - left)
            }
            _ => left,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_comes_back() {
        let mut curve = ReleaseCurve::new(vec!["acetone", "xylene"], vec![10.0, 1.0]);
        curve.add(10.0, &[5.0, 1.001], false);
        assert_eq!(curve.left_g_m2[1], [5.0, 1.0]);
    }

    #[test]
    fn straight_between_points() {
        let mut curve = ReleaseCurve::new(vec!["acetone"], vec![10.0]);
        curve.add(1.0, &[9.9], false);
        curve.add(10.0, &[5.0], false);
        curve.add(30.0, &[1.0], true);
        assert_eq!(curve.times_s, [0.0, 10.0, 30.0]);
        assert!((curve.released_g_m2(0, 5.0) - 2.5).abs() < 1e-12);
        assert!((curve.released_g_m2(0, 20.0) - 7.0).abs() < 1e-12);
        assert!((curve.released_g_m2(0, 1e6) - 9.0).abs() < 1e-12);
    }

    #[test]
    fn what_leaves_evenly_stays_half_the_time() {
        let mut curve = ReleaseCurve::new(vec!["acetone"], vec![10.0]);
        curve.add(10.0, &[5.0], false);
        curve.add(20.0, &[0.0], true);
        assert!((curve.mean_stay_s(0) - 10.0).abs() < 1e-12);
    }
}
