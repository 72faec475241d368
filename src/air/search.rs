//! The highest moment, the highest running mean and the last crossing of a timeline, by exact bracketing.

use super::timeline::Timeline;
use super::zone::Place;

/// Bisections: enough for a double.
const HALVINGS: usize = 60;
/// How closely a crossing is found, s.
const CROSSING_S: f64 = 1e-7;
/// How closely the turn of a running mean is found, s. A mean is flat where it turns: a thousandth of a second aside
/// changes it by less than a part in 10⁹.
const TURN_S: f64 = 1e-3;

/// The point where a predicate that holds at `inside` and not at `outside` stops to hold, on the outer side.
fn edge(mut inside: f64, mut outside: f64, close_s: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(inside, outside);
        if holds(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
        if (outside - inside).abs() <= close_s {
            break;
        }
    }
    outside
}

/// A stretch between two changes of the release: which one it is, and where it begins and ends.
type Stretch = (usize, f64, f64);

impl Timeline {
    /// Moments that cut a stretch between two changes into pieces on which the concentration only rises or falls.
    fn turns(&self, place: Place, (stretch, from_s, to_s): Stretch) -> Vec<f64> {
        if !self.has_tails(stretch) {
            return self.turning_point(place, stretch, from_s, to_s).into_iter().collect();
        }
        // Fine near the beginning of the stretch, where fast modes act, and coarse later.
        let mut grid = vec![from_s];
        let mut width = 0.5_f64.min((to_s - from_s) / 8.0);
        while grid[grid.len() - 1] + width < to_s {
            grid.push(grid[grid.len() - 1] + width);
            width *= 1.15;
        }
        grid.push(to_s);
        let rises = |t: f64| self.slope_in(place, stretch, t) > 0.0;
        grid.windows(2)
            .filter(|pair| rises(pair[0]) != rises(pair[1]))
            .map(|pair| {
                let up = rises(pair[0]);
                edge(pair[0], pair[1], CROSSING_S, |t| rises(t) == up)
            })
            .collect()
    }

    /// Stretches between changes, from a moment on to a horizon; none of them before the beginning.
    fn stretches(&self, from_s: f64, horizon_s: f64) -> Vec<Stretch> {
        let ends = self.changes().skip(1).chain(std::iter::once(f64::INFINITY));
        self.changes()
            .zip(ends)
            .enumerate()
            .map(|(stretch, (from, to))| (stretch, from.max(from_s), to.min(horizon_s)))
            .filter(|(_, from, to)| to > from)
            .collect()
    }

    /// The highest concentration up to a horizon.
    pub fn peak(&self, place: Place, horizon_s: f64) -> f64 {
        let begins = self.begins_s();
        self.stretches(begins, horizon_s.max(begins))
            .into_iter()
            .map(|whole| {
                let (stretch, from, to) = whole;
                let inside = self.turns(place, whole).into_iter().chain([from, to]);
                inside.map(|t| self.at_in(place, Some(stretch), t)).fold(0.0, f64::max)
            })
            .fold(self.at(place, begins), f64::max)
    }

    /// The highest mean over any window of a length that ends by a horizon.
    ///
    /// The mean turns where C(t) = C(t − window). Changes of the release at t or at t − window bound stretches on which
    /// that difference is again two exponentials; each is cut further so that no turn hides in it, and the turn is
    /// bisected. Both ends of the window are followed from stretch to stretch, and the mean itself is computed only
    /// where it turns down, and at the horizon.
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
        let gain = |front, back, t| self.at_in(place, front, t) - self.at_in(place, back, t - window_s);
        // What the window gains at its front over what it loses at its back; at a cut one of them is at a change, where
        // the state is known.
        let gains: Vec<(Option<usize>, Option<usize>, f64)> = cuts
            .iter()
            .scan((None, None), |(front, back), cut| {
                *front = self.stretch_from(*front, *cut);
                *back = self.stretch_with_delay(*back, *cut, window_s);
                Some((*front, *back, gain(*front, *back, *cut)))
            })
            .collect();
        let finest = window_s / 20.0;
        let mut highest = 0.0_f64;
        for (cut, ends) in cuts.windows(2).zip(gains.windows(2)) {
            let (from, to) = (cut[0], cut[1]);
            let (front, back, at_cut) = ends[0];
            let grows = |t: f64| gain(front, back, t) > 0.0;
            // Where nothing was and nothing is yet, a moment later tells which way it goes.
            let mut growing = if at_cut == 0.0 { grows(from + 1e-6 * (to - from)) } else { at_cut > 0.0 };
            let mut width = finest;
            let mut left = from;
            while left < to {
                let ends_here = left + width >= to;
                let right = if ends_here { to } else { left + width };
                let grows_on = if ends_here { ends[1].2 > 0.0 } else { grows(right) };
                if growing && !grows_on {
                    highest = highest.max(self.mean(place, edge(left, right, TURN_S, grows), window_s));
                }
                growing = grows_on;
                left = right;
                // Fast modes act at the beginning of a stretch; later nothing turns quickly.
                width *= 1.3;
            }
        }
        highest.max(self.mean(place, horizon, window_s))
    }

    /// The stretch of the moment that lies a delay before another, looked for from one known to be no later. Changes are
    /// delayed as the cuts of [`Self::highest_mean`] are, so that rounding does not put a cut on the wrong side.
    fn stretch_with_delay(&self, stretch: Option<usize>, t_s: f64, delay_s: f64) -> Option<usize> {
        let known = stretch.map_or(0, |index| index + 1);
        let passed = self.changes_from(known).take_while(|change| change + delay_s <= t_s).count();
        (known + passed).checked_sub(1)
    }

    /// How long after a moment the concentration comes down to a threshold for good, s: the last crossing counts, also
    /// where it rises again before. `None` if it is still at or above the threshold at the horizon.
    pub fn stays_below_after(&self, place: Place, threshold: f64, from_s: f64, horizon_s: f64) -> Option<f64> {
        if self.at(place, horizon_s) >= threshold {
            return None;
        }
        for whole in self.stretches(from_s, horizon_s).into_iter().rev() {
            let (stretch, from, to) = whole;
            let reached = |t: f64| self.at_in(place, Some(stretch), t) >= threshold;
            let mut points = self.turns(place, whole);
            points.insert(0, from);
            points.push(to);
            for pair in points.windows(2).rev() {
                if reached(pair[0]) {
                    return Some(edge(pair[0], pair[1], CROSSING_S, reached) - from_s);
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
        let sources = Sources::from_parts(vec![], vec![Tail { from_s: 0.0, rate: k, decay_per_s: k }]);
        let line = Timeline::new(Zones::well_mixed(volume, n * volume), &sources);
        let expected = libm::pow(n / k, -n / (n - k)) / volume;
        assert_relative_eq!(line.peak(Place::Room, 86_400.0), expected, max_relative = 1e-9);
    }

    #[test]
    fn mean_of_a_pulse_is_highest_right_after_it() {
        // Pulse: mean over T is (M/(V n T))(1 − e^(−nT)); the pulse here lasts a second, so a little less.
        let (n, volume, window) = (4.0 / 3600.0, 20.0, 900.0);
        let sources = Sources::from_parts(vec![pulse(0.0)], vec![]);
        let line = Timeline::new(Zones::well_mixed(volume, n * volume), &sources);
        let expected = -libm::expm1(-n * window) / (volume * n * window);
        assert_relative_eq!(line.highest_mean(Place::Room, window, 86_400.0), expected, max_relative = 1e-3);
    }

    #[test]
    fn the_last_crossing_counts() {
        let sources = Sources::from_parts(vec![pulse(0.0), pulse(4000.0)], vec![]);
        let line = Timeline::new(Zones::well_mixed(10.0, 0.01), &sources);
        let wait = line.stays_below_after(Place::Room, 0.05, 10.0, 86_400.0).unwrap();
        assert!(wait > 3990.0);
        assert_relative_eq!(line.at(Place::Room, 10.0 + wait), 0.05, max_relative = 1e-6);
        assert!(line.stays_below_after(Place::Room, 1e-60, 10.0, 86_400.0).is_none());
    }

    #[test]
    fn means_against_brute_force() {
        let sources = Sources::from_parts(
            vec![
                Step { from_s: 0.0, to_s: 20.0, rate: 0.4 },
                Step { from_s: 700.0, to_s: 720.0, rate: 0.3 },
                Step { from_s: 720.0, to_s: 2400.0, rate: 0.002 },
            ],
            vec![Tail { from_s: 20.0, rate: 0.01, decay_per_s: 1.0 / 400.0 }],
        );
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
        let sources = Sources::from_parts(
            vec![pulse(0.0), Step { from_s: 30.0, to_s: 4000.0, rate: 0.001 }],
            vec![Tail { from_s: 5.0, rate: 0.02, decay_per_s: 1.0 / 300.0 }],
        );
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
        let sources = Sources::from_parts(
            (0..20).map(|n| pulse(f64::from(n) * 301.3)).collect(),
            (0..20).map(|n| Tail { from_s: f64::from(n) * 301.3, rate: 0.01, decay_per_s: 0.003 }).collect(),
        );
        let line = Timeline::new(Zones::around_bench(30.0, 0.02, 0.8, 3.6), &sources);
        for (n, (near, room)) in line.series(-5.0, 1.0, 7000).into_iter().enumerate() {
            let t = n as f64 - 5.0;
            assert_relative_eq!(near, line.at(Place::NearField, t), max_relative = 1e-10, epsilon = 1e-15);
            assert_relative_eq!(room, line.at(Place::Room, t), max_relative = 1e-10, epsilon = 1e-15);
        }
    }

    #[test]
    fn peaks_against_brute_force() {
        // Steps and drying films over one another: what is highest lies inside a stretch, at an end, or at the horizon.
        let sources = Sources::from_parts(
            vec![
                Step { from_s: 0.0, to_s: 15.0, rate: 0.5 },
                Step { from_s: 900.0, to_s: 1000.0, rate: 0.05 },
                Step { from_s: 1000.0, to_s: 4000.0, rate: 0.004 },
            ],
            vec![
                Tail { from_s: 15.0, rate: 0.02, decay_per_s: 1.0 / 900.0 },
                Tail { from_s: 1000.0, rate: 0.03, decay_per_s: 1.0 / 250.0 },
            ],
        );
        for (volume, flow) in [(20.0, 0.004), (6.0, 0.02), (60.0, 0.3)] {
            let line = Timeline::new(Zones::around_bench(volume, flow, 0.8, 3.6), &sources);
            for (place, horizon) in
                [(Place::Room, 900), (Place::Room, 1500), (Place::Room, 8000), (Place::NearField, 8000)]
            {
                let brute = (0..=horizon * 4).map(|n| line.at(place, f64::from(n) * 0.25)).fold(0.0, f64::max);
                let found = line.peak(place, f64::from(horizon));
                assert!(found >= brute * (1.0 - 1e-9), "{found} {brute}");
                assert_relative_eq!(found, brute, max_relative = 1e-4);
            }
        }
    }

    #[test]
    fn after_a_long_release_the_room_turns_where_brute_force_finds_it() {
        // The room goes on rising for a while after the release at the bench has ended; how long depends on how far each
        // mode had got by then.
        for (volume, flow) in [(20.0, 0.004), (6.0, 0.02), (60.0, 0.3)] {
            for to_s in [3.0, 20.0, 60.0, 180.0] {
                let sources = Sources::from_parts(vec![Step { from_s: 0.0, to_s, rate: 0.1 }], vec![]);
                let line = Timeline::new(Zones::around_bench(volume, flow, 0.8, 3.6), &sources);
                let brute = (0..12_000)
                    .map(|n| f64::from(n) * 0.05)
                    .max_by(|one, other| line.at(Place::Room, *one).total_cmp(&line.at(Place::Room, *other)));
                let turn_s = brute.expect("a moment");
                assert!(turn_s > to_s, "{volume} m³, {to_s} s: {turn_s}");
                let found = line.turning_point(Place::Room, 1, to_s, 1200.0).expect("it turns");
                assert!((found - turn_s).abs() < 0.06, "{volume} m³, {to_s} s: {found}, not {turn_s}");
                assert_relative_eq!(
                    line.peak(Place::Room, 86_400.0),
                    line.at(Place::Room, found),
                    max_relative = 1e-12
                );
                assert_eq!(line.turning_point(Place::Room, 1, to_s, turn_s - 0.1), None);
                assert_eq!(line.turning_point(Place::Room, 1, turn_s + 0.1, 1200.0), None);
            }
        }
    }
}
