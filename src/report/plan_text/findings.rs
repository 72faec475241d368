//! What was noticed, grouped by weight, with what to do and what it stands on; the cautions; what would change it.

use crate::diagnostic::and_list;
use crate::finding::{Finding, Level};
use crate::plan::Plan;
use crate::report::look::Look;
use crate::report::words::{grounds, sentence};
use crate::report::writer::Writer;

/// Writes the findings.
pub(super) fn write(writer: &mut Writer, plan: &Plan, look: &Look) {
    noticed(writer, &plan.findings, look);
}

/// Writes any document's findings.
pub(in crate::report) fn noticed(writer: &mut Writer, findings: &[Finding], look: &Look) {
    if findings.is_empty() {
        return;
    }
    writer.head("What was noticed");
    let groups = [
        (Level::Hold, "HOLD: these stop the page"),
        (Level::Care, "CARE: can be done, with this in mind"),
        (Level::Note, "NOTE: good to know"),
    ];
    for (level, title) in groups {
        let mut found = findings.iter().filter(|finding| weight(finding) == level).peekable();
        if found.peek().is_none() {
            continue;
        }
        writer.level_head(level, title);
        for finding in found {
            writer.item(4, "•", &full(finding, look));
        }
    }
}

/// A finding's level; one that is marked `go` is shown as a note rather than lost.
fn weight(finding: &Finding) -> Level {
    finding.level.max(Level::Note)
}

fn full(finding: &Finding, look: &Look) -> String {
    let mut says = vec![sentence(&finding.text)];
    if weight(finding) == Level::Note && !look.verbose {
        return says.concat();
    }
    if let Some(remedy) = &finding.remedy {
        says.push(format!("→ {}", sentence(remedy)));
    }
    if look.verbose && !finding.layers.is_empty() {
        let noun = if finding.layers.len() == 1 { "layer" } else { "layers" };
        let places: Vec<String> = finding.layers.iter().map(ToString::to_string).collect();
        says.push(format!("[{noun} {} from the bottom]", and_list(&places)));
    }
    says.push(format!("({})", grounds(finding.basis, finding.source.as_deref())));
    says.join(" ")
}

/// Writes the cautions in full.
pub(in crate::report) fn cautions(writer: &mut Writer, cautions: &[String]) {
    if cautions.is_empty() {
        return;
    }
    writer.head("For your safety");
    for caution in cautions {
        writer.bullet(&sentence(caution));
    }
}

/// Writes what would change the answer.
pub(super) fn would_change(writer: &mut Writer, plan: &Plan) {
    if plan.would_change.is_empty() {
        return;
    }
    writer.head("What would change the answer");
    for change in &plan.would_change {
        writer.bullet(&sentence(&change.text));
    }
}
