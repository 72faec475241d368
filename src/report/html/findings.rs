//! What was noticed: what stops the page or wants care near the top, the rest at the end.

use maud::{Markup, html};

use crate::finding::{Finding, Level};
use crate::plan::Plan;
use crate::report::words::{grounds, plain_name, sentence};

/// What holds and what wants care, with what to do.
pub(super) fn points(findings: &[Finding]) -> Markup {
    let of = |level: Level| findings.iter().filter(move |finding| finding.level == level).collect::<Vec<_>>();
    let groups = [(Level::Hold, "What stops it", of(Level::Hold)), (Level::Care, "Points to mind", of(Level::Care))];
    html! {
        @if groups.iter().any(|(_, _, found)| !found.is_empty()) {
            div class="all-points" {
                @for (level, title, found) in groups {
                    @if !found.is_empty() {
                        section class=(format!("points {}", level.word())) {
                            h2 { (title) }
                            ul { @for finding in found { (point(finding)) } }
                        }
                    }
                }
            }
        }
    }
}

fn point(finding: &Finding) -> Markup {
    html! {
        li {
            b { (finding.level.word().to_uppercase()) } " " (sentence(&finding.text))
            @if let Some(remedy) = &finding.remedy { " " span class="remedy" { "To do: " (sentence(remedy)) } }
            " " span class="grounds" { "(" (grounds(finding.basis, finding.source.as_deref())) ")" }
        }
    }
}

/// Notes, what would change the answer, the other sealers, what to measure next. Not on paper.
pub(super) fn rest(plan: &Plan) -> Markup {
    let notes: Vec<&Finding> = plan.findings.iter().filter(|finding| finding.level <= Level::Note).collect();
    html! {
        div class="rest" {
            @if !notes.is_empty() {
                section {
                    h2 { "Good to know" }
                    ul { @for note in notes {
                        li { (sentence(&note.text)) @if let Some(remedy) = &note.remedy { " " (sentence(remedy)) } }
                    } }
                }
            }
            @if !plan.would_change.is_empty() {
                section {
                    h2 { "What would change the answer" }
                    ul { @for change in &plan.would_change { li { (sentence(&change.text)) } } }
                }
            }
            @if !plan.runners_up.is_empty() {
                section {
                    h2 { "Other sealers" }
                    ul { @for other in &plan.runners_up {
                        li { b { (plain_name(&other.sealer)) } " (" (other.verdict.word()) "): " (sentence(&other.reason)) }
                    } }
                }
            }
            @if let Some(narrow) = &plan.narrow_most {
                section {
                    h2 { "What would make this plan surer" }
                    p { (sentence(&crate::diagnostic::sentence_start(&narrow.measurement))) }
                    ol { @for step in &narrow.steps { li { (sentence(step)) } } }
                }
            }
        }
    }
}
