//! One plan as a sheet.

use maud::{Markup, html};

use super::page::Sheet;
use super::{air, checks, coats, findings, head, live, milestones};
use crate::diagnostic::escape_untrusted;
use crate::finding::{Finding, Level};
use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::svg::{Drawing, inline, pictures};

/// The sheet of a plan; `number` tells the sheets of a document apart.
pub(super) fn sheet(one: &Sheet<'_>, number: usize, look: &Look) -> Markup {
    let alone;
    let plan = if one.label.is_some() {
        alone = without_air(one.plan);
        &alone
    } else {
        one.plan
    };
    let id = |part: &str| format!("s{number}-{part}");
    let class = format!("sheet density-{}", density(plan));
    html! {
        article class=(class) data-sheet="" aria-labelledby=(id("title")) {
            (head::top(one, &id("title"), look))
            div class="first" {
                (head::verdict(plan.verdict, &plan.answer))
                (head::cautions(&plan.cautions))
                (findings::points(&plan.findings))
            }
            (live::panel(plan, one.label, look))
            (coats::table(plan, look))
            div class="columns" {
                (drawn(plan, look, Drawing::Passes, "Where the hand goes"))
                div class="main" {
                    (coats::how(plan, look))
                    (checks::list(plan))
                }
                div class="side" {
                    (drawn(plan, look, Drawing::Timeline, "When"))
                    (milestones::list(plan, look))
                    (drawn(plan, look, Drawing::Air, "The air"))
                    @if one.label.is_some() { (air::with_others()) } @else { (air::words(plan, look)) }
                    (drawn(plan, look, Drawing::Film, "How thick"))
                }
            }
            (findings::rest(plan))
            footer {
                p { "coatbell " (plan.version) ": estimates from published figures, your can's label and common practice. "
                    "It cannot know your can, your hand or your room; the label, the safety data sheet and your own "
                    "scrap test come first." }
            }
        }
    }
}

/// The plan without the air of this page alone, which other pages in the same room make worse.
fn without_air(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.air = None;
    plan.coats.iter_mut().for_each(|coat| coat.return_masked_min = None);
    plan
}

/// A section with a drawing, if there is something to draw.
fn drawn(plan: &Plan, look: &Look, drawing: Drawing, title: &str) -> Markup {
    let pictures = pictures(plan, look, drawing);
    let class = match drawing {
        Drawing::Passes => "passes",
        Drawing::Timeline => "timeline",
        Drawing::Air => "air",
        Drawing::Film => "film",
    };
    html! {
        @if !pictures.is_empty() {
            section class=(class) {
                h2 { (title) }
                div class=(format!("figures count-{}", pictures.len().min(6))) {
                    @for picture in &pictures { (inline(picture)) }
                }
            }
        }
    }
}

/// How tight a plan is set on paper so that it fits one page: from 0 (largest type) to 7 (smallest, fewest drawings).
fn density(plan: &Plan) -> usize {
    // Measured on every example page in every room: what still fits a Letter page at each step, less two lines.
    const MOST: [usize; 7] = [60, 62, 65, 72, 81, 87, 94];
    let lines = lines_on_paper(plan);
    MOST.iter().position(|most| lines <= *most).unwrap_or(MOST.len())
}

/// Lines of about 60 letters a plan takes on paper, drawings counted by their height.
fn lines_on_paper(plan: &Plan) -> usize {
    let letters = |text: &str| escape_untrusted(text).chars().count();
    let lines = |text: &str| letters(text) / 70 + 1;
    let held = plan.verdict == Level::Hold;
    let serious = plan.findings.iter().filter(|finding| finding.level >= Level::Care);
    let point = |finding: &Finding| {
        let remedy = finding.remedy.as_deref().filter(|_| !held || finding.level == Level::Hold);
        lines(&format!("{} {}", finding.text, remedy.unwrap_or_default()))
    };
    let points: usize = serious.map(point).sum();
    let cautions: usize = plan.cautions.iter().map(|caution| lines(caution)).sum();
    // The cautions stand beside the points, which take the whole width below them.
    let first = if points > cautions { cautions + (points - cautions) * 2 / 3 } else { cautions };
    let first = first + lines(&plan.answer) + 2;
    let checks: usize = plan.preflight.iter().map(|check| letters(&check.text) / 45 + 1).sum();
    let facts = letters(&plan.sealer.name) + letters(&plan.page.paper) + plan.page.finish.as_deref().map_or(0, letters);
    let title = letters(&plan.page.title) / 40 + facts / 60;
    let labels: usize = plan.coats.iter().map(|coat| coat.label_applied.len()).max().unwrap_or(0);
    let drawings = match plan.coats.len() {
        0 => 0,
        1..=3 => 38,
        // The timeline and the film grow by a row a coat.
        coats => 44 + 2 * (coats - 4),
    };
    title + first + plan.coats.len() * 3 / 2 + labels + drawings + checks / 3
}
