//! The highest moment, the highest running mean and the last crossing of a timeline, by exact bracketing.

use super::timeline::Timeline;
use super::zone::Place;

/// Bisections: enough for a double.
const HALVINGS: usize = 60;

/// The point where a predicate that holds at `inside` and not at `outside` stops to hold, on the outer side.
fn edge(mut inside: f64, mut outside: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(inside, outside);
        if holds(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
        if (outside - inside).abs() <= 1e-7 {
            break;
        }
    }
    outside
}

impl Timeline {
    /// Moments that cut a stretch between two changes into pieces on which the concentration only rises or falls.
    fn turns(&self, place: Place, from_s: f64, to_s: f64) -> Vec<f64> {
        if !self.has_tails(from_s) {
            return self.turning_point(place, from_s, to_s).into_iter().collect();
        }
        // Fine near the beginning of the stretch, where fast modes act, and coarse later.
        let mut grid = vec![from_s];
        let mut width = 0.5_f64.min((to_s - from_s) / 8.0);
        while grid[grid.len() - 1] + width < to_s {
            grid.push(grid[grid.len() - 1] + width);
            width *= 1.15;
        }
        grid.push(to_s);
        let rises = |t: f64| self.slope(place, t) > 0.0;
        grid.windows(2)
            .filter(|pair| rises(pair[0]) != rises(pair[1]))
            .map(|pair| {
                let up = rises(pair[0]);
                edge(pair[0], pair[1], |t| rises(t) == up)
            })
            .collect()
    }

    /// Stretches between changes, from a moment to a horizon.
    fn stretches(&self, from_s: f64, horizon_s: f64) -> Vec<(f64, f64)> {
        let inner = self.changes().filter(|change| *change > from_s && *change < horizon_s);
        let cuts: Vec<f64> = std::iter::once(from_s).chain(inner).chain(std::iter::once(horizon_s)).collect();
        cuts.windows(2).map(|pair| (pair[0], pair[1])).filter(|(a, b)| b > a).collect()
    }

    /// The highest concentration up to a horizon.
    pub fn peak(&self, place: Place, horizon_s: f64) -> f64 {
        let begins = self.begins_s();
        self.stretches(begins, horizon_s.max(begins))
            .into_iter()
            .flat_map(|(from, to)| self.turns(place, from, to).into_iter().chain(std::iter::once(to)))
            .map(|t| self.at(place, t))
            .fold(self.at(place, begins), f64::max)
    }

    /// The highest mean over any window of a length that ends by a horizon.
    ///
    /// The mean turns where C(t) = C(t − window). Changes of the release at t or at t − window bound stretches on which
    /// that difference is again two exponentials; each is cut further so that no turn hides in it, and the turn is
    /// bisected.
    pub fn highest_mean(&self, place: Place, window_s: f64, horizon_s: f64) -> f64 {
        let begins = self.begins_s();
        let horizon = horizon_s.max(begins + window_s);
        let mut cuts: Vec<f64> = self
            .changes()
            .flat_map(|change| [change, change + window_s])
            .filter(|cut| *cut < horizon)
            .chain(std::iter::once(horizon))
            .collect();
        cuts.sort_unstable_by(f64::total_cmp);
        cuts.dedup();
        let grows = |t: f64| self.at(place, t) > self.at(place, t - window_s);
        let finest = window_s / 20.0;
        let mut highest = 0.0_f64;
        for pair in cuts.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            let mut width = finest;
            let mut left = from;
            let mut growing = grows(left + 1e-6 * (to - left));
            while left < to {
                let right = if left + width >= to { to } else { left + width };
                let after = grows(right);
                if growing && !after {
                    let turn = edge(left, right, grows);
                    highest = highest.max(self.mean(place, turn, window_s));
                }
                growing = after;
                left = right;
                // Fast modes act at the beginning of a stretch; later nothing turns quickly.
                width *= 1.3;
            }
            highest = highest.max(self.mean(place, to, window_s));
        }
        highest
    }

    /// How long after a moment the concentration comes down to a threshold for good, s: the last crossing counts, also
    /// where it rises again before. `None` if it is still at or above the threshold at the horizon.
    pub fn stays_below_after(&self, place: Place, threshold: f64, from_s: f64, horizon_s: f64) -> Option<f64> {
        let below = |t: f64| self.at(place, t) < threshold;
        if !below(horizon_s) {
            return None;
        }
        for (from, to) in self.stretches(from_s, horizon_s).into_iter().rev() {
            let mut points = self.turns(place, from, to);
            points.insert(0, from);
            points.push(to);
            for pair in points.windows(2).rev() {
                if !below(pair[0]) {
                    return Some(edge(pair[0], pair[1], |t| !below(t)) - from_s);
                }
            }
        }
        Some(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::super::release::{Sources, Step, Tail};
    use super::super::zone::Zones;
    use super::*;
    use approx::assert_relative_eq;

    fn pulse(at_s: f64) -> Step {
        Step { from_s: at_s, to_s: at_s + 1.0, rate: 1.0 }
    }

    #[test]
    fn peak_of_a_drying_film_in_one_room() {
        // C_p = (M/V)(n/k)^(−n/(n−k)) for a film drying with k in a room of n air changes (mass balance, closed form).
        let (n, k, volume) = (3.0 / 3600.0, 12.0 / 3600.0, 20.0);
        let sources = Sources { steps: vec![], tails: vec![Tail { from_s: 0.0, rate: k, decay_per_s: k }] };
        let line = Timeline::new(Zones::well_mixed(volume, n * volume), &sources);
        let expected = libm::pow(n / k, -n / (n - k)) / volume;
        assert_relative_eq!(line.peak(Place::Room, 86_400.0), expected, max_relative = 1e-9);
    }

    #[test]
    fn mean_of_a_pulse_is_highest_right_after_it() {
        // Pulse: mean over T is (M/(V n T))(1 − e^(−nT)); the pulse here lasts a second, so a little less.
        let (n, volume, window) = (4.0 / 3600.0, 20.0, 900.0);
        let sources = Sources { steps: vec![pulse(0.0)], tails: vec![] };
        let line = Timeline::new(Zones::well_mixed(volume, n * volume), &sources);
        let expected = -libm::expm1(-n * window) / (volume * n * window);
        assert_relative_eq!(line.highest_mean(Place::Room, window, 86_400.0), expected, max_relative = 1e-3);
    }

    #[test]
    fn the_last_crossing_counts() {
        let sources = Sources { steps: vec![pulse(0.0), pulse(4000.0)], tails: vec![] };
        let line = Timeline::new(Zones::well_mixed(10.0, 0.01), &sources);
        let wait = line.stays_below_after(Place::Room, 0.05, 10.0, 86_400.0).unwrap();
        assert!(wait > 3990.0);
        assert_relative_eq!(line.at(Place::Room, 10.0 + wait), 0.05, max_relative = 1e-6);
        assert!(line.stays_below_after(Place::Room, 1e-60, 10.0, 86_400.0).is_none());
    }

    #[test]
    fn means_against_brute_force() {
        let sources = Sources {
            steps: vec![
                Step { from_s: 0.0, to_s: 20.0, rate: 0.4 },
                Step { from_s: 700.0, to_s: 720.0, rate: 0.3 },
                Step { from_s: 720.0, to_s: 2400.0, rate: 0.002 },
            ],
            tails: vec![Tail { from_s: 20.0, rate: 0.01, decay_per_s: 1.0 / 400.0 }],
        };
        let line = Timeline::new(Zones::around_bench(20.0, 0.004, 0.8, 3.6), &sources);
        for (place, window) in [(Place::NearField, 60.0), (Place::NearField, 900.0), (Place::Room, 28_800.0)] {
            let brute = (0..200_000).map(|n| line.mean(place, f64::from(n) * 0.25, window)).fold(0.0, f64::max);
            let found = line.highest_mean(place, window, 86_400.0);
            assert!(found >= brute * (1.0 - 1e-9), "{found} {brute}");
            assert_relative_eq!(found, brute, max_relative = 1e-4);
        }
        let brute = (0..40_000).map(|n| line.at(Place::Room, f64::from(n) * 0.25)).fold(0.0, f64::max);
        assert_relative_eq!(line.peak(Place::Room, 86_400.0), brute, max_relative = 1e-6);
    }

    #[test]
    fn what_is_released_leaves_with_the_air() {
        let sources = Sources {
            steps: vec![pulse(0.0), Step { from_s: 30.0, to_s: 4000.0, rate: 0.001 }],
            tails: vec![Tail { from_s: 5.0, rate: 0.02, decay_per_s: 1.0 / 300.0 }],
        };
        let zones = Zones::around_bench(12.0, 0.01, 0.8, 3.6);
        let line = Timeline::new(zones, &sources);
        let late = 400_000.0;
        let left = zones.flow_m3_s() * line.integral(Place::Room, late);
        assert_relative_eq!(left, 1.0 + 3.97 + 6.0, max_relative = 1e-9);
        // ∫ C_N dt = M (1/Q + 1/β), β = π r² S.
        let beta = std::f64::consts::PI * 0.64 * 3.6 / 60.0;
        assert_relative_eq!(line.integral(Place::NearField, late), 10.97 * (100.0 + 1.0 / beta), max_relative = 1e-9);
    }

    #[test]
    fn series_agrees_with_single_moments() {
        let sources = Sources {
            steps: (0..20).map(|n| pulse(f64::from(n) * 301.3)).collect(),
            tails: (0..20).map(|n| Tail { from_s: f64::from(n) * 301.3, rate: 0.01, decay_per_s: 0.003 }).collect(),
        };
        let line = Timeline::new(Zones::around_bench(30.0, 0.02, 0.8, 3.6), &sources);
        for (n, (near, room)) in line.series(-5.0, 1.0, 7000).into_iter().enumerate() {
            let t = n as f64 - 5.0;
            assert_relative_eq!(near, line.at(Place::NearField, t), max_relative = 1e-10, epsilon = 1e-15);
            assert_relative_eq!(room, line.at(Place::Room, t), max_relative = 1e-10, epsilon = 1e-15);
        }
    }
}
