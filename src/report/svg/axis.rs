//! A time axis in minutes, labelled with clock times where the plan has them.

use jiff::{SignedDuration, ZonedDateTime};
use maud::{Markup, html};

use super::picture::{Held, line, n, text, together};
use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::words::moment;

/// Steps between labels, min.
const STEPS: [f64; 12] = [5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0, 2880.0, 10_080.0, 20_160.0];
/// Width kept free for one label.
const LABEL: f64 = 44.0;

/// Minutes of the clock drawn between two places.
#[derive(Debug, Clone)]
pub(super) struct TimeAxis {
    /// Where it begins.
    pub(super) left: f64,
    /// Where it ends.
    pub(super) right: f64,
    /// How many minutes it shows.
    pub(super) until_min: f64,
    /// The moment of its beginning, if the plan has one.
    pub(super) zero: Option<ZonedDateTime>,
}

impl TimeAxis {
    /// The place of a minute; what lies beyond the end is held there.
    pub(super) fn x(&self, minutes: f64) -> f64 {
        self.left + (minutes.clamp(0.0, self.until_min) / self.until_min) * (self.right - self.left)
    }

    /// What the clock shows then, or the time since the first coat.
    pub(super) fn label(&self, minutes: f64) -> String {
        match &self.zero {
            Some(zero) => {
                let at = later(zero, minutes);
                let format = if self.until_min > 2.0 * 1440.0 { "%a %-d" } else { "%H:%M" };
                at.strftime(format).to_string()
            }
            None => {
                let whole = minutes.round() as i64;
                format!("{}:{:02}", whole / 60, whole % 60)
            }
        }
    }

    /// The line at the foot with its labels, which begin at `y`, and faint lines up to `top`.
    pub(super) fn draw(&self, top: f64, y: f64) -> Markup {
        let mut marks = Vec::new();
        for minutes in self.ticks() {
            let x = self.x(minutes);
            marks.push(line("grid", (x, top), (x, y)));
            let held = if x + LABEL / 2.0 > self.right { Held::Right } else { Held::Middle };
            let x = if matches!(held, Held::Right) { self.right + 6.0 } else { x };
            marks.push(text(x, y + 14.0, held, "words small", &self.label(minutes)));
        }
        html! {
            line class="axis" x1=(n(self.left)) y1=(n(y)) x2=(n(self.right)) y2=(n(y)) {}
            (together(&marks))
        }
    }

    /// Minutes with a label: whole steps of the clock, with room between them.
    fn ticks(&self) -> Vec<f64> {
        let most = ((self.right - self.left) / LABEL).floor();
        let step = STEPS.into_iter().find(|step| self.until_min / step <= most).unwrap_or(self.until_min);
        let begin = match &self.zero {
            Some(zero) => {
                let past_midnight = f64::from(zero.hour()) * 60.0 + f64::from(zero.minute());
                (past_midnight / step).ceil() * step - past_midnight
            }
            None => 0.0,
        };
        let count = ((self.until_min - begin) / step).floor().clamp(0.0, 100.0) as usize;
        (0..=count).map(|at| begin + at as f64 * step).filter(|at| *at <= self.until_min).collect()
    }
}

/// A moment some minutes later.
pub(super) fn later(from: &ZonedDateTime, minutes: f64) -> ZonedDateTime {
    from.saturating_add(SignedDuration::from_secs((minutes * 60.0).round() as i64))
}

/// When each coat begins, in minutes from the first, and the moment of the first. Without times in the plan the coats
/// follow each other by their waits.
pub(super) fn begins(plan: &Plan, look: &Look) -> (Vec<f64>, Option<ZonedDateTime>) {
    let moments: Option<Vec<ZonedDateTime>> =
        plan.coats.iter().map(|coat| coat.starts_at.as_ref().and_then(|at| moment(look, at))).collect();
    if let Some(moments) = moments
        && let Some(first) = moments.first()
    {
        let minutes = |at: &ZonedDateTime| at.timestamp().duration_since(first.timestamp()).as_secs_f64() / 60.0;
        return (moments.iter().map(minutes).collect(), Some(first.clone()));
    }
    let mut at = 0.0;
    let mut begins = Vec::new();
    for coat in &plan.coats {
        begins.push(at);
        at += coat.spray_s / 60.0 + f64::from(coat.wait_min);
    }
    (begins, None)
}

/// When the page may be handled, in minutes from the first coat.
pub(super) fn handle_min(plan: &Plan, look: &Look, begins: &[f64], zero: Option<&ZonedDateTime>) -> f64 {
    let planned = plan.handle_at.as_ref().and_then(|at| moment(look, at)).zip(zero);
    let by_wait = begins
        .last()
        .zip(plan.coats.last())
        .map_or(0.0, |(begin, coat)| begin + coat.spray_s / 60.0 + f64::from(coat.wait_min));
    match planned {
        Some((at, zero)) => (at.timestamp().duration_since(zero.timestamp()).as_secs_f64() / 60.0).max(by_wait),
        None => by_wait,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axis(until_min: f64, zero: Option<&str>) -> TimeAxis {
        TimeAxis { left: 60.0, right: 350.0, until_min, zero: zero.map(|at| at.parse().unwrap()) }
    }

    #[test]
    fn labels_stand_at_whole_steps_of_the_clock() {
        let axis = axis(80.0, Some("2026-11-28T14:07[UTC]"));
        let labels: Vec<String> = axis.ticks().into_iter().map(|at| axis.label(at)).collect();
        assert_eq!(labels, ["14:15", "14:30", "14:45", "15:00", "15:15"]);
    }

    #[test]
    fn labels_keep_their_distance() {
        for until in [3.0, 30.0, 80.0, 300.0, 1500.0, 9000.0, 50_000.0] {
            let axis = axis(until, None);
            let places: Vec<f64> = axis.ticks().into_iter().map(|at| axis.x(at)).collect();
            assert!(!places.is_empty());
            assert!(places.windows(2).all(|pair| pair[1] - pair[0] >= LABEL - 0.1), "{until}: {places:?}");
        }
    }

    #[test]
    fn days_are_named_on_a_long_axis() {
        assert_eq!(axis(9000.0, Some("2026-11-28T14:07[UTC]")).label(1440.0), "Sun 29");
        assert_eq!(axis(90.0, None).label(75.0), "1:15");
    }
}
