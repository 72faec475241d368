//! The thresholds of ringing, out of the rules.

use crate::catalog::Rules;

/// The thresholds of ringing. Seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Before the first coat: the pre-flight list.
    pub prepare_s: i64,
    /// From here a coat is late.
    pub late_s: i64,
    /// Before a window closes.
    pub window_warning_s: i64,
    /// First reminder of an overdue coat.
    pub overdue_first_s: i64,
    /// Growth of the time between reminders.
    pub overdue_growth: f64,
    /// Longest time between reminders.
    pub overdue_longest_s: i64,
    /// Reminders of one overdue coat at most.
    pub overdue_most: u32,
    /// From here a reminder says how late it is.
    pub say_late_s: i64,
    /// A clock that is off by more was set.
    pub clock_step_s: f64,
    /// Time a notification service has.
    pub service_s: f64,
    /// Extra wait after blushing.
    pub blush_wait_s: i64,
    /// Extra wait after a mishap that leaves it wet, in planned waits.
    pub mishap_wait_factor: f64,
}

impl Pace {
    /// The thresholds of the rules.
    pub fn of(rules: &Rules) -> Self {
        let bell = &rules.bell;
        let minutes = |value: f64| (value * 60.0).round() as i64;
        Self {
            prepare_s: minutes(bell.prepare_min.get()),
            late_s: minutes(bell.late_min.get()),
            window_warning_s: minutes(bell.window_warning_min.get()),
            overdue_first_s: minutes(bell.overdue_first_min.get()),
            overdue_growth: bell.overdue_growth.get(),
            overdue_longest_s: minutes(bell.overdue_longest_min.get()),
            overdue_most: bell.overdue_most.get() as u32,
            say_late_s: bell.say_late_s.get().round() as i64,
            clock_step_s: bell.clock_step_s.get(),
            service_s: bell.service_s.get(),
            blush_wait_s: minutes(bell.blush_wait_min.get()),
            mishap_wait_factor: bell.mishap_wait_factor.get(),
        }
    }

    /// When the overdue reminders ring, s after the coat should have been sprayed.
    pub fn overdue_series(&self) -> impl Iterator<Item = i64> + '_ {
        let mut gap = self.overdue_first_s as f64;
        let mut at = 0.0;
        (0..self.overdue_most).map(move |_| {
            at += gap;
            gap = (gap * self.overdue_growth).min(self.overdue_longest_s as f64);
            at.round() as i64
        })
    }
}
