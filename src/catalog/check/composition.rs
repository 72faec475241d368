//! Compositions: known parts, shares that can reach 100 %.

use crate::catalog::{Catalog, Component, Sealer};

pub(super) fn check(catalog: &Catalog, wrong: &mut Vec<String>) {
    for (id, sealer) in &catalog.sealers {
        parts(catalog, id, sealer, wrong);
        wrong.extend(self::sealer(sealer).into_iter().map(|what| format!("sealer {id}: {what}")));
    }
}

/// What contradicts itself in a sealer, besides its composition.
pub(in crate::catalog) fn sealer(sealer: &Sealer) -> Vec<String> {
    let mut wrong = Vec::new();
    if sealer.practice_distance_cm.0 > sealer.practice_distance_cm.1 {
        wrong.push("its distance runs backwards".to_owned());
    }
    if sealer.recoat_min.mode() < sealer.touch_min.mode() {
        wrong.push("the next coat comes before this one is dry to the touch".to_owned());
    }
    wrong
}

fn parts(catalog: &Catalog, id: &str, sealer: &Sealer, wrong: &mut Vec<String>) {
    let composition = &sealer.composition;
    let sum = |pick: fn(crate::estimate::Triple) -> f64| -> f64 {
        composition.parts.iter().map(|part| pick(part.share)).sum()
    };
    let (low, high) = (sum(crate::estimate::Triple::low), sum(crate::estimate::Triple::high));
    if low > 1.0 + 1e-9 {
        wrong.push(format!("sealer {id}: the low ends of its parts add up to {:.0} %", low * 100.0));
    }
    if composition.complete && high < 1.0 - 1e-9 {
        wrong.push(format!("sealer {id}: its parts reach only {:.0} %", high * 100.0));
    }
    let solid = composition.parts.iter().any(|part| matches!(part.component, Component::Solid(_)));
    if composition.complete && !solid {
        wrong.push(format!("sealer {id}: nothing in it stays on the page"));
    }
    for part in &composition.parts {
        if let Component::Substance(substance) = &part.component
            && !catalog.substances.contains_key(substance)
        {
            wrong.push(format!("sealer {id}: there is no substance `{substance}`"));
        }
    }
    if !composition.complete {
        return;
    }
    for (component, share) in composition.at_mode() {
        let range = composition.parts.iter().find(|part| part.component == *component).map(|part| part.share);
        if let Some(range) = range
            && !(range.low() - 1e-9..=range.high() + 1e-9).contains(&share)
        {
            let name = catalog.component_name(component);
            wrong.push(format!("sealer {id}: scaled to 100 %, {name} is {:.1} %, outside its range", share * 100.0));
        }
    }
}
