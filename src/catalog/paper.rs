//! A paper: how thick, how open, how rough, how much water until it buckles.

use super::FigureGrounds;
use crate::estimate::Triple;

/// How easily colour or sealer shows on the back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StrikeThrough {
    /// Never: nothing is absorbed.
    None,
    /// Very low.
    VeryLow,
    /// Low.
    Low,
    /// Medium.
    Medium,
    /// High.
    High,
}

impl StrikeThrough {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 5] = [
        ("none", Self::None),
        ("very-low", Self::VeryLow),
        ("low", Self::Low),
        ("medium", Self::Medium),
        ("high", Self::High),
    ];
}

/// A paper of the catalog.
#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    /// Id.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Other accepted names.
    pub aliases: Vec<String>,
    /// Usual weight, g/m².
    pub grammage_g_m2: f64,
    /// Thickness, µm.
    pub caliper_um: Triple,
    /// Share of the thickness that is air, 0 to 1.
    pub void_fraction: f64,
    /// Pore capacity at the usual weight, µm of liquid (mL/m²).
    pub capacity_um: Triple,
    /// Whether it takes up liquid at all.
    pub absorbing: bool,
    /// Whether water makes it swell.
    pub swells: bool,
    /// Sizing in words.
    pub sizing: String,
    /// Depth of the tooth, µm.
    pub tooth_um: Triple,
    /// Water load at which it begins to buckle, g/m².
    pub buckle_g_m2: Triple,
    /// How easily things show on the back.
    pub strike_through: StrikeThrough,
    /// Whether coats must keep their distance because of strike-through.
    pub strike_through_prone: bool,
    /// Whether it is dark stock, where haze shows.
    pub dark: bool,
    /// One or two sentences of what to know.
    pub note: Option<String>,
    /// What the figures stand on.
    pub grounds: FigureGrounds,
}

impl Paper {
    /// Pore capacity in µm for a sheet of this weight (g/m²), in proportion to weight.
    pub fn capacity_at(&self, grammage_g_m2: f64) -> Triple {
        self.capacity_um.scaled(grammage_g_m2 / self.grammage_g_m2)
    }
}

#[cfg(test)]
mod tests {
    use crate::catalog::Catalog;

    #[test]
    fn a_sheet_of_twice_the_weight_takes_up_twice_as_much() {
        let paper = &Catalog::builtin().papers["mixed-media"];
        let heavy = paper.capacity_at(2.0 * paper.grammage_g_m2);
        let ends = |triple: crate::estimate::Triple| [triple.low(), triple.mode(), triple.high()];
        assert_eq!(ends(heavy), ends(paper.capacity_um).map(|capacity| 2.0 * capacity));
    }
}
