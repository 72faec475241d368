//! The film build-up: how thick each coat lies wet and stays dry, with the range it could have, its limit, and the whole.

use maud::{Markup, html};

use super::picture::{Held, Picture, line, rect, text, together};
use crate::estimate::Quantiles;
use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::words::film;

const WIDTH: f64 = 360.0;
const LEFT: f64 = 66.0;
/// Where the scale ends; the figures stand behind it.
const RIGHT: f64 = 204.0;
const ROW: f64 = 36.0;

/// The picture; none without coats.
pub(super) fn picture(plan: &Plan, look: &Look) -> Option<Picture> {
    if plan.coats.is_empty() {
        return None;
    }
    let total = plan.dry_film_total_um;
    let most = plan
        .coats
        .iter()
        .map(|coat| coat.wet_film_um.p90.max(coat.cap_um))
        .chain(total.map(|total| total.p90))
        .fold(1.0_f64, f64::max);
    let x = |um: f64| LEFT + um.clamp(0.0, most) / most * (RIGHT - LEFT);
    let figures = |um: Quantiles| match film(look, um) {
        (one, Some(range)) => format!("{one} ({range})"),
        (one, None) => one,
    };
    let bar = |class: &str, y: f64, height: f64, um: Quantiles| {
        let middle = y + height / 2.0;
        html! {
            (rect(class, LEFT, y, x(um.p50) - LEFT, height))
            (line("range", (x(um.p10), middle), (x(um.p90), middle)))
            (line("range", (x(um.p10), middle - 3.0), (x(um.p10), middle + 3.0)))
            (line("range", (x(um.p90), middle - 3.0), (x(um.p90), middle + 3.0)))
        }
    };
    let rows: Vec<Markup> = plan
        .coats
        .iter()
        .enumerate()
        .map(|(at, coat)| {
            let y = 4.0 + at as f64 * ROW;
            let cap = x(coat.cap_um);
            html! {
                (text(2.0, y + 12.0, Held::Left, "words", &format!("{} {}", coat.number, coat.kind.word())))
                (bar("film-wet", y + 1.0, 13.0, coat.wet_film_um))
                (bar("film-dry", y + 17.0, 9.0, coat.dry_film_um))
                (line("cap", (cap, y - 1.0), (cap, y + 17.0)))
                (text(RIGHT + 8.0, y + 12.0, Held::Left, "words small", &figures(coat.wet_film_um)))
                (text(RIGHT + 8.0, y + 26.0, Held::Left, "words small quiet", &figures(coat.dry_film_um)))
            }
        })
        .collect();
    let below = 4.0 + plan.coats.len() as f64 * ROW + 4.0;
    let whole = total.map(|total| {
        html! {
            (line("axis", (2.0, below - 4.0), (WIDTH - 2.0, below - 4.0)))
            (text(2.0, below + 13.0, Held::Left, "words", "dry in all"))
            (bar("film-dry", below + 3.0, 12.0, total))
            (text(RIGHT + 8.0, below + 13.0, Held::Left, "words small head", &figures(total)))
        }
    });
    let legend = below + if whole.is_some() { 30.0 } else { 8.0 };
    let body = html! {
        (line("axis", (LEFT, 0.0), (LEFT, below + if whole.is_some() { 18.0 } else { -4.0 })))
        (together(&rows))
        @if let Some(whole) = whole { (whole) }
        (rect("film-wet", 4.0, legend, 16.0, 10.0)) (text(26.0, legend + 9.0, Held::Left, "words small", "wet"))
        (rect("film-dry", 60.0, legend, 16.0, 10.0)) (text(82.0, legend + 9.0, Held::Left, "words small", "dry"))
        (line("range", (116.0, legend + 5.0), (134.0, legend + 5.0)))
        (line("range", (116.0, legend + 2.0), (116.0, legend + 8.0)))
        (line("range", (134.0, legend + 2.0), (134.0, legend + 8.0)))
        (text(140.0, legend + 9.0, Held::Left, "words small", "8 in 10 tries"))
        (line("cap", (244.0, legend - 2.0), (244.0, legend + 12.0)))
        (text(250.0, legend + 9.0, Held::Left, "words small", "wet limit"))
    };
    let each: Vec<String> = plan
        .coats
        .iter()
        .map(|coat| {
            format!("coat {} {} wet, {} dry", coat.number, figures(coat.wet_film_um), figures(coat.dry_film_um))
        })
        .collect();
    let whole = total.map(|total| format!("; dry in all {}", figures(total))).unwrap_or_default();
    let words = format!("How thick the film gets: {}{whole}", each.join("; "));
    Some(Picture { width: WIDTH, height: legend + 18.0, words, body })
}
