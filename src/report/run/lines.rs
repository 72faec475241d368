//! What happens in a run, line by line.

use jiff::tz::TimeZone;
use serde::Serialize;

use crate::caution;
use crate::input::iso;
use crate::report::look::Look;
use crate::report::wrap::wrap;
use crate::run::Notice;

/// Something said, as text for a pipe: its moment, what, and below what to do.
pub fn notice_text(notice: &Notice, look: &Look) -> String {
    let zoned = notice.at.to_zoned_datetime(look.now.time_zone().clone());
    let format = if zoned.date() == look.now.date() { "%H:%M:%S" } else { "%a %H:%M" };
    let clock = zoned.strftime(format).to_string();
    let indent = clock.len() + 2;
    let width = look.columns().saturating_sub(indent);
    let mut text = String::new();
    let head = wrap(&look.clean(&notice.head), width);
    let body = if notice.text.is_empty() { Vec::new() } else { wrap(&look.clean(&notice.text), width) };
    for (at, line) in head.iter().chain(&body).enumerate() {
        let lead = if at == 0 { format!("{clock}  ") } else { " ".repeat(indent) };
        text.push_str(&lead);
        text.push_str(line);
        text.push('\n');
    }
    if notice.event == "started" && look.quiet {
        for line in wrap(&look.clean(caution::IN_ONE_LINE), width) {
            text = text + &" ".repeat(indent) + &line + "\n";
        }
    } else if notice.event == "started" {
        for caution in caution::IN_FULL {
            for (at, line) in wrap(&look.clean(caution), width.saturating_sub(2)).iter().enumerate() {
                let lead = if at == 0 { look.clean("• ") } else { "  ".to_owned() };
                text = text + &" ".repeat(indent) + &lead + line + "\n";
            }
        }
    }
    text.truncate(text.trim_end().len());
    text
}

/// Whether someone may be about to spray for the first time.
fn begins(notice: &Notice) -> bool {
    matches!(notice.event, "started" | "resumed")
}

/// An event as one line of JSON.
pub fn event_line(notice: &Notice, zone: &TimeZone) -> String {
    #[derive(Serialize)]
    struct Line<'n> {
        schema: &'static str,
        event: &'static str,
        at: String,
        page: Option<usize>,
        title: Option<&'n str>,
        coat: Option<usize>,
        rehearsal: bool,
        late_s: i64,
        early_s: i64,
        id: Option<&'n str>,
        head: &'n str,
        text: &'n str,
        cautions: Option<&'static [&'static str]>,
    }
    let at = iso(&notice.at.to_zoned_datetime(zone.clone()));
    let line = Line {
        schema: "coatbell.seal/1",
        event: notice.event,
        at,
        page: notice.page,
        title: notice.title.as_deref(),
        coat: notice.coat,
        rehearsal: notice.rehearsal,
        late_s: notice.late_s,
        early_s: notice.early_s,
        id: notice.id.as_deref(),
        head: &notice.head,
        text: &notice.text,
        cautions: begins(notice).then_some(&caution::IN_FULL),
    };
    // Texts and numbers only: this cannot fail.
    serde_json::to_string(&line).unwrap_or_default()
}
