//! The times, one line each, in order of the clock.

use crate::diagnostic::sentence_start;
use crate::plan::{Coat, Plan};
use crate::report::look::Look;
use crate::report::words::{clock, moment, plain_name, sentence};
use crate::report::wrap::display_width;
use crate::report::writer::Writer;

/// Widest column of times; anything wider stands in front of its text.
const WIDEST: usize = 20;

/// Writes the section.
pub(super) fn write(writer: &mut Writer, plan: &Plan, look: &Look) {
    let mut lines: Vec<(String, String)> = Vec::new();
    for layer in plan.layers.iter().filter(|layer| layer.level > crate::finding::Level::Note) {
        let name = sentence_start(&plain_name(&layer.medium));
        lines.push(match &layer.ready_at {
            Some(at) => (clock(look, at), format!("{name} is ready.")),
            None => ("not yet".to_owned(), format!("{name}: still to be laid, or it never gets ready.")),
        });
    }
    lines.push(ready(plan, look));
    lines.extend(plan.coats.iter().filter_map(|coat| coat_line(coat, look)));
    if let Some(at) = &plan.handle_at
        && !plan.milestones.iter().any(|milestone| milestone.id == "handle")
    {
        lines.push((clock(look, at), "The page can be handled.".to_owned()));
    }
    let mut milestones: Vec<_> = plan.milestones.iter().collect();
    milestones.sort_by_key(|milestone| {
        milestone.at.as_ref().and_then(|at| moment(look, at)).map_or((true, None), |at| (false, Some(at.timestamp())))
    });
    for milestone in milestones {
        let at = milestone.at.as_ref().map_or_else(|| "later".to_owned(), |at| clock(look, at));
        lines.push((at, sentence(&milestone.text)));
    }
    writer.head("Times");
    let width = lines.iter().map(|(at, _)| display_width(at)).filter(|width| *width <= WIDEST).max().unwrap_or(0);
    for (at, text) in lines {
        writer.entry(width, &at, &text);
    }
}

fn ready(plan: &Plan, look: &Look) -> (String, String) {
    match &plan.ready_at {
        Some(at) if moment(look, at).is_some_and(|at| at <= look.now) => {
            ("now".to_owned(), "Every layer is ready for the spray.".to_owned())
        }
        Some(at) => (clock(look, at), "Every layer is ready for the spray.".to_owned()),
        None => ("not yet".to_owned(), "No time can be given while the page is as it is.".to_owned()),
    }
}

fn coat_line(coat: &Coat, look: &Look) -> Option<(String, String)> {
    let at = coat.starts_at.as_ref()?;
    let kind = coat.kind.word();
    let window = coat.recoat_by.as_ref().map(|by| format!("; the next coat by {} at the latest", clock(look, by)));
    Some((clock(look, at), format!("Coat {}, {kind}{}.", coat.number, window.unwrap_or_default())))
}
