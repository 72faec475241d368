//! Reading a paper.

use super::entry::Entry;
use crate::catalog::paper::{Paper, StrikeThrough};
use crate::estimate::Grounds;
use crate::input::TableReader;

/// Figures that may have a basis of their own.
pub(crate) const FIGURES: [&str; 8] = [
    "grammage_g_m2",
    "caliper_um",
    "void_fraction",
    "capacity_um",
    "sizing",
    "tooth_um",
    "buckle_g_m2",
    "strike_through",
];

/// Reads a paper over the one it extends.
pub(crate) fn read(id: &str, reader: &TableReader<'_>, base: Option<&Paper>, file: &Grounds) -> Option<Paper> {
    let entry = Entry::new(reader, base);
    let name = entry.name(id);
    let aliases = reader.texts("aliases").into_iter().map(|alias| alias.value).collect();
    let grammage_g_m2 = entry.number("grammage_g_m2", 20.0..=2000.0, |base| base.grammage_g_m2);
    let caliper_um = entry.triple("caliper_um", 10.0..=5000.0, |base| base.caliper_um);
    let void_fraction = entry.number("void_fraction", 0.0..=0.95, |base| base.void_fraction);
    let capacity_um = entry.triple("capacity_um", 0.0..=5000.0, |base| base.capacity_um);
    let absorbing = entry.flag("absorbing", true, |base| base.absorbing);
    let swells = entry.flag("swells", true, |base| base.swells);
    let sizing = entry.text("sizing", "\"internal\"", |base| base.sizing.clone());
    let tooth_um = entry.triple("tooth_um", 0.0..=1000.0, |base| base.tooth_um);
    let buckle_g_m2 = entry.triple("buckle_g_m2", 0.1..=10_000.0, |base| base.buckle_g_m2);
    let strike_through = entry.word("strike_through", &StrikeThrough::WORDS, "\"low\"", |base| base.strike_through);
    let strike_through_prone = entry.flag("strike_through_prone", false, |base| base.strike_through_prone);
    let dark = entry.flag("dark", false, |base| base.dark);
    let note = entry.words("note", |base| base.note.clone());
    entry.check_basis_keys(&FIGURES);
    let grounds = entry.grounds(file, base.map(|base| &base.grounds));
    Some(Paper {
        id: id.to_owned(),
        name: name?,
        aliases,
        grammage_g_m2: grammage_g_m2?,
        caliper_um: caliper_um?,
        void_fraction: void_fraction?,
        capacity_um: capacity_um?,
        absorbing,
        swells,
        sizing: sizing?,
        tooth_um: tooth_um?,
        buckle_g_m2: buckle_g_m2?,
        strike_through: strike_through?,
        strike_through_prone,
        dark,
        note,
        grounds,
    })
}
