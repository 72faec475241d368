//! The review of the layers on a terminal: the answer first, then what was noticed, the stack, the order, the waits.

use super::look::Look;
use super::plan_text::noticed;
use super::table::Table;
use super::words::{clock, grounds, sentence, sheet_size};
use super::writer::Writer;
use crate::page::{LayerEcho, LayersDocument, PairPart, WaitPart};
use crate::quantity::{minutes_in_words, number};

/// Columns of the labels above the stack.
const LABEL: usize = 6;

/// A review of the layers as text. Quiet, it is the answer alone; with `why`, every pair has its reason and basis.
pub fn layers_text(document: &LayersDocument, look: &Look) -> String {
    let mut writer = Writer::new(look);
    if look.quiet {
        let word = document.verdict.word().to_uppercase();
        writer.line(&format!("{word}  {}", look.clean(&document.answer)));
        return writer.finish();
    }
    writer.verdict(document.verdict, &document.answer);
    page(&mut writer, document, look);
    noticed(&mut writer, &document.findings, look);
    stack(&mut writer, document, look);
    order(&mut writer, document);
    waits(&mut writer, document, look);
    writer.head("Before you start");
    for caution in &document.cautions {
        writer.bullet(&sentence(caution));
    }
    if look.why {
        why(&mut writer, document);
    }
    writer.finish()
}

fn page(writer: &mut Writer, document: &LayersDocument, look: &Look) {
    let inputs = &document.inputs;
    writer.blank();
    writer.text(0, &inputs.title);
    let size = sheet_size(look.units, inputs.width_cm, inputs.height_cm);
    writer.labelled(LABEL, "Page", &format!("{size}, {}", inputs.paper_name));
    let water = &document.water;
    let load = number(water.load_g_m2.round());
    let water = match water.cockles_at_g_m2 {
        Some(limit) => format!("at most {load} g/m² in one layer; the sheet begins to cockle at {}", number(limit)),
        None => format!("at most {load} g/m² in one layer; water does not swell the sheet"),
    };
    writer.labelled(LABEL, "Water", &water);
    let room = &inputs.room;
    let temperature = look.units.temperature(room.temperature_c);
    writer.labelled(
        LABEL,
        "Room",
        &format!("{temperature}, {} % humidity", number(room.relative_humidity_pct.round())),
    );
}

/// A layer as the stack shows it: `2 watercolour, wet-on-dry`.
fn layer_name(layer: &LayerEcho) -> String {
    let technique = layer.technique.as_ref().map(|technique| format!(", {technique}")).unwrap_or_default();
    format!("{}{technique}", layer.name)
}

fn pair_at(document: &LayersDocument, lower: usize, upper: usize) -> Option<&PairPart> {
    document.pairs.iter().find(|pair| (pair.lower_place, pair.upper_place) == (lower, upper))
}

/// The stack with the verdict of each layer over each one below it, as a triangle of signs where it fits.
fn stack(writer: &mut Writer, document: &LayersDocument, look: &Look) {
    let layers = &document.inputs.layers;
    writer.head("The stack, top layer first");
    let lower = layers.iter().take(layers.len().saturating_sub(1)).map(|layer| layer.place.to_string());
    let head = std::iter::repeat_n(String::new(), 3).chain(lower).map(|cell| vec![cell]).collect();
    let mut table = Table { head, rows: Vec::new() };
    for layer in layers.iter().rev() {
        let state = if layer.masked {
            "masked"
        } else if layer.finished.is_none() {
            "to be laid"
        } else {
            ""
        };
        let mut row = vec![layer.place.to_string(), look.clean(&layer_name(layer)), state.to_owned()];
        row.extend((1..layer.place).map(|lower| sign(pair_at(document, lower, layer.place)).to_owned()));
        table.rows.push(row.into_iter().map(|cell| vec![cell]).collect());
    }
    let fits = table.width() + 2 <= look.columns();
    if layers.len() > 1 && fits {
        let (head, rows) = table.lines();
        for line in head.iter().chain(rows.iter().flatten()) {
            writer.line(&format!("  {line}"));
        }
        writer.text(2, "Over the layer of that number: + good, c care, X avoid, . do not meet");
        return;
    }
    for layer in layers.iter().rev() {
        let mut says = layer_name(layer);
        let bad: Vec<String> = (1..layer.place)
            .filter_map(|lower| pair_at(document, lower, layer.place))
            .filter(|pair| pair.verdict != "good")
            .map(|pair| format!("{} over {}", pair.verdict, pair.lower_place))
            .collect();
        if !bad.is_empty() {
            says = format!("{says}: {}", bad.join(", "));
        }
        writer.item(2, &layer.place.to_string(), &says);
    }
}

fn sign(pair: Option<&PairPart>) -> &'static str {
    match pair.map(|pair| pair.verdict) {
        None => ".",
        Some("good") => "+",
        Some("care") => "c",
        Some(_) => "X",
    }
}

fn order(writer: &mut Writer, document: &LayersDocument) {
    if document.inputs.layers.len() < 2 {
        return;
    }
    writer.head("Order");
    let sure = if document.order_exact { "" } else { " that was found; there are too many layers to try them all" };
    if document.inputs.layers.iter().all(|layer| layer.finished.is_some()) {
        writer.text(2, "Everything is laid, so the order stays.");
        return;
    }
    if !document.order_better {
        writer.text(2, &format!("As it stands: no order has fewer conflicts{sure}."));
        return;
    }
    writer.text(2, &format!("Bottom to top, the order with the fewest conflicts{sure}:"));
    for (at, place) in document.suggested_places.iter().enumerate() {
        if let Some(layer) = document.inputs.layers.get(place - 1) {
            let moved = if *place == at + 1 { String::new() } else { format!(" (now layer {place})") };
            writer.item(4, &format!("{}.", at + 1), &format!("{}{moved}", layer_name(layer)));
        }
    }
}

fn waits(writer: &mut Writer, document: &LayersDocument, look: &Look) {
    writer.head("Waits, in this air");
    let rows: Vec<[String; 4]> = document
        .waits
        .iter()
        .rev()
        .filter_map(|wait| {
            let layer = document.inputs.layers.get(wait.place - 1)?;
            let name = format!("{} {}", wait.place, look.clean(&layer_name(layer)));
            Some([name, before_next(wait), before_seal(wait), ready(wait, layer, document, look)])
        })
        .collect();
    let head = [["", "Layer"], ["dry for", "the next"], ["dry for", "the spray"], ["", "ready"]];
    let mut table = Table { head: head.map(|cell| cell.map(str::to_owned).to_vec()).to_vec(), rows: Vec::new() };
    table.rows = rows.iter().map(|row| row.iter().map(|cell| vec![cell.clone()]).collect()).collect();
    if table.width() + 2 <= look.columns() {
        let (head, lines) = table.lines();
        for line in head.iter().chain(lines.iter().flatten()) {
            writer.line(&format!("  {line}"));
        }
    } else {
        for [name, next, seal, ready] in &rows {
            writer.bullet(&format!("{name}: dry for the next {next}; dry for the spray {seal}; ready {ready}"));
        }
    }
    let all = match &document.ready_at {
        Some(ready_at) => format!("All of it is ready for the spray: {}.", due(ready_at, document, look)),
        None => {
            "No time for the spray yet: see what is to be laid, never dries or has to be put right first.".to_owned()
        }
    };
    writer.text(2, &all);
}

fn before_next(wait: &WaitPart) -> String {
    match wait.before_next_min {
        None => "-".to_owned(),
        Some(0) => "no wait".to_owned(),
        Some(minutes) => minutes_in_words(i64::from(coarse(minutes))),
    }
}

/// Nobody waits 473 minutes to the minute: over an hour in steps of five, over four hours in quarters. Never
/// rounded down.
fn coarse(minutes: u32) -> u32 {
    let step = match minutes {
        0..=60 => 1,
        61..=240 => 5,
        _ => 15,
    };
    minutes.div_ceil(step) * step
}

fn before_seal(wait: &WaitPart) -> String {
    match wait.before_seal_h {
        None => "never".to_owned(),
        Some(0.0) => "no wait".to_owned(),
        Some(hours) => minutes_in_words(i64::from(coarse((hours * 60.0).ceil() as u32))),
    }
}

fn ready(wait: &WaitPart, layer: &LayerEcho, document: &LayersDocument, look: &Look) -> String {
    match &wait.ready_at {
        Some(at) => due(at, document, look),
        None if layer.masked => "masked".to_owned(),
        None if wait.before_seal_h.is_none() => "never".to_owned(),
        None => "to be laid".to_owned(),
    }
}

fn due(ready_at: &str, document: &LayersDocument, look: &Look) -> String {
    let past = match (super::words::moment(look, ready_at), super::words::moment(look, &document.inputs.start)) {
        (Some(ready), Some(start)) => ready <= start,
        _ => false,
    };
    if past { "now".to_owned() } else { clock(look, ready_at) }
}

fn why(writer: &mut Writer, document: &LayersDocument) {
    writer.head("Why: each layer over each one below it");
    let name = |place: usize| document.inputs.layers.get(place - 1).map_or("", |layer| layer.name.as_str());
    for pair in &document.pairs {
        let stands_on = crate::estimate::Basis::from_word(pair.basis)
            .map_or_else(String::new, |basis| grounds(basis, pair.source.as_deref()));
        writer.bullet(&format!(
            "{} {} over {} {}: {}. {}; because {} ({stands_on})",
            pair.upper_place,
            name(pair.upper_place),
            pair.lower_place,
            name(pair.lower_place),
            pair.verdict,
            pair.effect,
            pair.why
        ));
    }
    writer.head("Why: each medium on the paper");
    for part in &document.surface {
        let stands_on = crate::estimate::Basis::from_word(part.basis)
            .map_or_else(String::new, |basis| grounds(basis, part.source.as_deref()));
        let text = format!("{} {}: {}. {} ({stands_on})", part.place, name(part.place), part.verdict, part.effect);
        writer.bullet(&text);
    }
    writer.head("Why: dry for the next layer");
    writer.text(2, "The profile's touch-dry time at 20 °C and 50 %, scaled to this air, or the time its water takes.");
    for wait in document.waits.iter().filter(|wait| wait.before_next_min.is_some_and(|minutes| minutes > 0)) {
        let governs = if wait.governed_by == "evaporation" { "its water, as modelled" } else { "the profile" };
        writer.bullet(&format!("{} {}: {}, by {governs}", wait.place, name(wait.place), before_next(wait)));
    }
}

#[cfg(test)]
mod tests {
    use jiff::ZonedDateTime;

    use super::*;
    use crate::catalog::Catalog;
    use crate::page::{PageWords, Sheet, layers_document, page_from_words, review};
    use crate::report::display_width;
    use crate::vapour::MoistAir;

    fn document(media: &str) -> (LayersDocument, ZonedDateTime) {
        let now: ZonedDateTime = "2026-11-27T18:00:00+00:00[UTC]".parse().expect("a valid moment");
        let words = PageWords { media, paper: Some("cardstock"), size: Some("A4"), finish: None };
        let (page, source) = page_from_words(&words, &now).expect("valid words");
        let catalog = Catalog::builtin();
        let sheet = Sheet::resolve(&page, &source, &catalog).expect("known names");
        let air = MoistAir { temperature_c: 20.0, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        let review = review(&sheet, &catalog, &air, &now);
        (layers_document(&sheet, &review, &air, &now), now)
    }

    #[test]
    fn the_answer_comes_first_and_no_line_is_too_wide() {
        let (document, now) = document(
            "inkjet-dye, watercolour:wet-on-wet, wax-pencil, acrylic-pen, oil-pastel, shimmer-pen, glitter:glue",
        );
        for width in 24..=120 {
            let look = Look { width, why: width % 2 == 0, ..Look::plain(now.clone()) };
            let text = layers_text(&document, &look);
            assert!(text.starts_with("HOLD  Not so: "), "{text}");
            for line in text.lines() {
                assert!(display_width(line) <= width, "{width}: {line}");
            }
            for heard in ["What was noticed", "The stack", "Order", "Waits", "Before you start"] {
                assert!(text.contains(heard), "{width}: {heard}");
            }
        }
    }

    #[test]
    fn quiet_is_one_line() {
        let (document, now) = document("watercolour:wet-on-dry, wax-pencil");
        let text = layers_text(&document, &Look { quiet: true, ..Look::plain(now) });
        assert_eq!(text, "GO  The 2 layers go well together and on card\n");
    }
}
