//! The review of the air as text: the answer, where it holds, the air, the picture, what to do, the cautions.

use super::air_picture::air_picture;
use super::look::Look;
use super::plan_text::air::{AirRun, write as write_air};
use super::plan_text::{cautions, noticed};
use super::words::{sentence, volume};
use super::writer::Writer;
use crate::air::{Note, notes};
use crate::caution;
use crate::finding::Level;
use crate::plan::{Safety, SafetyRoom};
use crate::quantity::number;

/// Columns of the labels above the air.
const LABEL: usize = 6;

/// A review of the air as text. Quiet, it is two lines: the answer and the caution.
pub fn safety_text(safety: &Safety, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        writer.line(&format!("{}  {}", safety.verdict.word().to_uppercase(), look.clean(&safety.answer)));
        writer.line(&look.clean(caution::IN_ONE_LINE));
        return writer.finish();
    }
    writer.verdict(safety.verdict, &safety.answer);
    writer.blank();
    if let Some(title) = &safety.page {
        writer.labelled(LABEL, "Page", title);
    }
    writer.labelled(LABEL, "Sealer", &safety.sealer.name);
    writer.labelled(LABEL, "Coats", &coats(safety, look));
    writer.labelled(LABEL, "Room", &room(&safety.room, look));
    // What stops a person comes before figures; what only colours the answer may come after them.
    if safety.verdict == Level::Hold {
        noticed(&mut writer, &safety.findings, look);
    }
    let back = safety.coats.iter().map(|coat| (coat.number, coat.return_masked_min)).collect();
    write_air(&mut writer, &safety.air, &AirRun { outdoors: safety.room.outdoors, back }, look);
    writer.head("The air over time");
    let begins: Vec<f64> = safety.coats.iter().map(|coat| coat.starts_min).collect();
    let last_end_min = safety.coats.last().map_or(0.0, |coat| coat.ends_min);
    for line in air_picture(&safety.air, &begins, last_end_min, safety.room.outdoors, look).lines() {
        writer.line(line);
    }
    writer.head("Where to keep the sheet");
    writer.text(2, &sentence(&safety.keep_sheet));
    if safety.verdict != Level::Hold {
        noticed(&mut writer, &safety.findings, look);
    }
    cautions(&mut writer, &safety.cautions);
    writer.blank();
    writer.text(0, "The notes in full, with their sources and what cannot be known: coatbell safety --notes");
    writer.finish()
}

fn coats(safety: &Safety, look: &Look) -> String {
    let grams: f64 = safety.coats.iter().map(|coat| coat.sealer_g).sum();
    let list: Vec<String> = safety.coats.iter().map(|coat| look.units.mass(coat.sealer_g)).collect();
    let same = list.windows(2).all(|pair| pair[0] == pair[1]);
    let each = match (list.len(), same) {
        (1, _) => return format!("1 of {}", list[0]),
        (count, true) => format!("{count} of {}", list[0]),
        (_, false) => list.join(", "),
    };
    let begins: Vec<f64> = safety.coats.iter().map(|coat| coat.starts_min.round()).collect();
    let clock = match begins.last() {
        Some(last) => format!(", the last one {} min after the first", number(*last)),
        None => String::new(),
    };
    format!("{each}; {} in all{clock}", look.units.mass(grams))
}

fn room(room: &SafetyRoom, look: &Look) -> String {
    let air = format!(
        "{}, {} % humidity",
        look.units.temperature(room.temperature_c),
        number(room.relative_humidity_pct.round())
    );
    match room.volume_m3 {
        None => format!("outdoors, {air}"),
        Some(size) => format!(
            "{air}, {}, {} air changes an hour",
            volume(look.units, size),
            number((room.air_changes_per_h.unwrap_or(0.0) * 10.0).round() / 10.0)
        ),
    }
}

/// The safety notes in full, wrapped to the screen.
pub fn notes_text(look: &Look) -> String {
    let mut writer = Writer::new(look);
    let mut table: Vec<Vec<String>> = Vec::new();
    for note in notes() {
        if !matches!(note, Note::Row(_)) {
            rows(&mut writer, &std::mem::take(&mut table));
        }
        match note {
            Note::Head(text) => writer.head(&text),
            Note::Paragraph(text) => {
                writer.blank();
                writer.text(0, &text);
            }
            Note::Item(text) => writer.bullet(&text),
            Note::Row(cells) => table.push(cells),
        }
    }
    rows(&mut writer, &table);
    writer.finish()
}

/// The rows of a table, cell by cell under the head's words: its cells are sentences, too long for columns.
fn rows(writer: &mut Writer, table: &[Vec<String>]) {
    let Some((head, rows)) = table.split_first() else { return };
    writer.blank();
    for row in rows {
        let Some((first, rest)) = row.split_first() else { continue };
        let told: Vec<String> = head
            .iter()
            .skip(1)
            .zip(rest)
            .filter(|(_, cell)| !cell.is_empty())
            .map(|(name, cell)| format!("{name}: {cell}"))
            .collect();
        writer.bullet(&format!("{}. {}", sentence(first), told.join("; ")));
    }
}
