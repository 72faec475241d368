//! Reading a sealer.

use super::entry::Entry;
use crate::catalog::compose::{Parts, compose};
use crate::catalog::sealer::{Delivery, Family, Sealer};
use crate::diagnostic::Problem;
use crate::estimate::Grounds;
use crate::input::{CanInput, Finish, TableReader, read_composition, read_label};

/// Figures that may have a basis of their own.
pub(crate) const FIGURES: [&str; 13] = [
    "composition",
    "volume_solids",
    "discharge_g_s",
    "practice_distance_cm",
    "touch_min",
    "recoat_min",
    "full_cure_h",
    "resin_tg_k",
    "solids_density_kg_m3",
    "yellows",
    "reversible",
    "hurts",
    "family",
];

const FINISHES: [(&str, Option<Finish>); 5] = [
    ("none", None),
    ("matte", Some(Finish::Matte)),
    ("satin", Some(Finish::Satin)),
    ("gloss", Some(Finish::Gloss)),
    ("matt", Some(Finish::Matte)),
];

/// Reads a sealer over the one it extends. `parts` knows the substances.
pub(crate) fn read(
    id: &str,
    reader: &TableReader<'_>,
    base: Option<&Sealer>,
    (file, sheet): (&Grounds, &Grounds),
    parts: &Parts<'_>,
) -> Option<Sealer> {
    let entry = Entry::new(reader, base);
    let name = entry.name(id);
    let aliases = reader.texts("aliases").into_iter().map(|alias| alias.value).collect();
    let family = entry.word("family", &Family::WORDS, "\"acrylic\"", |base| base.family);
    let finish = entry.word("finish", &FINISHES, "\"gloss\"", |base| base.finish);
    let delivery = entry.word("delivery", &Delivery::WORDS, "\"aerosol\"", |base| base.delivery);
    let volume_solids = entry.triple("volume_solids", 0.0..=1.0, |base| base.volume_solids);
    let discharge_g_s = entry.triple("discharge_g_s", 0.01..=10.0, |base| base.discharge_g_s);
    let distance = entry.pair("practice_distance_cm", 1.0..=200.0, "[20, 30]", |base| base.practice_distance_cm);
    let touch_min = entry.triple("touch_min", 0.0..=100_000.0, |base| base.touch_min);
    let recoat_min = entry.triple("recoat_min", 0.0..=100_000.0, |base| base.recoat_min);
    let full_cure_h = entry.triple("full_cure_h", 0.0..=10_000.0, |base| base.full_cure_h);
    let resin_tg_k = entry.triple("resin_tg_k", 150.0..=600.0, |base| base.resin_tg_k);
    let density = entry.number("solids_density_kg_m3", 500.0..=5000.0, |base| base.solids_density_kg_m3);
    let closes_tooth = entry.flag("closes_tooth", true, |base| base.closes_tooth);
    let for_paper = entry.flag("for_paper", true, |base| base.for_paper);
    let oxidising = entry.flag("oxidising", false, |base| base.oxidising);
    let yellows = entry.text("yellows", "\"low\"", |base| base.yellows.clone());
    let yellows_badly = entry.flag("yellows_badly", false, |base| base.yellows_badly);
    let reversible = entry.text("reversible", "\"no\"", |base| base.reversible.clone());
    let hurts = entry.text("hurts", "\"markers while wet\"", |base| base.hurts.clone());
    let note = entry.words("note", |base| base.note.clone());
    let complete = reader.boolean("composition_complete").unwrap_or(false);
    let composition = match reader.table("composition") {
        Some(table) => {
            entry.mark_own("composition");
            let written = read_composition(&table);
            let grounds = match reader.table("basis").and_then(|basis| basis.text("composition")) {
                Some(text) => Grounds::parse(&text.value).unwrap_or_else(|| sheet.clone()),
                None => sheet.clone(),
            };
            match parts.resolve(&written, &grounds) {
                Ok(listed) => {
                    let below = if complete { None } else { base.map(|base| &base.composition) };
                    Some(compose(below, listed, complete))
                }
                Err(problems) => {
                    for problem in problems {
                        reader.problem(problem);
                    }
                    None
                }
            }
        }
        None => {
            if base.is_none() {
                let problem = Problem::new("missing-key", format!("the sealer `{id}` has no `composition`")).with_hint(
                    "list its parts as section 3 of the safety data sheet does, or extend a built-in sealer",
                );
                reader.problem(problem.at(reader.span()).with_key(reader.path_of("composition")));
            }
            base.map(|base| base.composition.clone())
        }
    };
    let label = match reader.table("label") {
        Some(table) => read_label(table).over(base.map(|base| &base.label)),
        None => base.map(|base| base.label.clone()).unwrap_or_default(),
    };
    entry.check_basis_keys(&FIGURES);
    let grounds = entry.grounds(file, base.map(|base| &base.grounds));
    Some(Sealer {
        id: id.to_owned(),
        name: name?,
        aliases,
        family: family?,
        finish: finish?,
        composition: composition?,
        delivery: delivery?,
        volume_solids: volume_solids?,
        discharge_g_s: discharge_g_s?,
        profile_discharge_g_s: discharge_g_s?,
        unmeasured: None,
        practice_distance_cm: distance?,
        touch_min: touch_min?,
        recoat_min: recoat_min?,
        full_cure_h: full_cure_h?,
        resin_tg_k: resin_tg_k?,
        solids_density_kg_m3: density?,
        closes_tooth,
        for_paper,
        oxidising,
        yellows: yellows?,
        yellows_badly,
        reversible: reversible?,
        hurts: hurts?,
        label,
        can: CanInput::default(),
        note,
        grounds,
    })
}
