//! What is in a can, by mass.

use crate::estimate::{Grounds, Triple};

/// What stays on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SolidKind {
    /// Film-forming resin.
    Resin,
    /// Matting silica.
    Silica,
    /// Ultraviolet absorber and stabiliser.
    Absorber,
    /// Plasticiser and other additives.
    Additive,
}

/// One part of a composition.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Component {
    /// A substance of the catalog, by id.
    Substance(String),
    /// Solids.
    Solid(SolidKind),
    /// A well-formed CAS number that the catalog does not know.
    Unknown {
        /// The number.
        cas: String,
    },
    /// What a safety data sheet does not list: counted as resin and water for the film.
    Undeclared,
}

/// One part with its mass share.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is.
    pub component: Component,
    /// Mass share of the whole can, low/mode/high, as fractions.
    pub share: Triple,
    /// What the share stands on.
    pub grounds: Grounds,
}

/// The composition of a can.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Composition {
    /// The parts; the lows add up to at most 1.
    pub parts: Vec<Part>,
    /// Whether the list is complete, so that the modes are scaled to 1.
    pub complete: bool,
}

impl Composition {
    /// The most likely mass shares. They add up to 1: modes are scaled for a complete list; otherwise what is
    /// missing is [`Component::Undeclared`], and modes over 1 are scaled down.
    pub fn at_mode(&self) -> Vec<(&Component, f64)> {
        let total: f64 = self.parts.iter().map(|part| part.share.mode()).sum();
        let scale = if (self.complete && total > 0.0) || total > 1.0 { 1.0 / total } else { 1.0 };
        let mut shares: Vec<(&Component, f64)> =
            self.parts.iter().map(|part| (&part.component, part.share.mode() * scale)).collect();
        let missing = 1.0 - total * scale;
        if missing > 1e-9 {
            shares.push((&Component::Undeclared, missing));
        }
        shares
    }

    /// The most likely mass share of a substance.
    pub fn share_of(&self, substance: &str) -> f64 {
        self.at_mode()
            .into_iter()
            .filter(|(component, _)| matches!(component, Component::Substance(id) if id == substance))
            .map(|(_, share)| share)
            .sum()
    }
}
