//! The coat table, and how to spray.

use maud::{Markup, html};

use super::when::when;
use crate::finding::Level;
use crate::plan::{Coat, Plan};
use crate::quantity::minutes_in_words;
use crate::report::look::Look;
use crate::report::plan_text::{coat_by_coat, from_labels, in_general, with_handling};
use crate::report::words::{distance_pair, film, film_in_words, pass_count, per_cent, seconds};

/// The coats, one a row; on a narrow screen each row becomes a card.
pub(super) fn table(plan: &Plan, look: &Look) -> Markup {
    let title = if plan.verdict == Level::Hold { "Coats, once nothing holds the page back" } else { "Coats" };
    let coats = with_handling(plan);
    let timed = coats.iter().any(|coat| coat.starts_at.is_some());
    html! {
        section class="coats" {
            h2 { (title) }
            @if coats.is_empty() {
                p { "None are planned for this page as it is." }
            } @else {
                table {
                    thead { tr {
                        th scope="col" { "Coat" }
                        @if timed { th scope="col" { "Start" } }
                        th scope="col" { "One pass takes" }
                        th scope="col" { "Distance" }
                        th scope="col" { "Passes" }
                        th scope="col" { "Apart" }
                        th scope="col" { "Hand speed" }
                        th scope="col" { "Wet film" }
                        th scope="col" { "Then wait" }
                    } }
                    tbody { @for (at, coat) in coats.iter().enumerate() { (row(plan, coat, coats.get(at + 1), timed, look)) } }
                }
                (amount(plan, look))
            }
        }
    }
}

fn row(plan: &Plan, coat: &Coat, next: Option<&Coat>, timed: bool, look: &Look) -> Markup {
    let both = |centimetres: f64| {
        let (first, second) = distance_pair(look.units, centimetres);
        html! { (first) " " span class="twin" { (second) } }
    };
    let (wet, range) = film(look, coat.wet_film_um);
    let along = format!("along the {}", coat.direction.side());
    let leads_to = next.map_or_else(|| "to handle".to_owned(), |next| format!("to coat {}", next.number));
    html! {
        tr {
            th scope="row" { (coat.number) " " (coat.kind.word()) }
            @if timed {
                td data-label="Start" { @if let Some(at) = &coat.starts_at { (when(plan, look, at)) } }
            }
            td class="key" data-label="One pass takes" { (seconds(coat.seconds_per_pass)) }
            td class="key" data-label="Distance" { (both(coat.distance_cm)) }
            td data-label="Passes" { (coat.passes) " " span class="twin" { (along) } }
            td data-label="Apart" { (both(coat.step_over_cm)) }
            td data-label="Hand speed" { (look.units.speed(coat.pass_speed_cm_s)) }
            td data-label="Wet film" { (wet) @if let Some(range) = range { " " span class="twin" { (range) } } }
            td data-label="Then wait" {
                (minutes_in_words(i64::from(coat.wait_min))) " " span class="twin" { (leads_to) }
                @if let Some(by) = &coat.recoat_by {
                    " " span class="twin" { "next by " (when(plan, look, by)) " at the latest" }
                }
            }
        }
    }
}

/// What it takes out of the can, and the film in all.
fn amount(plan: &Plan, look: &Look) -> Markup {
    let share = plan.can_share_pct.map(|share| format!(", {} of a full can", per_cent(share))).unwrap_or_default();
    html! {
        p class="amount" {
            "Out of the can: " (look.units.mass(plan.sealer_total_g)) (share) "."
            @if let Some(dry) = plan.dry_film_total_um { " Dry film in all: " (film_in_words(look, dry)) "." }
        }
    }
}

/// How to spray, line by line.
pub(super) fn how(plan: &Plan, look: &Look) -> Markup {
    html! {
        @if !plan.coats.is_empty() {
            section class="how" {
                h2 { "How to spray" }
                ul {
                    @for line in in_general(plan) { li { (line) } }
                    // On paper the pass diagram says the same.
                    @for line in coat_by_coat(plan, look) { li class="strokes" { (line) } }
                    @for line in from_labels(plan) { li { (line) } }
                }
            }
        }
    }
}

/// A coat in one line, for the hand that holds the can.
pub(super) fn in_one_line(coat: &Coat, look: &Look) -> String {
    format!(
        "{} away; {} of {} along the {}, {} apart; start {}",
        look.units.distance(coat.distance_cm),
        pass_count(coat.passes),
        seconds(coat.seconds_per_pass),
        coat.direction.side(),
        look.units.distance(coat.step_over_cm),
        crate::report::words::plain_name(&coat.start_corner),
    )
}
