//! The coat table: one number each, a row of two lines on 80 columns, one line on a wide screen, a list on a narrow one.

use jiff::Timestamp;

use crate::diagnostic::{and_list, plural};
use crate::finding::Level;
use crate::plan::{Coat, CoatKind, Plan};
use crate::quantity::minutes_in_words;
use crate::report::look::{Look, head_style};
use crate::report::table::{Cell, Table};
use crate::report::words::{
    clock, distance_pair, film, film_in_words, minutes_range, moment, per_cent, plain_name, seconds, sentence,
};
use crate::report::wrap::display_width;
use crate::report::writer::Writer;

/// Indent of the table.
const INDENT: usize = 2;

/// Writes the coats.
pub(super) fn write(writer: &mut Writer, plan: &Plan, look: &Look) {
    if plan.coats.is_empty() {
        writer.head("Coats");
        writer.text(INDENT, "None are planned for this page as it is.");
        return;
    }
    writer.head(if plan.verdict == Level::Hold { "Coats, once nothing holds the page back" } else { "Coats" });
    let room = look.columns() - INDENT;
    let fits = |table: &Table| table.width() <= room;
    let coats = with_handling(plan);
    match [wide(&coats, look), narrow(&coats, look)].into_iter().find(fits) {
        Some(table) => draw(writer, &table, look),
        None => list(writer, &coats, look),
    }
    amount(writer, plan, look);
    if look.verbose || look.why {
        finer(writer, &plan.coats, look);
    }
}

/// The coats with the last wait as long as the plan's own time for handling says, so that nobody takes a page up by
/// the table before the clock allows it.
pub(in crate::report) fn with_handling(plan: &Plan) -> Vec<Coat> {
    let mut coats = plan.coats.clone();
    let at = |iso: Option<&String>| iso.and_then(|iso| iso.parse::<Timestamp>().ok());
    if let Some(last) = coats.last_mut()
        && let (Some(starts), Some(handle)) = (at(last.starts_at.as_ref()), at(plan.handle_at.as_ref()))
    {
        let minutes = handle.duration_since(starts).as_mins();
        last.wait_min = last.wait_min.max(u32::try_from(minutes).unwrap_or(0));
    }
    coats
}

fn draw(writer: &mut Writer, table: &Table, look: &Look) {
    let lead = " ".repeat(INDENT);
    let (head, rows) = table.lines();
    for line in head {
        writer.line(&format!("{lead}{}", look.paint(head_style(), &line)));
    }
    writer.line(&format!("{lead}{}", look.clean(&"─".repeat(table.width()))));
    for row in rows {
        for line in row {
            writer.line(&format!("{lead}{line}"));
        }
    }
}

/// Clock time in the table: the day only where it is not the day of the first coat.
fn table_time(coats: &[Coat], coat: &Coat, look: &Look) -> String {
    let Some(starts) = &coat.starts_at else { return String::new() };
    let day = |iso: &String| moment(look, iso).map(|at| at.date());
    let first = coats.first().and_then(|first| first.starts_at.as_ref()).and_then(day);
    match moment(look, starts) {
        Some(at) if Some(at.date()) == first && at.date() == look.now.date() => at.strftime("%H:%M").to_string(),
        Some(at) => at.strftime("%a %H:%M").to_string(),
        None => starts.clone(),
    }
}

/// What the wait leads to.
fn wait_for(coats: &[Coat], coat: &Coat) -> String {
    match coats.iter().find(|next| next.number > coat.number) {
        Some(next) => format!("to coat {}", next.number),
        None => "to handle".to_owned(),
    }
}

fn wait(coat: &Coat) -> String {
    minutes_in_words(i64::from(coat.wait_min))
}

/// Rows of two lines: the main figure above, its twin below.
fn narrow(coats: &[Coat], look: &Look) -> Table {
    let cell = |first: &str, second: &str| -> Cell { vec![look.clean(first), look.clean(second)] };
    let timed = coats.iter().any(|coat| coat.starts_at.is_some());
    let head = vec![
        cell("Coat", if timed { "at" } else { "" }),
        cell("Distance", ""),
        cell("Hand speed", "one pass"),
        cell("Passes", ""),
        cell("Step-over", "a pass"),
        cell("Wet film", "could be"),
        cell("Then wait", ""),
    ];
    let row = |coat: &Coat| {
        let (distance, other_distance) = distance_pair(look.units, coat.distance_cm);
        let (step, other_step) = distance_pair(look.units, coat.step_over_cm);
        let (thickness, range) = film(look, coat.wet_film_um);
        vec![
            cell(&format!("{} {}", coat.number, coat.kind.word()), &table_time(coats, coat, look)),
            cell(&distance, &other_distance),
            cell(&look.units.speed(coat.pass_speed_cm_s), &seconds(coat.seconds_per_pass)),
            cell(&format!("{} along the", coat.passes), coat.direction.side()),
            cell(&step, &other_step),
            cell(&thickness, &range.unwrap_or_default()),
            cell(&wait(coat), &wait_for(coats, coat)),
        ]
    };
    Table { head, rows: coats.iter().map(row).collect() }
}

/// Rows of one line.
fn wide(coats: &[Coat], look: &Look) -> Table {
    let cell = |text: &str| -> Cell { vec![look.clean(text)] };
    let timed = coats.iter().any(|coat| coat.starts_at.is_some());
    let mut head: Vec<Cell> =
        ["Coat", "Distance", "Hand speed", "One pass", "Passes along", "Step-over", "Wet film", "Then wait"]
            .map(cell)
            .to_vec();
    if timed {
        head.insert(1, cell("At"));
    }
    let row = |coat: &Coat| {
        let mut row = vec![
            cell(&format!("{} {}", coat.number, coat.kind.word())),
            cell(&look.units.distance(coat.distance_cm)),
            cell(&look.units.speed(coat.pass_speed_cm_s)),
            cell(&seconds(coat.seconds_per_pass)),
            cell(&format!("{}, {}", coat.passes, coat.direction.side())),
            cell(&look.units.distance(coat.step_over_cm)),
            cell(&film_in_words(look, coat.wet_film_um)),
            cell(&wait(coat)),
        ];
        if timed {
            row.insert(1, cell(&table_time(coats, coat, look)));
        }
        row
    };
    Table { head, rows: coats.iter().map(row).collect() }
}

/// A list for each coat.
fn list(writer: &mut Writer, coats: &[Coat], look: &Look) {
    for (at, coat) in coats.iter().enumerate() {
        if at > 0 {
            writer.blank();
        }
        let time = coat.starts_at.as_ref().map(|iso| format!(", {}", clock(look, iso))).unwrap_or_default();
        writer.text(INDENT, &format!("Coat {}, {}{time}", coat.number, coat.kind.word()));
        let entries = [
            ("distance", look.units.distance(coat.distance_cm)),
            (
                "hand speed",
                format!("{}, {} a pass", look.units.speed(coat.pass_speed_cm_s), seconds(coat.seconds_per_pass)),
            ),
            ("passes", format!("{} along the {}", coat.passes, coat.direction.side())),
            ("step-over", look.units.distance(coat.step_over_cm)),
            ("wet film", film_in_words(look, coat.wet_film_um)),
            ("then wait", format!("{} {}", wait(coat), wait_for(coats, coat))),
        ];
        let width = entries.iter().map(|(label, _)| display_width(label)).max().unwrap_or(0);
        for (label, text) in entries {
            let pad = " ".repeat(width - display_width(label));
            writer.item(INDENT + 2, &format!("{label}{pad} "), &text);
        }
    }
}

/// What it takes out of the can, and the film in all.
fn amount(writer: &mut Writer, plan: &Plan, look: &Look) {
    let share = plan.can_share_pct.map(|share| format!(", {} of a full can", per_cent(share))).unwrap_or_default();
    let mut says = vec![format!("Out of the can: {}{share}.", look.units.mass(plan.sealer_total_g))];
    if let Some(dry) = plan.dry_film_total_um {
        says.push(format!("Dry film in all: {}.", film_in_words(look, dry)));
    }
    writer.blank();
    writer.text(INDENT, &says.join(" "));
}

/// The finer figures of each coat.
fn finer(writer: &mut Writer, coats: &[Coat], look: &Look) {
    writer.blank();
    for coat in coats {
        let mut parts = vec![
            format!("dry film {}", film_in_words(look, coat.dry_film_um)),
            format!("may be {} wet at most (set by: {})", cap(look, coat), plain_name(&coat.limited_by)),
            format!("{} of tries stay under that", per_cent(coat.under_cap_pct)),
            format!("{} of the film lands dry", per_cent(coat.dry_spray_pct)),
            format!("evenness within {}", per_cent(coat.ripple_pct)),
        ];
        if let Some(blush) = coat.blush_index_pct {
            parts.push(format!("moisture from the air {} of the film", per_cent(blush)));
        }
        if let Some(touch) = coat.touch_dry_min {
            parts.push(format!("touch-dry after {}", minutes_range(touch)));
        }
        if let Some(recoat) = coat.recoat_min {
            parts.push(format!("by the model alone ready for the next coat after {}", minutes_range(recoat)));
        }
        writer.bullet(&sentence(&format!("Coat {}: {}", coat.number, parts.join("; "))));
    }
}

fn cap(look: &Look, coat: &Coat) -> String {
    film(look, crate::estimate::Quantiles { p10: coat.cap_um, p50: coat.cap_um, p90: coat.cap_um }).0
}

/// The coats in a few words: `1 mist, 2 builds`.
pub(in crate::report) fn coats_in_short(coats: &[Coat]) -> String {
    let count = |kind: CoatKind, noun: &str| {
        let count = coats.iter().filter(|coat| coat.kind == kind).count();
        (count > 0).then(|| plural(count, noun))
    };
    let parts: Vec<String> =
        [count(CoatKind::Mist, "mist"), count(CoatKind::Build, "build")].into_iter().flatten().collect();
    if parts.is_empty() { "none".to_owned() } else { and_list(&parts) }
}

/// Distance and hand of the first coat of a kind.
pub(in crate::report) fn first_distance(coats: &[Coat], kind: CoatKind, look: &Look) -> Option<String> {
    let coat = coats.iter().find(|coat| coat.kind == kind)?;
    Some(format!("{} at {}", look.units.distance(coat.distance_cm), look.units.speed(coat.pass_speed_cm_s)))
}
