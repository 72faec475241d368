//! The air curve: how full the exposure limit is, at the face and in the room, over time and against the limit.

use maud::{Markup, html};

use super::axis::{TimeAxis, begins};
use super::picture::{Held, Picture, apart, line, polyline, text, together};
use crate::air::{AirReview, SeriesPoint};
use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::words::after_the_last_coat as after;

const WIDTH: f64 = 360.0;
const LEFT: f64 = 54.0;
const RIGHT: f64 = 348.0;
const TOP: f64 = 40.0;
const FOOT: f64 = 158.0;
/// Fullness at the foot of the picture.
const LEAST: f64 = 0.01;
/// Labelled levels.
const LEVELS: [(f64, &str); 6] =
    [(0.01, "1 %"), (0.1, "10 %"), (1.0, "limit"), (10.0, "10 ×"), (100.0, "100 ×"), (1000.0, "1000 ×")];
/// Points nearer to a straight line than this are left out.
const FINE: f64 = 0.35;

/// The picture; none without a curve.
pub(super) fn picture(plan: &Plan, look: &Look) -> Option<Picture> {
    let air = plan.air.as_ref()?;
    let until_min = air.series.last().map(|point| point.t_min).filter(|until| *until > 0.0)?;
    let (begins, zero) = begins(plan, look);
    let axis = TimeAxis { left: LEFT, right: RIGHT, until_min, zero };
    let most = air.series.iter().fold(2.0_f64, |most, point| most.max(point.near_index).max(point.room_index));
    let y = |index: f64| {
        let share = libm::log10(index.max(LEAST) / LEAST) / libm::log10(most * 1.25 / LEAST);
        FOOT - share * (FOOT - TOP)
    };
    let curve = |of: &dyn Fn(&SeriesPoint) -> f64| {
        thinned(&air.series.iter().map(|point| (axis.x(point.t_min), y(of(point)))).collect::<Vec<_>>())
    };
    let levels: Vec<Markup> = LEVELS
        .iter()
        .filter(|(level, _)| *level <= most * 1.25)
        .map(|(level, label)| {
            let limit = *level == 1.0;
            html! {
                (line(if limit { "limit" } else { "grid" }, (LEFT, y(*level)), (RIGHT, y(*level))))
                (text(LEFT - 5.0, (y(*level) + 4.0).min(FOOT), Held::Right, if limit { "words small head" } else { "words small" }, label))
            }
        })
        .collect();
    let marks = marks(air, plan, &begins, &axis);
    let body = html! {
        (line("face", (4.0, 10.0), (26.0, 10.0))) (text(32.0, 14.0, Held::Left, "words small", "at your face"))
        (line("room", (124.0, 10.0), (146.0, 10.0))) (text(152.0, 14.0, Held::Left, "words small", "in the room"))
        (line("limit", (238.0, 10.0), (260.0, 10.0))) (text(266.0, 14.0, Held::Left, "words small", "exposure limit"))
        (axis.draw(TOP, FOOT))
        (together(&levels))
        (polyline("face", &curve(&|point| point.near_index)))
        (polyline("room", &curve(&|point| point.room_index)))
        (marks.0)
    };
    let words = format!(
        "How full the exposure limit is over time: at worst {} at your face and {} in the room; {}",
        crate::report::words::fullness(air.series.iter().fold(0.0, |most, point| f64::max(most, point.near_index))),
        crate::report::words::fullness(air.room_index_peak),
        times(air).map(|(_, words)| words).join("; "),
    );
    Some(Picture { width: WIDTH, height: FOOT + 22.0 + marks.1, words, body })
}

/// The three times with their letters.
fn times(air: &AirReview) -> [(char, String); 3] {
    [
        ('M', format!("back with the mask on: {}", after(air.return_masked_min))),
        ('F', format!("free of the mask: {}", after(air.clear_unmasked_min))),
        ('O', format!("others may come in: {}", after(air.clear_others_min))),
    ]
}

/// Coats by number above the curve, the three times by letter below the axis, and what the letters mean.
fn marks(air: &AirReview, plan: &Plan, begins: &[f64], axis: &TimeAxis) -> (Markup, f64) {
    let coats: Vec<f64> = begins.iter().map(|begin| axis.x(*begin)).collect();
    let names: Vec<Markup> = apart(&coats, 11.0, RIGHT)
        .iter()
        .zip(&plan.coats)
        .map(|(x, coat)| text(*x, TOP - 6.0, Held::Middle, "words small", &coat.number.to_string()))
        .collect();
    let ticks: Vec<Markup> = coats.iter().map(|x| line("coat", (*x, TOP - 3.0), (*x, TOP + 5.0))).collect();
    let end = begins.last().zip(plan.coats.last()).map_or(0.0, |(begin, coat)| begin + coat.spray_s / 60.0);
    let times = times(air);
    let minutes = [air.return_masked_min, air.clear_unmasked_min, air.clear_others_min];
    let placed: Vec<(char, f64)> = times
        .iter()
        .zip(minutes)
        .filter_map(|((letter, _), minutes)| minutes.map(|minutes| (*letter, axis.x(end + f64::from(minutes)))))
        .collect();
    let places: Vec<f64> = placed.iter().map(|(_, x)| *x).collect();
    let letters: Vec<Markup> = apart(&places, 14.0, RIGHT)
        .iter()
        .zip(&placed)
        .map(|(x, (letter, at))| {
            html! {
                (line("coat", (*at, FOOT - 6.0), (*at, FOOT + 3.0)))
                (text(*x, FOOT + 32.0, Held::Middle, "words small head", &letter.to_string()))
            }
        })
        .collect();
    let row = |at: usize| FOOT + 52.0 + at as f64 * 15.0;
    let legend: Vec<Markup> = times
        .iter()
        .enumerate()
        .map(|(at, (letter, words))| {
            html! {
                (text(8.0, row(at), Held::Middle, "words small head", &letter.to_string()))
                (text(20.0, row(at), Held::Left, "words small", words))
            }
        })
        .collect();
    (together(&[together(&ticks), together(&names), together(&letters), together(&legend)]), 66.0)
}

/// The points of a curve without those that lie on the line between the last kept one and the next.
fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for (at, point) in points.iter().enumerate() {
        let on_line = match (kept.last(), points.get(at + 1)) {
            (Some(before), Some(after)) if after.0 > before.0 => {
                let share = (point.0 - before.0) / (after.0 - before.0);
                (before.1 + share * (after.1 - before.1) - point.1).abs() < FINE && after.0 - before.0 < 12.0
            }
            _ => false,
        };
        if !on_line {
            kept.push(*point);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_curve_keeps_its_ends_and_a_peak_its_top() {
        let straight: Vec<(f64, f64)> = (0..10).map(|at| (f64::from(at), 5.0)).collect();
        assert_eq!(thinned(&straight), [(0.0, 5.0), (9.0, 5.0)]);
        let peak = [(0.0, 100.0), (1.0, 100.0), (2.0, 20.0), (3.0, 60.0), (4.0, 100.0)];
        assert!(thinned(&peak).contains(&(2.0, 20.0)));
    }
}
