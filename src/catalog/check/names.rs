//! Names: each one reaches its entry, and only that.

use std::collections::BTreeMap;

use crate::catalog::Catalog;
use crate::catalog::names::{Kind, Named, fold};

pub(super) fn check(catalog: &Catalog, wrong: &mut Vec<String>) {
    let media = shelf(catalog, Kind::Medium, &catalog.media, wrong);
    shelf(catalog, Kind::Paper, &catalog.papers, wrong);
    shelf(catalog, Kind::Sealer, &catalog.sealers, wrong);
    shelf(catalog, Kind::Substance, &catalog.substances, wrong);
    shelf(catalog, Kind::Room, &catalog.rooms, wrong);
    // A layer may be a medium or a sealer, so their names must not meet either.
    for (id, sealer) in &catalog.sealers {
        for spelling in sealer.aliases.iter().chain([&sealer.name, id]) {
            let folded = fold(spelling);
            if media.contains_key(&folded) || catalog.ambiguous.contains_key(&(Kind::Medium, folded)) {
                wrong.push(format!("sealer {id}: as a layer, `{spelling}` does not mean it"));
            }
        }
    }
    for ((kind, name), ids) in &catalog.ambiguous {
        for id in ids {
            let known = match kind {
                Kind::Medium => catalog.media.contains_key(id),
                Kind::Paper => catalog.papers.contains_key(id),
                Kind::Sealer => catalog.sealers.contains_key(id),
                Kind::Substance => catalog.substances.contains_key(id),
                Kind::Room | Kind::Material => catalog.rooms.contains_key(id),
            };
            if !known {
                wrong.push(format!("ambiguous {} `{name}`: there is no `{id}`", kind.word()));
            }
        }
    }
    let mut numbers: BTreeMap<&str, &str> = BTreeMap::new();
    for (id, substance) in &catalog.substances {
        for number in substance.cas_aliases.iter().chain([&substance.cas]) {
            if let Some(other) = numbers.insert(number, id) {
                wrong.push(format!("substance {id}: the CAS number {number} is that of {other}, too"));
            }
        }
    }
    for names in catalog.solids.values() {
        for number in &names.cas {
            if !crate::catalog::cas::is_valid(number) {
                wrong.push(format!("solid {}: {number} is not a CAS number", names.id));
            }
            if let Some(other) = numbers.get(number.as_str()) {
                wrong.push(format!("solid {}: the CAS number {number} is that of {other}, too", names.id));
            }
        }
    }
    for number in catalog.isocyanates.iter().filter(|number| !crate::catalog::cas::is_valid(number)) {
        wrong.push(format!("isocyanate {number} is not a CAS number"));
    }
}

/// Checks the names of one kind, and hands them back folded, each with its owner.
fn shelf<'c, T: Named>(
    catalog: &Catalog,
    kind: Kind,
    shelf: &'c BTreeMap<String, T>,
    wrong: &mut Vec<String>,
) -> BTreeMap<String, &'c str> {
    let mut owners: BTreeMap<String, &str> = BTreeMap::new();
    for (id, entry) in shelf {
        let (name, aliases) = entry.names();
        for spelling in aliases.iter().map(String::as_str).chain([name, id.as_str()]) {
            let folded = fold(spelling);
            if catalog.ambiguous.contains_key(&(kind, folded.clone())) {
                wrong.push(format!("{} {id}: `{spelling}` does not reach it", kind.word()));
            }
            match owners.insert(folded, id) {
                Some(other) if other != id => {
                    wrong.push(format!("{} {id}: `{spelling}` means {other}, too", kind.word()));
                }
                _ => {}
            }
        }
    }
    owners
}
