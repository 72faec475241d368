//! An answer on hold: it is shown with what holds it, and nothing is begun.

use crate::cli::common::Format;
use crate::cli::{Context, Exit, Failure, output};
use crate::finding::{Finding, Level};
use crate::report::{Look, wrap};

/// Shows it: for programs the whole document, for people the short answer and every reason. `else_what` says what
/// can be done instead.
pub(super) fn show(
    json: impl FnOnce() -> String,
    short: impl FnOnce(&Look) -> String,
    findings: &[Finding],
    else_what: &str,
    context: &Context,
) -> Result<Exit, Failure> {
    if context.format == Format::Json {
        output::raw(context, &json())?;
        return Ok(Exit::of(Level::Hold, context.exit_zero));
    }
    let look = Look { quiet: true, ..context.look() };
    let mut text = short(&look);
    for hold in findings.iter().filter(|finding| finding.level == Level::Hold) {
        let remedy = hold.remedy.as_ref().map(|remedy| format!(". {remedy}")).unwrap_or_default();
        for line in wrap(&look.clean(&format!("{}{remedy}", hold.text)), look.columns() - 2) {
            text = text + "  " + &line + "\n";
        }
    }
    let last = format!("Nothing was begun. {else_what}; `--rehearse 60x` tries it out.");
    for line in wrap(&last, look.columns()) {
        text = text + &line + "\n";
    }
    output::text(context, &text)?;
    Ok(Exit::of(Level::Hold, context.exit_zero))
}
