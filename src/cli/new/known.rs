//! The known names, one line each, for a person who is to choose one.

use crate::catalog::Catalog;

/// Width of the column of names.
const NAMES: usize = 24;

fn line(id: &str, about: &str) -> String {
    format!("  {id:<NAMES$} {about}")
}

/// The first sentence of a note, or another name, or what it is bound with.
fn about(note: Option<&String>, aliases: &[String], otherwise: &str) -> String {
    match (note, aliases) {
        (Some(note), _) => note.split_inclusive(". ").next().unwrap_or(note).trim().to_owned(),
        (None, [first, ..]) => format!("also called {first}"),
        (None, []) => otherwise.to_owned(),
    }
}

/// Media.
pub(super) fn media(catalog: &Catalog) -> Vec<String> {
    let entries = catalog.media.values();
    entries.map(|entry| line(&entry.id, &about(entry.note.as_ref(), &entry.aliases, &entry.binder))).collect()
}

/// Papers.
pub(super) fn papers(catalog: &Catalog) -> Vec<String> {
    let weight = |grams: f64| format!("about {} g/m2", grams.round());
    let entries = catalog.papers.values();
    entries
        .map(|entry| {
            let otherwise = weight(entry.grammage_g_m2);
            let about = about(entry.note.as_ref(), &[], "");
            line(&entry.id, format!("{otherwise}. {about}").trim_end_matches([' ', '.']))
        })
        .collect()
}

/// Sealers.
pub(super) fn sealers(catalog: &Catalog) -> Vec<String> {
    catalog.sealers.values().map(|entry| line(&entry.id, &entry.name)).collect()
}

/// How the air can move.
pub(super) fn airflows() -> Vec<String> {
    [
        ("closed", "everything shut"),
        ("window-ajar", "one window tilted or a hand's width open"),
        ("window-open", "one window wide open"),
        ("cross-draught", "windows or doors open on two sides"),
        ("window-fan", "a fan blowing out of the window"),
        ("outdoors", "in the open air, sheltered"),
    ]
    .map(|(id, about)| line(id, about))
    .to_vec()
}

/// The way of printing meant by words people use for it.
pub(super) fn print_meant(words: &str) -> Option<&'static str> {
    let words = words.to_lowercase();
    let said = |any: &[&str]| any.iter().any(|word| words.contains(word));
    if said(&["laser", "copier", "copied", "photocopy", "toner"]) {
        Some("toner")
    } else if said(&["inkjet", "ink jet", "ink-jet"]) {
        Some(if words.contains("pigment") { "inkjet-pigment" } else { "inkjet-dye" })
    } else if said(&["book", "bought", "offset", "press"]) {
        Some("offset-print")
    } else {
        None
    }
}

/// How line art can be printed.
pub(super) fn prints() -> Vec<String> {
    [
        ("toner", "a laser printer or a copier"),
        ("inkjet-dye", "an inkjet printer, or not known which ink"),
        ("inkjet-pigment", "an inkjet printer with pigment ink"),
        ("offset-print", "bought: a colouring book or a printed sheet"),
        ("none", "not printed; drawn lines are a layer of their own"),
    ]
    .map(|(id, about)| line(id, about))
    .to_vec()
}
