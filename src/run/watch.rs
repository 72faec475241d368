//! Telling a clock that was set from a computer that slept.

use jiff::{SignedDuration, Timestamp};

/// What the clocks show at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The clock on the wall.
    pub wall: Timestamp,
    /// Seconds of a clock that nobody can set and that goes on while the computer sleeps; absent where the system has
    /// none. Only differences mean something.
    pub steady_s: Option<f64>,
}

/// Compares the clock on the wall with the steady one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watch {
    last: Option<(Timestamp, f64)>,
    step_s: f64,
}

impl Watch {
    /// A watch that takes a difference of more than `step_s` seconds for a clock that was set.
    pub fn new(step_s: f64) -> Self {
        Self { last: None, step_s }
    }

    /// By how many seconds the clock was set since the last look, forward positive. `None` if it was not.
    pub fn look(&mut self, reading: Reading) -> Option<i64> {
        let Some(steady_s) = reading.steady_s else {
            self.last = None;
            return None;
        };
        let Some((wall, steady_before_s)) = self.last else {
            self.last = Some((reading.wall, steady_s));
            return None;
        };
        let passed_s = reading.wall.duration_since(wall).as_secs_f64();
        let by_s = passed_s - (steady_s - steady_before_s);
        if by_s.abs() <= self.step_s {
            return None;
        }
        // The rounding stays in the next comparison, so that it never adds up.
        let whole = by_s.round() as i64;
        let moved = wall.checked_add(SignedDuration::from_secs(whole)).unwrap_or(reading.wall);
        self.last = Some((moved, steady_before_s));
        Some(whole)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(wall_s: i64, steady_s: f64) -> Reading {
        Reading { wall: Timestamp::from_second(wall_s).unwrap(), steady_s: Some(steady_s) }
    }

    #[test]
    fn sleep_is_no_step_and_a_step_is_found_once() {
        let mut watch = Watch::new(2.0);
        assert_eq!(watch.look(at(1_000, 5.0)), None);
        assert_eq!(watch.look(at(1_001, 6.0)), None);
        // Forty minutes of sleep: both clocks went on.
        assert_eq!(watch.look(at(3_401, 2_406.0)), None);
        // Set back by an hour.
        assert_eq!(watch.look(at(3_401 - 3_600 + 1, 2_407.0)), Some(-3_600));
        assert_eq!(watch.look(at(3_401 - 3_600 + 2, 2_408.0)), None);
        // Set forward by ten minutes.
        assert_eq!(watch.look(at(3_401 - 3_600 + 603, 2_409.0)), Some(600));
        assert_eq!(watch.look(at(3_401 - 3_600 + 604, 2_410.0)), None);
    }

    #[test]
    fn without_a_steady_clock_nothing_is_claimed() {
        let mut watch = Watch::new(2.0);
        let blind = |wall_s| Reading { wall: Timestamp::from_second(wall_s).unwrap(), steady_s: None };
        assert_eq!(watch.look(blind(0)), None);
        assert_eq!(watch.look(blind(10_000)), None);
    }
}
