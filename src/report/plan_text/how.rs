//! How to do it: position, start, overrun, turning, what the label adds; said once where it is the same for all coats.

use crate::diagnostic::and_list;
use crate::plan::{Coat, Plan, Surface};
use crate::report::look::Look;
use crate::report::words::{plain_name, seconds, sentence};
use crate::report::writer::Writer;

/// Writes the section.
pub(super) fn write(writer: &mut Writer, plan: &Plan, look: &Look) {
    if plan.coats.is_empty() {
        return;
    }
    writer.head("How to spray it");
    for line in in_general(plan).iter().chain(&coat_by_coat(plan, look)).chain(&from_labels(plan)) {
        writer.bullet(line);
    }
}

/// What holds for the whole: position, nozzle, turning.
pub(in crate::report) fn in_general(plan: &Plan) -> Vec<String> {
    let coats = &plan.coats;
    let mut lines = shared(coats, |coat| vec![position(coat).to_owned()]);
    lines.push(
        "Press the nozzle before the sheet and let go past its far edge; never start, stop or turn above it."
            .to_owned(),
    );
    if crossing(coats) {
        lines.push("Turn the sheet a quarter turn (90°) after each coat, so that the passes cross.".to_owned());
    }
    lines
}

/// Where each coat starts and how far it reaches.
pub(in crate::report) fn coat_by_coat(plan: &Plan, look: &Look) -> Vec<String> {
    shared(&plan.coats, |coat| vec![strokes(coat, look)])
}

/// What the can's label asks for.
pub(in crate::report) fn from_labels(plan: &Plan) -> Vec<String> {
    shared(&plan.coats, |coat| {
        coat.label_applied.iter().map(|applied| format!("From your can's label: {}", sentence(applied))).collect()
    })
}

/// Sentences with the coats they hold for in front, unless they hold for all.
fn shared(coats: &[Coat], say: impl Fn(&Coat) -> Vec<String>) -> Vec<String> {
    let mut lines: Vec<(String, Vec<usize>)> = Vec::new();
    for coat in coats {
        for text in say(coat) {
            match lines.iter_mut().find(|(known, _)| *known == text) {
                Some((_, numbers)) => numbers.push(coat.number),
                None => lines.push((text, vec![coat.number])),
            }
        }
    }
    let named = |(text, numbers): (String, Vec<usize>)| {
        if numbers.len() == coats.len() {
            return text;
        }
        let noun = if numbers.len() == 1 { "Coat" } else { "Coats" };
        let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
        format!("{noun} {}: {}", and_list(&numbers), lower_first(&text))
    };
    lines.into_iter().map(named).collect()
}

/// Our own sentences start with a common word, so its capital can go behind a colon.
fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
    }
}

fn position(coat: &Coat) -> &'static str {
    match coat.surface {
        Surface::Flat => "Lay the sheet flat.",
        Surface::Tilted => "Prop the sheet up a little, at most 30° from lying.",
        Surface::Upright => "Stand the sheet upright.",
    }
}

/// Whether the passes of neighbouring coats cross.
fn crossing(coats: &[Coat]) -> bool {
    coats.len() > 1 && coats.windows(2).all(|pair| pair[0].direction != pair[1].direction)
}

/// Where a coat starts, where its first pass lies, how wide the spray is, how long it takes.
fn strokes(coat: &Coat, look: &Look) -> String {
    let corner = plain_name(&coat.start_corner);
    let corner = corner.trim_end_matches(" corner");
    let offset = coat.first_pass_offset_cm;
    let away = look.units.distance(offset.abs());
    let place = if offset.abs() < 0.25 {
        "along the edge".to_owned()
    } else if offset < 0.0 {
        format!("{away} outside the edge")
    } else {
        format!("{away} inside the edge")
    };
    format!(
        "Start at the {corner} corner. Aim the first pass {place}, and run {} past the sheet at both ends. The spray is \
         about {} wide. It takes {} and {}.",
        look.units.distance(coat.overrun_cm),
        look.units.distance(coat.pattern_width_cm),
        seconds(coat.spray_s),
        look.units.mass(coat.sealer_g),
    )
}
