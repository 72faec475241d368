//! `materials list` and `materials show`: what the catalog knows, as reference cards and as JSON.

mod json;
mod list;
mod medium;
mod paper;
mod room;
mod sealer;
mod substance;

pub use json::{materials_list_json, materials_show_json};
pub use list::materials_list;

use super::look::Look;
use super::writer::Writer;
use crate::catalog::{Catalog, Entry, FigureGrounds, Unknown};
use crate::estimate::{Basis, Grounds, Triple};
use crate::quantity::number;

/// Columns of the labels of a card.
const LABEL: usize = 26;

/// The reference card of a medium, paper, sealer, substance or room: what it is, how long it dries, what harms it,
/// and how sure each figure is.
///
/// # Errors
/// [`Unknown`] with what may be meant, if nothing goes by that name.
pub fn materials_show(catalog: &Catalog, name: &str, look: &Look) -> Result<String, Unknown> {
    let mut writer = Writer::new(look);
    match catalog.entry(name)? {
        Entry::Medium(medium) => medium::card(catalog, medium, &mut writer),
        Entry::Paper(paper) => paper::card(paper, &mut writer),
        Entry::Sealer(sealer) => sealer::card(catalog, sealer, look, &mut writer),
        Entry::Substance(substance) => substance::card(catalog, substance, &mut writer),
        Entry::Room(id, room) => room::card(id, room, &mut writer),
    }
    Ok(writer.finish())
}

/// The first lines of a card: the name with the id behind it, other names.
fn title(writer: &mut Writer<'_>, name: &str, id: &str, kind: &str, aliases: &[String]) {
    writer.head(&format!("{} ({kind} `{id}`)", crate::diagnostic::sentence_start(name)));
    if !aliases.is_empty() {
        writer.text(2, &format!("also called {}", aliases.join(", ")));
    }
}

/// A figure with its unit and range: `24 h (0–72)`, or one number if it has no width.
fn range(value: Triple, unit: &str) -> String {
    let shown = |value: f64| number(significant(value));
    let space = if unit.is_empty() { "" } else { " " };
    let one = format!("{}{space}{unit}", shown(value.mode()));
    if value.low() == value.high() { one } else { format!("{one} ({}–{})", shown(value.low()), shown(value.high())) }
}

/// The same in per cent.
fn percent(value: Triple) -> String {
    range(value.scaled(100.0), "%")
}

/// Three significant figures.
fn significant(value: f64) -> f64 {
    if value == 0.0 {
        return 0.0;
    }
    let factor = libm::pow(10.0, 2.0 - libm::floor(libm::log10(value.abs())));
    if factor.is_finite() && factor > 0.0 { libm::round(value * factor) / factor } else { value }
}

/// The last part of a card: what the figures stand on.
fn how_sure(writer: &mut Writer<'_>, grounds: &FigureGrounds) {
    writer.head("How sure this is");
    writer.text(2, &format!("{}, unless it is named here.", default_words(&grounds.default)));
    for (figure, grounds) in &grounds.own {
        writer.item(2, "•", &format!("{}: {}", figure.replace('_', " "), grounds_words(grounds)));
    }
}

fn default_words(grounds: &Grounds) -> String {
    let what = match grounds.basis {
        Basis::Estimate => "Every figure is an estimate: a starting point for your own scrap test".to_owned(),
        other => format!("Every figure is {}", other.in_words()),
    };
    match &grounds.source {
        Some(source) => format!("{what} ({source})"),
        None => what,
    }
}

fn grounds_words(grounds: &Grounds) -> String {
    match &grounds.source {
        Some(source) => format!("{}: {source}", grounds.basis.in_words()),
        None => grounds.basis.in_words().to_owned(),
    }
}

#[cfg(test)]
mod tests;
