//! The known names, one line each, for a person who is to choose one.

use crate::catalog::Catalog;
use crate::input::Airflow;

/// Names with what is said about each, in two columns.
fn lines<'a>(rows: impl IntoIterator<Item = (&'a str, String)>) -> Vec<String> {
    let rows: Vec<(&str, String)> = rows.into_iter().collect();
    let widest = rows.iter().map(|(id, _)| id.chars().count()).max().unwrap_or(0);
    rows.into_iter().map(|(id, about)| format!("  {id:<widest$}  {about}")).collect()
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
    lines(entries.map(|entry| (entry.id.as_str(), about(entry.note.as_ref(), &entry.aliases, &entry.binder))))
}

/// Papers.
pub(super) fn papers(catalog: &Catalog) -> Vec<String> {
    let entries = catalog.papers.values();
    lines(entries.map(|entry| {
        let weight = format!("about {} g/m2", entry.grammage_g_m2.round());
        let note = about(entry.note.as_ref(), &[], "");
        (entry.id.as_str(), format!("{weight}. {note}").trim_end_matches([' ', '.']).to_owned())
    }))
}

/// Sealers.
pub(super) fn sealers(catalog: &Catalog) -> Vec<String> {
    lines(catalog.sealers.values().map(|entry| (entry.id.as_str(), entry.name.clone())))
}

/// How the air can move.
pub(super) fn airflows() -> Vec<String> {
    let about = |airflow: Airflow| match airflow {
        Airflow::Closed => "everything shut",
        Airflow::WindowAjar => "one window tilted or a hand's width open",
        Airflow::WindowOpen => "one window wide open",
        Airflow::CrossDraught => "windows or doors open on two sides",
        Airflow::WindowFan => "a fan blowing out of the window",
        Airflow::Outdoors => "in the open air, sheltered",
    };
    let plain = Airflow::WORDS.into_iter().filter(|(word, airflow)| *word == airflow.word());
    lines(plain.map(|(word, airflow)| (word, about(airflow).to_owned())))
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
    lines(
        [
            ("toner", "a laser printer or a copier"),
            ("inkjet-dye", "an inkjet printer, or not known which ink"),
            ("inkjet-pigment", "an inkjet printer with pigment ink"),
            ("offset-print", "bought: a colouring book or a printed sheet"),
            ("none", "not printed; drawn lines are a layer of their own"),
        ]
        .map(|(id, about)| (id, about.to_owned())),
    )
}
