//! The timeline: each coat wet, drying and waited for, and who may be in the room.

use maud::{Markup, html};

use super::axis::{TimeAxis, begins, handle_min};
use super::picture::{Held, Picture, line, n, rect, text, together};
use crate::plan::{AirReview, Coat, Plan};
use crate::report::look::Look;
use crate::report::words::moment;

const WIDTH: f64 = 360.0;
const LEFT: f64 = 66.0;
const RIGHT: f64 = 350.0;
const ROW: f64 = 30.0;
const BAR: f64 = 16.0;
/// Height of a line of the legend.
const LEGEND: f64 = 16.0;

/// The picture; none without coats.
pub(super) fn picture(plan: &Plan, look: &Look) -> Option<Picture> {
    let (begins, zero) = begins(plan, look);
    let handle = handle_min(plan, look, &begins, zero.as_ref());
    if begins.is_empty() || handle <= 0.0 {
        return None;
    }
    let axis = TimeAxis { left: LEFT, right: RIGHT, until_min: handle, zero };
    let rows = begins.len();
    let room_row = plan.air.is_some();
    let foot = 6.0 + (rows + usize::from(room_row)) as f64 * ROW + 4.0;
    let coats: Vec<Markup> = (0..rows).map(|at| coat_row(plan, at, &begins, &axis, look)).collect();
    let room = plan.air.as_ref().map(|air| room_row_of(air, plan, &begins, &axis, 6.0 + rows as f64 * ROW));
    let legend = legend(plan, room_row, foot + 30.0);
    let body = html! {
        (axis.draw(4.0, foot))
        (together(&coats))
        @if let Some(room) = room { (room) }
        (legend.0)
    };
    let words = format!(
        "When each coat is sprayed, how long it is wet and how long to wait: {}; then handle the page at {}",
        plan.coats
            .iter()
            .zip(&begins)
            .map(|(coat, begin)| format!("coat {} at {}", coat.number, axis.label(*begin)))
            .collect::<Vec<_>>()
            .join(", "),
        axis.label(handle),
    );
    Some(Picture { width: WIDTH, height: foot + 26.0 + legend.1, words, body })
}

/// One coat: wet until it is touch-dry, then drying until the next is due; the mark where its window closes.
fn coat_row(plan: &Plan, at: usize, begins: &[f64], axis: &TimeAxis, look: &Look) -> Markup {
    let coat = &plan.coats[at];
    let y = 6.0 + at as f64 * ROW;
    let begin = begins[at];
    let due = begins.get(at + 1).copied().unwrap_or(axis.until_min);
    let touch = coat.touch_dry_min.map_or(begin, |touch| (begin + touch.p50).min(due));
    let (x, x_touch, x_due) = (axis.x(begin), axis.x(touch), axis.x(due));
    let wet_width = (x_touch - x).max(2.0);
    html! {
        (text(2.0, y + 11.0, Held::Left, "words", &format!("{} {}", coat.number, coat.kind.word())))
        (text(2.0, y + 23.0, Held::Left, "words small quiet", &axis.label(begin)))
        (rect("drying", x, y + 3.0, x_due - x, BAR))
        (rect("wet", x, y + 3.0, wet_width, BAR))
        (line("due", (x_due, y), (x_due, y + BAR + 6.0)))
        @if let Some(closes) = closes_min(coat, axis, look) {
            (line("closes", (axis.x(closes), y), (axis.x(closes), y + BAR + 6.0)))
        }
    }
}

/// When the recoat window of a coat closes, in minutes from the first coat.
fn closes_min(coat: &Coat, axis: &TimeAxis, look: &Look) -> Option<f64> {
    let by = moment(look, coat.recoat_by.as_ref()?)?;
    let zero = axis.zero.as_ref()?;
    Some(by.timestamp().duration_since(zero.timestamp()).as_secs_f64() / 60.0)
}

/// Who may be in the room, after each coat as if it were the last.
fn room_row_of(air: &AirReview, plan: &Plan, begins: &[f64], axis: &TimeAxis, y: f64) -> Markup {
    let mut parts = Vec::new();
    for (at, coat) in plan.coats.iter().enumerate() {
        let end = begins[at] + coat.spray_s / 60.0;
        let next = begins.get(at + 1).copied().unwrap_or(axis.until_min);
        let last = at + 1 == begins.len();
        let back = coat.return_masked_min.map_or(next, |minutes| (end + f64::from(minutes)).min(next));
        let back = if last {
            air.return_masked_min.map_or(next, |minutes| (end + f64::from(minutes)).min(next))
        } else {
            back
        };
        let clear = |minutes: Option<u32>| match minutes {
            Some(minutes) if last => (end + f64::from(minutes)).min(next),
            _ => next,
        };
        let (unmasked, others) = (clear(air.clear_unmasked_min), clear(air.clear_others_min));
        let mut span = |class: &str, from: f64, to: f64| {
            if to > from {
                parts.push(rect(class, axis.x(from), y + 3.0, axis.x(to) - axis.x(from), BAR));
            }
        };
        span("room-out", begins[at], back);
        span("room-mask", back, unmasked.max(back));
        span("room-free", unmasked.max(back), others.max(unmasked));
        span("room-all", others.max(unmasked), next);
    }
    html! {
        (text(2.0, y + 15.0, Held::Left, "words", "Room"))
        (together(&parts))
    }
}

/// What each area and mark means, and the height it takes.
fn legend(plan: &Plan, room: bool, top: f64) -> (Markup, f64) {
    let mut entries = vec![("wet", "wet: touch nothing"), ("drying", "drying: wait"), ("due", "next coat, or handle")];
    if plan.coats.iter().any(|coat| coat.recoat_by.is_some()) {
        entries.push(("closes", "window closes"));
    }
    if room {
        entries.extend([
            ("room-out", "out of the room"),
            ("room-mask", "you, mask on"),
            ("room-free", "you, no mask"),
            ("room-all", "everyone"),
        ]);
    }
    let column = (WIDTH - 8.0) / 2.0;
    let marks: Vec<Markup> = entries
        .iter()
        .enumerate()
        .map(|(at, (class, words))| {
            let (x, y) = (4.0 + (at % 2) as f64 * column, top + (at / 2) as f64 * LEGEND);
            html! {
                @if matches!(*class, "due" | "closes") {
                    line class=(class) x1=(n(x + 8.0)) y1=(n(y - 2.0)) x2=(n(x + 8.0)) y2=(n(y + 10.0)) {}
                } @else {
                    (rect(class, x, y - 1.0, 16.0, 10.0))
                }
                (text(x + 22.0, y + 8.0, Held::Left, "words small", words))
            }
        })
        .collect();
    (together(&marks), entries.len().div_ceil(2) as f64 * LEGEND)
}
