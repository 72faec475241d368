//! What becomes allowed later, in order of the clock.

use maud::{Markup, html};

use super::when::when;
use crate::plan::{Milestone, Plan};
use crate::report::look::Look;
use crate::report::words::{moment, sentence};

/// The list.
pub(super) fn list(plan: &Plan, look: &Look) -> Markup {
    let mut milestones: Vec<&Milestone> = plan.milestones.iter().collect();
    milestones.sort_by_key(|milestone| {
        let at = milestone.at.as_ref().and_then(|at| moment(look, at)).map(|at| at.timestamp());
        (at.is_none(), at)
    });
    let handle = plan.handle_at.as_ref().filter(|_| !milestones.iter().any(|milestone| milestone.id == "handle"));
    // Without a single time the list says too little to take room on paper.
    let timeless = handle.is_none() && milestones.iter().all(|milestone| milestone.at.is_none());
    html! {
        @if handle.is_some() || !milestones.is_empty() {
            section class=(if timeless { "milestones timeless" } else { "milestones" }) {
                h2 { "What is allowed when" }
                dl {
                    @if let Some(at) = handle {
                        div { dt { (when(plan, look, at)) } dd { "Handle by the edges." } }
                    }
                    @for milestone in milestones {
                        div {
                            dt { @match &milestone.at { Some(at) => { (when(plan, look, at)) } None => { "later" } } }
                            dd { (text(&milestone.text)) }
                        }
                    }
                }
            }
        }
    }
}

/// What is allowed; how long that is after the last coat stands apart, since paper has the time beside it.
fn text(words: &str) -> Markup {
    match words.rsplit_once(": ") {
        Some((what, after)) if after.ends_with("after the last coat") => {
            html! { (what) span class="after" { ": " (after) } }
        }
        _ => html! { (sentence(words)) },
    }
}
