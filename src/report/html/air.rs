//! The air in words beside its curve: when to leave and come back, how full the limits are, the mask.

use maud::{Markup, html};

use crate::diagnostic::and_list;
use crate::plan::Plan;
use crate::quantity::number;
use crate::report::look::Look;
use crate::report::words::{after_the_last_coat as after, fullness, per_cent, sentence};

/// The words; nothing if the plan has no review of the air.
pub(super) fn words(plan: &Plan, look: &Look) -> Markup {
    let Some(air) = &plan.air else { return html! {} };
    let mask = &air.respirator;
    html! {
        section class="breathing" {
            h2 { "Back in the air: " (air.verdict.word().to_uppercase()) }
            p { (leave(plan)) " as soon as a coat is on." }
            dl {
                div { dt { "You, mask on" } dd { (after(air.return_masked_min)) } }
                div { dt { "You, no mask" } dd { (after(air.clear_unmasked_min)) } }
                div { dt { "Children, pregnancy, asthma, pets, birds" } dd { (after(air.clear_others_min)) } }
                div { dt { "Exposure limit at your face, over 15 minutes" } dd { (fullness(air.index_15min)) } }
                div { dt { "Explosive limit at your face, at worst" } dd { (per_cent(air.lel_near_pct)) } }
            }
            p {
                (sentence(&format!("Mask: {}; {}; {}", mask.kind, mask.cartridge, mask.prefilter)))
                @if !mask.not_held.is_empty() { " It does not hold " (and_list(&mask.not_held)) "." }
                @if let Some(hours) = mask.cartridge_life_h {
                    " Its cartridges last about " (number((hours * 10.0).round() / 10.0)) " h by rule of thumb."
                }
                @if let Some(needed) = air.airflow_needed_m3_h {
                    " With " (look.units.air_flow(needed)) " of fresh air it would be a plain go."
                }
            }
        }
    }
}

/// What stands instead on a sheet of an evening with other pages.
pub(super) fn with_others() -> Markup {
    html! {
        section class="breathing" {
            h2 { "Back in the air" }
            p { "Other pages are sprayed in the same room: who may be in it when stands on the first page of the evening." }
        }
    }
}

/// What to do as soon as a coat is on.
pub(super) fn leave(plan: &Plan) -> &'static str {
    if plan.room.volume_m3.is_none() && plan.room.air_changes_per_h.is_none() {
        "Step away, upwind,"
    } else {
        "Leave the room"
    }
}
