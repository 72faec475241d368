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
    let others: Vec<&str> = aliases.iter().map(String::as_str).filter(|alias| *alias != name).collect();
    if !others.is_empty() {
        writer.text(2, &format!("Also called {}.", others.join(", ")));
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

/// The last part of a card: what the figures stand on, figures of the same grounds together.
fn how_sure(writer: &mut Writer<'_>, grounds: &FigureGrounds) {
    writer.head("How sure this is");
    let except = if grounds.own.is_empty() { "" } else { ", unless it is named here" };
    writer.text(2, &format!("{}{except}.", default_words(&grounds.default)));
    let mut groups: Vec<(&Grounds, Vec<String>)> = Vec::new();
    for (figure, grounds) in &grounds.own {
        match groups.iter_mut().find(|(known, _)| *known == grounds) {
            Some((_, figures)) => figures.push(figure_words(figure)),
            None => groups.push((grounds, vec![figure_words(figure)])),
        }
    }
    for (grounds, figures) in groups {
        writer.bullet(&format!("{}: {}", figures.join(", "), grounds_words(grounds)));
    }
}

/// The name of a figure without its unit: `boiling_point_c` is `boiling point`.
fn figure_words(figure: &str) -> String {
    let units = [
        "_kj_mol", "_g_mol", "_vol_pct", "_kg_m3", "_g_m2", "_m2_s", "_mn_m", "_g_s", "_mpa05", "_25c_kpa", "_ppm",
        "_min", "_um", "_cm", "_c", "_h", "_k",
    ];
    let plain = units.into_iter().find_map(|unit| figure.strip_suffix(unit)).unwrap_or(figure);
    match plain {
        "lel" => "explosive limit".to_owned(),
        "idlh" => "danger at once".to_owned(),
        "lowest_twa" => "8-hour limit".to_owned(),
        "lowest_short_term" => "15-minute limit".to_owned(),
        "default_twa" => "8-hour default".to_owned(),
        "antoine" => "vapour-pressure curve".to_owned(),
        other => other.replace('_', " "),
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
