//! The document round one or more sheets.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::script::{SCRIPT, SCRIPT_HASH};
use super::sheet::sheet;
use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::svg;

const STYLE: &str = include_str!("sheet.css");
const PRINT: &str = include_str!("print.css");

/// One plan of a document.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'p> {
    /// The plan.
    pub plan: &'p Plan,
    /// What tells it from others of the same evening, for instance `page 2 of 5, copy 1`.
    pub label: Option<&'p str>,
}

/// One line of an evening's list of steps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// When, as it is shown.
    pub at: String,
    /// What to do.
    pub text: String,
}

/// A document with a sheet for each plan, each on its own page of paper, and before them the steps of the evening.
pub fn sheets_html(title: &str, sheets: &[Sheet<'_>], steps: &[Step], look: &Look) -> String {
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{SCRIPT_HASH}'; style-src 'unsafe-inline'; base-uri 'none'; \
         form-action 'none'"
    );
    let document = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="referrer" content="no-referrer";
                meta name="generator" content=(concat!("coatbell ", env!("CARGO_PKG_VERSION")));
                title { (title) " - bench sheet" }
                style { (PreEscaped(svg::STYLE)) (PreEscaped(STYLE)) (PreEscaped(PRINT)) }
            }
            body {
                main {
                    @if !steps.is_empty() { (evening(title, steps, look)) }
                    @for (at, one) in sheets.iter().enumerate() { (sheet(one, at + 1, look)) }
                }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    svg::visible(&document.into_string()) + "\n"
}

/// The steps of an evening in order of the clock, with boxes.
fn evening(title: &str, steps: &[Step], look: &Look) -> Markup {
    html! {
        article class="sheet evening" aria-labelledby="evening" {
            header class="top" {
                p class="printed" { "coatbell, written " (look.now.strftime("%A %-d %B %Y, %H:%M").to_string()) }
                h1 id="evening" { bdi { (title) } }
            }
            section class="steps" {
                h2 { "The steps of the evening" }
                ol class="boxes" {
                    @for step in steps {
                        li { label { input type="checkbox"; span { b { (step.at) } " " (step.text) } } }
                    }
                }
            }
        }
    }
}
