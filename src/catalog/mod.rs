//! Media, papers, sealers, substances, pair verdicts, rooms and rules: typed, validated, built in from `profiles/`,
//! extended by the user's own files.

mod builtin;
pub mod cas;
mod check;
mod compose;
mod composition;
mod fan;
mod figures;
mod load;
mod medium;
mod model;
mod names;
mod own_sealer;
mod pairs;
mod paper;
mod read;
mod rules;
mod sealer;
mod substance;

pub use check::check;
pub use compose::SolidNames;
pub use composition::{Component, Composition, Part, SolidKind};
pub use figures::Figure;
pub use medium::{BySolvent, Carrier, DryingKind, FilmClass, Medium, Technique, Trait};
pub use model::{FilmFigures, MeasureFigures, ModelFigures, SprayFigures};
pub use names::{Entry, Kind, LayerMaterial, Unknown};
pub use pairs::{PairRow, PairTable, PairVerdict};
pub use paper::{Paper, StrikeThrough};
pub use rules::{AirRules, ConditionRules, Rules};
pub use sealer::{Delivery, Family, Label, Sealer};
pub use substance::{ExposureLimits, HazardFlag, SingleLimits, SolventClass, Substance, SubstanceDetails};

use std::collections::BTreeMap;

use crate::estimate::Grounds;
use crate::input::RoomInput;

/// The grounds of an entry's figures: a default, and exceptions by the name of the figure.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureGrounds {
    /// What every figure without its own entry stands on.
    pub default: Grounds,
    /// Figures that stand on something else.
    pub own: BTreeMap<String, Grounds>,
}

impl FigureGrounds {
    /// What the named figure stands on.
    pub fn of(&self, figure: &str) -> &Grounds {
        self.own.get(figure).unwrap_or(&self.default)
    }
}

/// Everything the catalog knows, by id. Ids are lower case with hyphens.
#[derive(Debug, Clone)]
pub struct Catalog {
    /// Media by id.
    pub media: BTreeMap<String, Medium>,
    /// Papers by id.
    pub papers: BTreeMap<String, Paper>,
    /// Sealers by id.
    pub sealers: BTreeMap<String, Sealer>,
    /// Solvents and propellants by id.
    pub substances: BTreeMap<String, Substance>,
    /// Built-in rooms by id.
    pub rooms: BTreeMap<String, RoomInput>,
    /// The pair table.
    pub pairs: PairTable,
    /// Every threshold.
    pub rules: Rules,
    /// Uncertain constants of the spray and film models.
    pub model: ModelFigures,
    /// What safety data sheets call what stays on the page.
    pub solids: BTreeMap<SolidKind, SolidNames>,
    /// CAS numbers of isocyanate hardeners.
    pub isocyanates: Vec<String>,
    /// Names that could mean several entries, folded, with the ids they could mean.
    ambiguous: BTreeMap<(Kind, String), Vec<String>>,
}
