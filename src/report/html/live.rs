//! What the script of a sheet works with, and the panel it brings to life.

use maud::{Markup, PreEscaped, html};
use serde::Serialize;

use super::base64::base64;
use super::coats::in_one_line;
use super::when::milliseconds;
use crate::diagnostic::escape_untrusted;
use crate::finding::Level;
use crate::plan::Plan;
use crate::report::calendar::{identity, plan_ics};
use crate::report::look::Look;
use crate::report::plan_text::with_handling;

/// One coat as the script counts it.
#[derive(Debug, Serialize)]
struct LiveCoat {
    name: String,
    line: String,
    starts_ms: Option<i64>,
    wait_min: u32,
    /// From the start of this coat until its recoat window closes, min.
    window_min: Option<f64>,
    back_min: Option<u32>,
    passes: usize,
    pass_s: f64,
}

/// One sheet as the script counts it.
#[derive(Debug, Serialize)]
struct Live {
    id: String,
    title: String,
    /// What to do as soon as a coat is on.
    leave: &'static str,
    /// Whether no other page is sprayed in the same room.
    alone: bool,
    coats: Vec<LiveCoat>,
    back_min: Option<u32>,
    unmasked_min: Option<u32>,
    others_min: Option<u32>,
}

/// The panel: hidden without script and on paper. A plan on hold has none: nobody is to spray by it.
pub(super) fn panel(plan: &Plan, label: Option<&str>, look: &Look) -> Markup {
    let calendar = calendar(plan, look);
    if plan.verdict == Level::Hold || plan.coats.is_empty() {
        return html! {
            section class="live still" {
                p { b { "On hold: nothing to spray yet." } " Put right what stops it, then print a new sheet." }
                (calendar)
            }
        };
    }
    html! {
        section class="live" data-live="" {
            h2 { "At the bench" }
            div class="running" data-running="" hidden {
                p class="now" data-now="" {}
                p class="clock" data-clock="" role="timer" {}
                p class="line" data-line="" {}
                p class="back" data-back="" {}
                p class="warn" data-warn="" role="status" {}
                button type="button" class="sprayed" data-sprayed="" {}
                div class="buttons" {
                    button type="button" data-undo="" hidden { "Undo" }
                    button type="button" data-beat="" { "Beat of the passes" }
                    button type="button" data-sound="" { "Sound on: try it" }
                    button type="button" data-silence="" hidden { "Silence" }
                }
                p class="said" data-said="" role="status" {}
                ol class="log" data-log="" hidden {}
            }
            p class="keep" { "Keep the screen on; the calendar file is the alarm that always rings." }
            (calendar)
            script type="application/json" data-plan="" { (PreEscaped(data(plan, label, look))) }
        }
    }
}

/// The calendar as a link that holds the file.
fn calendar(plan: &Plan, look: &Look) -> Markup {
    let Ok(ics) = plan_ics(plan, look) else { return html! {} };
    let href = format!("data:text/calendar;charset=utf-8;base64,{}", base64(ics.as_bytes()));
    let held = if plan.verdict == Level::Hold { ", marked ON HOLD" } else { "" };
    html! {
        p class="calendar" {
            a data-calendar="" download=(file_name(&plan.page.title)) href=(href) { "Calendar file of this plan" (held) }
            " " span data-moved="" {}
        }
    }
}

/// A file name from a title: letters, digits and hyphens.
fn file_name(title: &str) -> String {
    let plain: String =
        title.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).take(40).collect();
    let plain = plain.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
    if plain.is_empty() { "coatbell.ics".to_owned() } else { format!("{}.ics", plain.to_lowercase()) }
}

/// The data as JSON that no markup can end: `<`, `>` and `&` are written as escapes.
fn data(plan: &Plan, label: Option<&str>, look: &Look) -> String {
    let coats = with_handling(plan);
    let minutes = |from: Option<i64>, to: Option<i64>| from.zip(to).map(|(from, to)| (to - from) as f64 / 60_000.0);
    let coats: Vec<LiveCoat> = coats
        .iter()
        .map(|coat| {
            let starts_ms = milliseconds(coat.starts_at.as_ref());
            LiveCoat {
                name: format!("coat {}, {}", coat.number, coat.kind.word()),
                line: escape_untrusted(&in_one_line(coat, look)),
                starts_ms,
                wait_min: coat.wait_min,
                window_min: minutes(starts_ms, milliseconds(coat.recoat_by.as_ref())),
                back_min: coat.return_masked_min,
                passes: coat.passes,
                pass_s: (coat.seconds_per_pass * 100.0).round() / 100.0,
            }
        })
        .collect();
    let starts: Vec<&str> = plan.coats.iter().filter_map(|coat| coat.starts_at.as_deref()).collect();
    let written = look.now.timestamp().to_string();
    let parts = [plan.page.title.as_str(), &plan.sealer.id, &written, label.unwrap_or_default()];
    let air = plan.air.as_ref();
    let live = Live {
        id: identity(parts.into_iter().chain(starts)),
        title: escape_untrusted(&plan.page.title),
        leave: super::air::leave(plan),
        alone: label.is_none(),
        coats,
        back_min: air.and_then(|air| air.return_masked_min),
        unmasked_min: air.and_then(|air| air.clear_unmasked_min),
        others_min: air.and_then(|air| air.clear_others_min),
    };
    let json = serde_json::to_string(&live).unwrap_or_else(|_| "null".to_owned());
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_are_tame() {
        assert_eq!(file_name("Lantern carp, No. 2"), "lantern-carp-no-2.ics");
        assert_eq!(file_name("../../etc/<script>"), "etc-script.ics");
        assert_eq!(file_name("\u{202E}!!"), "coatbell.ics");
    }
}
