//! The list of everything the catalog knows.

use crate::catalog::{Catalog, Kind, Medium, Paper, Substance};
use crate::report::look::Look;
use crate::report::writer::Writer;

/// Columns of the ids in the list.
const ID: usize = 32;

/// Every medium, paper, sealer, substance and room, or those of one kind, by id, with its name. Quiet, the ids alone.
pub fn materials_list(catalog: &Catalog, only: Option<Kind>, look: &Look) -> String {
    let mut writer = Writer::new(look);
    for kind in Kind::ALL.into_iter().filter(|kind| only.is_none_or(|only| only == *kind)) {
        if !look.quiet {
            writer.head(heading(kind));
        }
        for (id, name) in entries(catalog, kind) {
            if look.quiet { writer.line(&look.clean(id)) } else { writer.labelled(ID, id, &name) }
        }
    }
    if !look.quiet {
        writer.blank();
        writer.text(0, "`coatbell materials show NAME` shows one of them with its figures and what they stand on.");
    }
    writer.finish()
}

fn heading(kind: Kind) -> &'static str {
    match kind {
        Kind::Medium => "Media",
        Kind::Paper => "Papers",
        Kind::Sealer => "Sealers and fixatives",
        Kind::Substance => "Solvents and propellants",
        Kind::Room => "Rooms",
        Kind::Material => "Materials",
    }
}

/// Ids with what is said of each.
fn entries(catalog: &Catalog, kind: Kind) -> Vec<(&String, String)> {
    match kind {
        Kind::Medium => catalog.media.iter().map(|(id, medium)| (id, medium_words(medium))).collect(),
        Kind::Paper => {
            let words = |paper: &Paper| format!("{}, {} g/m²", paper.name, paper.grammage_g_m2);
            catalog.papers.iter().map(|(id, paper)| (id, words(paper))).collect()
        }
        Kind::Sealer => catalog.sealers.iter().map(|(id, sealer)| (id, sealer.name.clone())).collect(),
        Kind::Substance => {
            let words = |substance: &Substance| format!("{}, CAS {}", substance.name, substance.cas);
            catalog.substances.iter().map(|(id, substance)| (id, words(substance))).collect()
        }
        Kind::Room => catalog.rooms.iter().map(|(id, room)| (id, room.name.clone())).collect(),
        // Not a shelf of its own: each material stands on one of the others.
        Kind::Material => Vec::new(),
    }
}

fn medium_words(medium: &Medium) -> String {
    let ways: Vec<&str> =
        medium.techniques.iter().map(|technique| technique.id.as_str()).filter(|id| !id.is_empty()).collect();
    if ways.is_empty() { medium.name.clone() } else { format!("{}: {}", medium.name, ways.join(", ")) }
}
