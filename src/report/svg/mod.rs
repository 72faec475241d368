//! The drawings of a plan: pass diagram, timeline, air curve and film build-up, each alone or inside the bench sheet.
//!
//! Every drawing is laid out for the width of a phone, so that its words stay legible there, and is enlarged
//! elsewhere. Nothing is said by colour alone: each line and area has its word, and a pattern or a shape of its own.

mod air;
mod axis;
mod film;
mod passes;
mod picture;
mod timeline;
mod words;

use maud::{PreEscaped, html};

use super::look::Look;
use crate::diagnostic::Problem;
use crate::plan::Plan;
pub(super) use picture::{Picture, inline, visible};

/// The colours and strokes of the drawings; a sheet that holds drawings has to carry it once.
pub(super) const STYLE: &str = include_str!("drawing.css");

/// Least width of a file, so that the words round a small drawing keep lines of a readable length.
const LEAST_WIDTH: f64 = 360.0;
/// Room round each drawing of a stack.
const GAP: f64 = 16.0;

/// One of the drawings of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drawing {
    /// Where the hand goes, coat by coat, to scale.
    Passes,
    /// What is wet, dry and due when, and who may be in the room.
    Timeline,
    /// How full the exposure limit is over time.
    Air,
    /// How thick the coats lie, with their ranges.
    Film,
}

impl Drawing {
    /// All of them, in the order of the sheet.
    pub const ALL: [Self; 4] = [Self::Passes, Self::Timeline, Self::Air, Self::Film];
}

/// The pictures of a drawing: one a coat pattern for the passes, else one; none if the plan has nothing to draw.
pub(super) fn pictures(plan: &Plan, look: &Look, drawing: Drawing) -> Vec<Picture> {
    match drawing {
        Drawing::Passes => passes::pictures(plan, look),
        Drawing::Timeline => timeline::picture(plan, look).into_iter().collect(),
        Drawing::Air => air::picture(plan, look).into_iter().collect(),
        Drawing::Film => film::picture(plan, look).into_iter().collect(),
    }
}

/// Drawings of a plan as one SVG file, one below the other.
///
/// # Errors
/// `nothing-to-draw` if the plan has no coats.
pub fn plan_svg(plan: &Plan, look: &Look, drawings: &[Drawing]) -> Result<String, Box<Problem>> {
    let pictures: Vec<Picture> = drawings.iter().flat_map(|drawing| pictures(plan, look, *drawing)).collect();
    if pictures.is_empty() {
        let problem = Problem::new("nothing-to-draw", "this plan has no coats, so there is nothing to draw");
        return Err(Box::new(problem.with_hint("`coatbell plan` without `--format svg` says what stops the page")));
    }
    let inner = pictures.iter().map(|picture| picture.width).fold(LEAST_WIDTH, f64::max);
    let width = inner + 2.0 * GAP;
    let verdict = plan.verdict.word().to_uppercase();
    let head = format!("{verdict}: {}", plan.answer);
    // A drawing travels alone, so the answer and the cautions travel with it.
    let above = words::paragraphs(inner, &plan.page.title, std::slice::from_ref(&head));
    let below = words::paragraphs(inner, "For your safety", &plan.cautions);
    let pictures = [above].into_iter().chain(pictures).chain([below]);
    let mut top = GAP;
    let mut placed = Vec::new();
    for picture in pictures {
        let below = top + picture.height + GAP;
        placed.push((((width - picture.width) / 2.0, top), picture));
        top = below;
    }
    let document = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {width:.0} {top:.0}"))
            width=(format!("{width:.0}")) height=(format!("{top:.0}")) role="img" {
            title { (plan.page.title) }
            desc { (head) }
            style { (PreEscaped(STYLE)) }
            rect class="ground" width="100%" height="100%" {}
            @for ((x, y), picture) in &placed {
                g transform=(format!("translate({x:.1} {y:.1})")) { (picture.body) }
            }
        }
    };
    Ok(visible(&document.into_string()) + "\n")
}
