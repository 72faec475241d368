//! From a written composition to one that adds up.

use std::collections::BTreeMap;

use super::names::{Kind, Unknown, fold};
use super::{Catalog, Component, Composition, Part, SolidKind, cas};
use crate::diagnostic::Problem;
use crate::estimate::{Grounds, Triple};
use crate::input::CompositionInput;

/// What a solid is called.
#[derive(Debug, Clone, PartialEq)]
pub struct SolidNames {
    /// The word in profiles.
    pub id: &'static str,
    /// Other names a safety data sheet uses.
    pub aliases: Vec<String>,
    /// CAS numbers counted as this.
    pub cas: Vec<String>,
}

/// Knows what a part of a composition may be called.
#[derive(Debug, Clone)]
pub(super) struct Parts<'c> {
    catalog: &'c Catalog,
    /// Every name of a solid, folded once: each part of each can is looked for among them.
    solids: BTreeMap<String, SolidKind>,
}

impl<'c> Parts<'c> {
    pub(super) fn of(catalog: &'c Catalog) -> Self {
        let names = catalog.solids.iter().flat_map(|(kind, names)| {
            let spellings = std::iter::once(names.id).chain(names.aliases.iter().map(String::as_str));
            spellings.map(|name| (fold(name), *kind))
        });
        Self { catalog, solids: names.collect() }
    }

    /// The parts as components, the same component added up.
    pub(super) fn resolve(&self, written: &CompositionInput, grounds: &Grounds) -> Result<Vec<Part>, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut shares: BTreeMap<Component, Triple> = BTreeMap::new();
        for part in &written.parts {
            match self.component(&part.name.value) {
                Ok(component) => {
                    let (low, high) = part.share;
                    let before = shares.get(&component).copied().unwrap_or(Triple::exact(0.0));
                    let sum =
                        Triple::from_range(before.low() + low, (before.high() + high).min(1.0).max(before.low() + low));
                    shares.insert(component, sum.unwrap_or(before));
                }
                Err(problem) => problems.push(problem.at(part.name.span.clone()).with_key(&part.name.value)),
            }
        }
        let lows: f64 = written.parts.iter().map(|part| part.share.0).sum();
        if lows > 1.0 + 1e-9
            && let Some(last) = written.parts.last()
        {
            let percent = crate::quantity::number((lows * 1000.0).round() / 10.0);
            let problem =
                Problem::new("composition-over-100", format!("the low ends of the shares add up to {percent} %"))
                    .with_hint(
                        "copy the shares again from section 3 of the sheet: the low ends add up to 100 % at most",
                    );
            problems.push(problem.at(last.share_span.clone()).with_key("composition"));
        }
        if problems.is_empty() {
            let part = |(component, share)| Part { component, share, grounds: grounds.clone() };
            Ok(shares.into_iter().map(part).collect())
        } else {
            Err(problems)
        }
    }

    /// What a name or CAS number means.
    fn component(&self, written: &str) -> Result<Component, Box<Problem>> {
        let name = written.trim();
        if cas::looks_like(name) {
            if !cas::is_valid(name) {
                let problem =
                    Problem::new("cas-number", format!("`{name}` is not a CAS number: its last digit does not check"));
                return Err(Box::new(problem.with_hint("compare it with the sheet, digit by digit")));
            }
            let solid = self.catalog.solids.iter().find(|(_, names)| names.cas.iter().any(|cas| cas == name));
            let substance = self.catalog.substances.values().find(|substance| substance.has_cas(name));
            return Ok(match (solid, substance) {
                (Some((kind, _)), _) => Component::Solid(*kind),
                (None, Some(substance)) => Component::Substance(substance.id.clone()),
                (None, None) => Component::Unknown { cas: name.to_owned() },
            });
        }
        let folded = fold(name);
        if let Some(kind) = self.solids.get(&folded) {
            return Ok(Component::Solid(*kind));
        }
        match self.catalog.substance(name) {
            Ok(substance) => Ok(Component::Substance(substance.id.clone())),
            Err(_) if folded.contains("isocyanate") => {
                // The sheet's own word is enough: any isocyanate is treated as the worst of them.
                let cas = self.catalog.isocyanates.first().cloned().unwrap_or_default();
                Ok(Component::Unknown { cas })
            }
            Err(unknown) => Err(Box::new(not_known(&unknown))),
        }
    }
}

fn not_known(unknown: &Unknown) -> Problem {
    debug_assert!(unknown.kind == Kind::Substance);
    let hint = if unknown.near.is_empty() {
        "write its CAS number from the sheet instead: an unknown number is accepted, with care".to_owned()
    } else {
        format!("{} Or write its CAS number from the sheet", unknown.hint())
    };
    Problem::new("unknown-substance", unknown.to_string()).with_hint(hint)
}

/// The composition of a can: the listed parts, and the base's other parts filling what is left.
///
/// A listed part replaces the base's. The rest of the base fills the remainder `r = 1 − Σ listed modes` within its
/// ranges: all its modes move by one common share of the way to their low ends (if they are too much) or high ends
/// (if too little). What even the high ends do not fill stays undeclared; if even the low ends are too much, they are
/// scaled down, since the sheet outweighs the base.
pub(super) fn compose(base: Option<&Composition>, listed: Vec<Part>, complete: bool) -> Composition {
    let Some(base) = base else { return Composition { parts: listed, complete } };
    let rest: Vec<&Part> =
        base.parts.iter().filter(|part| listed.iter().all(|own| own.component != part.component)).collect();
    let remainder = (1.0 - listed.iter().map(|part| part.share.mode()).sum::<f64>()).max(0.0);
    let sum = |pick: fn(Triple) -> f64| rest.iter().map(|part| pick(part.share)).sum::<f64>();
    let (low, mode, high) = (sum(Triple::low), sum(Triple::mode), sum(Triple::high));
    let filled = rest.iter().filter_map(|part| {
        let share = part.share;
        let fitted = if low > remainder {
            let factor = if low > 0.0 { remainder / low } else { 0.0 };
            Triple::new(0.0, share.low() * factor, share.high())
        } else if mode > remainder {
            let way = (mode - remainder) / (mode - low);
            Triple::new(share.low(), share.mode() - way * (share.mode() - share.low()), share.high())
        } else if high > mode {
            let way = ((remainder - mode) / (high - mode)).min(1.0);
            Triple::new(share.low(), share.mode() + way * (share.high() - share.mode()), share.high())
        } else {
            Some(share)
        };
        let share = fitted.unwrap_or(share);
        (share.mode() > 0.0).then(|| Part { component: part.component.clone(), share, grounds: part.grounds.clone() })
    });
    let filled: Vec<Part> = filled.collect();
    let mut parts = listed;
    parts.extend(filled);
    Composition { parts, complete: false }
}
