//! A can's contents as the spray sees them: volatile parts that carry a substance's data, and solids.

use crate::catalog::{Catalog, Component, Composition, Substance};

/// One volatile part of a can.
#[derive(Debug, Clone, PartialEq)]
pub struct Volatile<'c> {
    /// What the composition calls it: a substance, an unknown CAS number, or what is undeclared.
    pub component: Component,
    /// Whose data it is given: its own, or those of a stand-in.
    pub substance: &'c Substance,
    /// Whether it is gone before it lands.
    pub propellant: bool,
}

/// Mass shares of one composition, the whole can being one.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// Of each volatile part, in the order of [`Contents::volatiles`].
    pub volatiles: Vec<f64>,
    /// Of all solids.
    pub solids: f64,
}

/// Where a part of the composition goes.
#[derive(Debug, Clone, Copy)]
enum Goes {
    Volatile(usize),
    Solids,
}

/// The contents of a can.
#[derive(Debug, Clone)]
pub struct Contents<'c> {
    /// Volatile parts, propellants among them.
    pub volatiles: Vec<Volatile<'c>>,
    composition: &'c Composition,
    parts: Vec<Goes>,
    undeclared_water: Option<usize>,
    undeclared_resin: f64,
}

impl<'c> Contents<'c> {
    /// Sorts a composition. What is undeclared counts as resin and water; a CAS number the catalog does not know
    /// is given the data of the slowest liquid listed, so that all of it lands and stays longest.
    pub fn new(composition: &'c Composition, catalog: &'c Catalog) -> Self {
        let known = |component: &Component| match component {
            Component::Substance(id) => catalog.substances.get(id),
            _ => None,
        };
        let slowest = composition
            .parts
            .iter()
            .filter_map(|part| known(&part.component))
            .filter(|substance| !substance.is_propellant())
            .max_by(|a, b| a.boiling_point_c.total_cmp(&b.boiling_point_c));
        let water = catalog.substances.get("water");
        let mut volatiles: Vec<Volatile<'c>> = Vec::new();
        let mut add = |component: &Component, substance: &'c Substance| {
            volatiles.push(Volatile { component: component.clone(), substance, propellant: substance.is_propellant() });
            volatiles.len() - 1
        };
        let parts = composition
            .parts
            .iter()
            .map(|part| match &part.component {
                Component::Solid(_) | Component::Undeclared => Goes::Solids,
                Component::Substance(_) | Component::Unknown { .. } => known(&part.component)
                    .or(slowest)
                    .or(water)
                    .map_or(Goes::Solids, |substance| Goes::Volatile(add(&part.component, substance))),
            })
            .collect();
        let undeclared_water = water.map(|water| add(&Component::Undeclared, water));
        let undeclared_resin = catalog.model.spray.undeclared_resin_share.get();
        Self { volatiles, composition, parts, undeclared_water, undeclared_resin }
    }

    /// How many parts the composition lists.
    pub fn parts(&self) -> usize {
        self.parts.len()
    }

    /// Shares when each listed part has the share that `of` gives for its place; normalised to one: a complete list
    /// is scaled, one that is not is filled up with what is undeclared, one above one is scaled down.
    pub fn shares(&self, of: impl Fn(usize) -> f64) -> Shares {
        let mut shares = Shares { volatiles: vec![0.0; self.volatiles.len()], solids: 0.0 };
        self.fill(of, &mut shares);
        shares
    }

    /// As [`Contents::shares`], into shares that exist.
    pub fn fill(&self, of: impl Fn(usize) -> f64, shares: &mut Shares) {
        shares.volatiles.fill(0.0);
        shares.solids = 0.0;
        let mut total = 0.0;
        let mut undeclared = 0.0;
        for (place, (goes, part)) in self.parts.iter().zip(&self.composition.parts).enumerate() {
            let share = of(place);
            total += share;
            match goes {
                _ if part.component == Component::Undeclared => undeclared += share,
                Goes::Volatile(index) => shares.volatiles[*index] += share,
                Goes::Solids => shares.solids += share,
            }
        }
        if (self.composition.complete && total > 0.0) || total > 1.0 {
            shares.volatiles.iter_mut().for_each(|share| *share /= total);
            shares.solids /= total;
            undeclared /= total;
        } else {
            undeclared += 1.0 - total;
        }
        let resin = if self.undeclared_water.is_some() { self.undeclared_resin } else { 1.0 };
        shares.solids += undeclared * resin;
        if let Some(water) = self.undeclared_water {
            shares.volatiles[water] += undeclared * (1.0 - resin);
        }
    }

    /// Shares with every part most likely.
    pub fn at_mode(&self) -> Shares {
        self.shares(|place| self.composition.parts[place].share.mode())
    }

    /// Shares with every part where its triangle has the share `u(place)` below it.
    pub fn fill_sample(&self, u: impl Fn(usize) -> f64, shares: &mut Shares) {
        self.fill(|place| self.composition.parts[place].share.at(u(place)), shares);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::{Part, SolidKind};
    use crate::estimate::{Basis, Grounds, Triple};
    use approx::assert_relative_eq;

    fn part(component: Component, share: f64) -> Part {
        Part { component, share: Triple::exact(share), grounds: Grounds::plain(Basis::Label) }
    }

    fn substance(id: &str, share: f64) -> Part {
        part(Component::Substance(id.to_owned()), share)
    }

    #[test]
    fn what_is_not_declared_is_resin_and_water() {
        let catalog = Catalog::builtin();
        let parts = vec![substance("acetone", 0.5), substance("propane", 0.2)];
        let composition = Composition { parts, complete: false };
        let contents = Contents::new(&composition, &catalog);
        let shares = contents.at_mode();
        let resin = catalog.model.spray.undeclared_resin_share.get();
        assert_relative_eq!(shares.solids, 0.3 * resin, max_relative = 1e-12);
        let water = contents.volatiles.iter().position(|part| part.substance.id == "water").expect("water");
        assert_eq!(contents.volatiles[water].component, Component::Undeclared);
        assert_relative_eq!(shares.volatiles[water], 0.3 * (1.0 - resin), max_relative = 1e-12);
        assert_relative_eq!(shares.solids + shares.volatiles.iter().sum::<f64>(), 1.0, max_relative = 1e-12);
        assert!(contents.volatiles[1].propellant && !contents.volatiles[0].propellant);
    }

    #[test]
    fn what_is_declared_beyond_the_whole_is_scaled_down_with_the_rest() {
        let catalog = Catalog::builtin();
        let parts = vec![substance("acetone", 0.9), part(Component::Undeclared, 0.3)];
        let composition = Composition { parts, complete: false };
        let contents = Contents::new(&composition, &catalog);
        let shares = contents.at_mode();
        assert_relative_eq!(shares.volatiles[0], 0.75, max_relative = 1e-12);
        let resin = catalog.model.spray.undeclared_resin_share.get();
        assert_relative_eq!(shares.solids, 0.25 * resin, max_relative = 1e-12);
        assert_relative_eq!(shares.solids + shares.volatiles.iter().sum::<f64>(), 1.0, max_relative = 1e-12);
    }

    #[test]
    fn complete_lists_are_scaled_and_unknown_parts_land_as_the_slowest_listed() {
        let catalog = Catalog::builtin();
        let unknown = Component::Unknown { cas: "99999-99-3".to_owned() };
        let parts = vec![
            substance("acetone", 0.4),
            substance("n-butyl-acetate", 0.1),
            part(unknown.clone(), 0.2),
            part(Component::Solid(SolidKind::Resin), 0.1),
        ];
        let composition = Composition { parts, complete: true };
        let contents = Contents::new(&composition, &catalog);
        let shares = contents.at_mode();
        assert_relative_eq!(shares.solids, 0.125, max_relative = 1e-12);
        assert_eq!(contents.volatiles[2].component, unknown);
        assert_eq!(contents.volatiles[2].substance.id, "n-butyl-acetate");
        assert_relative_eq!(shares.volatiles[2], 0.25, max_relative = 1e-12);
    }
}
