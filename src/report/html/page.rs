//! The document round one or more sheets.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::script::{SCRIPT, SCRIPT_HASH};
use super::sheet::sheet;
use super::{findings, head};
use crate::finding::{Finding, Level};
use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::svg;
use crate::report::words::sentence;

const STYLE: &str = include_str!("sheet.css");
const PRINT: &str = include_str!("print.css");

/// One plan of a document.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'p> {
    /// The plan.
    pub plan: &'p Plan,
    /// What tells it from others of the same evening, for instance `page 2 of 5, copy 1`. A sheet with a label says
    /// nothing of the air: with other pages sprayed in the same room its own times would promise too much.
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

/// What stands before the sheets of an evening.
#[derive(Debug, Clone, Copy)]
pub struct EveningHead<'e> {
    /// What the evening is called.
    pub title: &'e str,
    /// `go`, `care` or `hold`.
    pub verdict: Level,
    /// The answer in one line.
    pub answer: &'e str,
    /// What was noticed, the air of all pages together included.
    pub findings: &'e [Finding],
    /// The cautions in full.
    pub cautions: &'e [String],
    /// Who may be in the room when, what fits and what does not: sentences.
    pub notes: &'e [String],
    /// The steps in order of the clock.
    pub steps: &'e [Step],
}

/// The sheet of a plan, or those of an evening with its steps before them, each on a page of paper of its own.
pub fn sheets_html(evening: Option<&EveningHead<'_>>, sheets: &[Sheet<'_>], look: &Look) -> String {
    let title = match (evening, sheets) {
        (Some(evening), _) => evening.title,
        (None, [first, ..]) => &first.plan.page.title,
        (None, []) => "coatbell",
    };
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
                    @if let Some(head) = evening { (first_page(head, look)) }
                    @for (at, one) in sheets.iter().enumerate() { (sheet(one, at + 1, look)) }
                }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    svg::visible(&document.into_string()) + "\n"
}

/// The first page of an evening: the answer, the cautions, what to mind, the steps with boxes.
fn first_page(evening: &EveningHead<'_>, look: &Look) -> Markup {
    html! {
        article class="sheet evening" aria-labelledby="evening" {
            header class="top" {
                p class="printed" { "Written " (look.now.strftime("%A %-d %B %Y, %H:%M").to_string()) }
                h1 id="evening" { bdi { (evening.title) } }
            }
            div class="first" {
                (head::verdict(evening.verdict, evening.answer))
                (head::cautions(evening.cautions))
                (findings::points(evening.findings))
            }
            @if !evening.notes.is_empty() {
                section class="notes" {
                    h2 { "Air and order" }
                    ul { @for note in evening.notes { li { (sentence(note)) } } }
                }
            }
            section class="steps" {
                h2 { "The steps" }
                ol class="boxes" {
                    @for step in evening.steps {
                        li { label { input type="checkbox"; span { b { (step.at) } " " (step.text) } } }
                    }
                }
            }
        }
    }
}
