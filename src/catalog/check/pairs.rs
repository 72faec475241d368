//! The pair table: no group without rows, no gap, no stray row.

use std::collections::BTreeSet;

use crate::catalog::{Catalog, PairTable};

/// The group of a workable fixative as a lower layer.
const FIXATIVE: &str = "workable-fixative";

pub(super) fn check(catalog: &Catalog, wrong: &mut Vec<String>) {
    let groups: BTreeSet<&str> = catalog.media.values().map(|medium| medium.group.as_str()).collect();
    let lowers: BTreeSet<&str> = groups.iter().copied().chain([FIXATIVE]).collect();
    let uppers: BTreeSet<&str> = groups.iter().copied().chain([PairTable::SEALER]).collect();
    for lower in &lowers {
        for upper in &uppers {
            if catalog.pairs.row(lower, upper).is_none() {
                wrong.push(format!("pairs: {upper} over {lower} has no row"));
            }
        }
    }
    for ((lower, upper), row) in &catalog.pairs.rows {
        if !lowers.contains(lower.as_str()) || !uppers.contains(upper.as_str()) {
            wrong.push(format!("pairs: no medium is in the row {upper} over {lower}"));
        }
        if row.effect.is_empty() || row.why.is_empty() {
            wrong.push(format!("pairs: {upper} over {lower} says no effect or no reason"));
        }
    }
}
