//! What stands first: whose sheet this is, the answer, the cautions.

use maud::{Markup, html};

use super::page::Sheet;
use super::when::day;
use crate::finding::Level;
use crate::report::look::Look;
use crate::report::plan_text::room_in_words;
use crate::report::words::{plain_name, sentence, sheet_size};

/// The title, the page, the sealer, the room.
pub(super) fn top(one: &Sheet<'_>, id: &str, look: &Look) -> Markup {
    let plan = one.plan;
    let finish = plan.page.finish.as_deref().map(|finish| format!(", {finish} finish")).unwrap_or_default();
    let size = sheet_size(look.units, plan.page.width_cm, plan.page.height_cm);
    html! {
        header class="top" {
            p class="printed" {
                (day(plan, look)) ". Written " (look.now.strftime("%-d %b %H:%M").to_string())
                @if let Some(label) = one.label { "; " (label) }
            }
            h1 id=(id) { bdi { (plan.page.title) } }
            dl class="facts" {
                dt { "Page" } dd { (size) ", " (plain_name(&plan.page.paper)) (finish) }
                dt { "Sealer" } dd { bdi { (plan.sealer.name) } }
                dt { "Room" } dd { (room_in_words(&plan.room, look)) }
            }
        }
    }
}

/// The verdict with its word, its shape and its one line.
pub(super) fn verdict(level: Level, answer: &str) -> Markup {
    let word = level.word();
    html! {
        section class=(format!("verdict {word}")) aria-label="The answer" {
            p class="word" { (sign(level)) (word.to_uppercase()) }
            p class="answer" { (sentence(answer)) }
        }
    }
}

/// A shape for each verdict, so that it is told without colour: a disc, a triangle, an octagon.
fn sign(level: Level) -> Markup {
    html! {
        svg class="sign" viewBox="0 0 24 24" aria-hidden="true" {
            @match level {
                Level::Hold => { path d="M8 2h8l6 6v8l-6 6H8l-6-6V8z" {} }
                Level::Care => { path d="M12 2 23 21H1z" {} }
                Level::Go | Level::Note => { circle cx="12" cy="12" r="10" {} }
            }
        }
    }
}

/// The cautions in full.
pub(super) fn cautions(cautions: &[String]) -> Markup {
    html! {
        section class="cautions" {
            h2 { "For your safety" }
            ul { @for caution in cautions { li { (sentence(caution)) } } }
        }
    }
}
