//! The pre-flight list, with boxes that work on a screen and on paper.

use maud::{Markup, html};

use crate::plan::Plan;
use crate::report::words::sentence;

/// The list.
pub(super) fn list(plan: &Plan) -> Markup {
    html! {
        @if !plan.preflight.is_empty() {
            section class="checks" data-checks="" {
                h2 tabindex="-1" { "Check before the first coat" }
                ul class="boxes" {
                    @for check in &plan.preflight {
                        li { label { input type="checkbox" data-check=(check.id); span { (sentence(&check.text)) } } }
                    }
                }
            }
        }
    }
}
