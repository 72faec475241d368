//! A page whose names are resolved: which medium, technique and paper are meant.

use jiff::ZonedDateTime;

use crate::catalog::{Medium, Paper, Sealer, Technique};
use crate::diagnostic::sentence_start;
use crate::input::{Finish, Laydown};

/// What a layer is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Laid<'c> {
    /// A medium, laid in one of its ways.
    Medium(&'c Medium, &'c Technique),
    /// A fixative or sealer already on, or to go between.
    Sealer(&'c Sealer),
}

/// One layer of a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer<'c> {
    /// Place from 1 at the bottom.
    pub place: usize,
    /// What it is.
    pub what: Laid<'c>,
    /// Whether the technique was stated, or there is only one.
    pub technique_stated: bool,
    /// Stated cover, 0 to 1.
    pub cover: Option<f64>,
    /// How much of it lies there.
    pub laydown: Laydown,
    /// Areas; empty is the whole page.
    pub areas: Vec<String>,
    /// When it was finished; `None` is still to be laid.
    pub finished: Option<ZonedDateTime>,
    /// Covered while spraying.
    pub masked: bool,
}

impl<'c> Layer<'c> {
    /// The medium, unless it is a fixative or sealer.
    pub fn medium(&self) -> Option<&'c Medium> {
        match self.what {
            Laid::Medium(medium, _) => Some(medium),
            Laid::Sealer(_) => None,
        }
    }

    /// Id of the medium or sealer.
    pub fn id(&self) -> &'c str {
        match self.what {
            Laid::Medium(medium, _) => &medium.id,
            Laid::Sealer(sealer) => &sealer.id,
        }
    }

    /// Name for people.
    pub fn name(&self) -> &'c str {
        match self.what {
            Laid::Medium(medium, _) => &medium.name,
            Laid::Sealer(sealer) => &sealer.name,
        }
    }

    /// Name and place, as findings say it: `watercolour (layer 2)`.
    pub fn label(&self) -> String {
        format!("{} (layer {})", self.name(), self.place)
    }

    /// The same at the start of a sentence.
    pub fn titled(&self) -> String {
        sentence_start(&self.label())
    }

    /// Whether two layers share an area.
    pub fn meets(&self, other: &Self) -> bool {
        self.areas.is_empty() || other.areas.is_empty() || self.areas.iter().any(|area| other.areas.contains(area))
    }
}

/// A resolved page.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet<'c> {
    /// Title.
    pub title: String,
    /// Width, m.
    pub width_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// Paper.
    pub paper: &'c Paper,
    /// Weight, g/m²: this sheet's own or the paper's usual one.
    pub grammage_g_m2: f64,
    /// The finish wanted.
    pub finish: Option<Finish>,
    /// How far it bows, m.
    pub bow_m: Option<f64>,
    /// Layers, bottom to top.
    pub layers: Vec<Layer<'c>>,
}

impl<'c> Sheet<'c> {
    /// Layers that are sprayed on: all that are not masked.
    pub fn exposed(&self) -> impl Iterator<Item = &Layer<'c>> {
        self.layers.iter().filter(|layer| !layer.masked)
    }

    /// Area, m².
    pub fn area_m2(&self) -> f64 {
        self.width_m * self.height_m
    }
}
