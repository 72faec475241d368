//! A medium: what it is bound with, how it dries, what moves it, how a sealer changes it.

use std::collections::BTreeSet;

use super::FigureGrounds;
use super::SolventClass;
use crate::estimate::Triple;

/// What carries a medium onto the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Carrier {
    /// Nothing: a dry stick, a fused print.
    None,
    /// Water, with or without glycols.
    Water,
    /// Ethanol, propanols, glycol ethers.
    Alcohol,
    /// Hydrocarbons.
    Aliphatic,
    /// Xylene, propylene glycol ethers: paint-pen solvents.
    Solvent,
}

impl Carrier {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 5] = [
        ("none", Self::None),
        ("water", Self::Water),
        ("alcohol", Self::Alcohol),
        ("aliphatic", Self::Aliphatic),
        ("solvent", Self::Solvent),
    ];
}

/// How waits of a medium change with the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DryingKind {
    /// By the vapour-pressure deficit of the air.
    Water,
    /// Twice as long for every 10 K colder.
    Solvent,
    /// Not at all.
    Dry,
}

impl DryingKind {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 3] =
        [("water", Self::Water), ("solvent", Self::Solvent), ("dry", Self::Dry)];
}

/// The surface a dried medium offers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FilmClass {
    /// Stain in open paper.
    Open,
    /// Thin waxy pencil.
    ThinWax,
    /// Matte, under-bound.
    Chalky,
    /// Gum.
    Gum,
    /// Resin.
    Resin,
    /// Closed plastic film.
    Plastic,
    /// Slick graphite.
    Slick,
    /// Loose powder.
    Loose,
    /// Oil and wax.
    OilWax,
    /// Wax.
    Wax,
    /// Grease that never dries.
    Grease,
    /// Metal, mica or polyester flakes.
    Flake,
    /// Rubber.
    Rubber,
}

impl FilmClass {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 13] = [
        ("open", Self::Open),
        ("thin-wax", Self::ThinWax),
        ("chalky", Self::Chalky),
        ("gum", Self::Gum),
        ("resin", Self::Resin),
        ("plastic", Self::Plastic),
        ("slick", Self::Slick),
        ("loose", Self::Loose),
        ("oil-wax", Self::OilWax),
        ("wax", Self::Wax),
        ("grease", Self::Grease),
        ("flake", Self::Flake),
        ("rubber", Self::Rubber),
    ];
}

/// A fact about a medium that a rule asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Trait {
    /// Laid with water: judged against the paper's buckling limit, waits scale with humidity.
    WaterMedium,
    /// Its colour dissolves in water when dry.
    WaterSoluble,
    /// A dry stick or pencil that needs tooth.
    DryPencil,
    /// Brush acrylic, which holds over anything.
    BrushAcrylic,
    /// Metal or mica flakes that a sealer can dull.
    Metallic,
    /// Loose powder that a jet moves.
    Friable,
    /// Glitter.
    Glitter,
    /// Wax that can bloom.
    Wax,
    /// Fused or printed line.
    Print,
    /// Never sealed.
    NeverSealed,
    /// Must come off before anything else.
    RemoveFirst,
    /// Scrubs up the tooth: used in small areas.
    RoughsTooth,
    /// Shimmer: one step more careful than its group beside water-borne colour.
    CarefulWithWater,
    /// One step milder than its group under water media.
    MilderUnderWater,
    /// Chalky lights that go transparent.
    LightsDarken,
    /// A residue without colour of its own (a blender): it responds as the media it meets.
    Residue,
}

impl Trait {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 16] = [
        ("water-medium", Self::WaterMedium),
        ("water-soluble", Self::WaterSoluble),
        ("dry-pencil", Self::DryPencil),
        ("brush-acrylic", Self::BrushAcrylic),
        ("metallic", Self::Metallic),
        ("friable", Self::Friable),
        ("glitter", Self::Glitter),
        ("wax", Self::Wax),
        ("print", Self::Print),
        ("never-sealed", Self::NeverSealed),
        ("remove-first", Self::RemoveFirst),
        ("roughs-tooth", Self::RoughsTooth),
        ("careful-with-water", Self::CarefulWithWater),
        ("milder-under-water", Self::MilderUnderWater),
        ("lights-darken", Self::LightsDarken),
        ("residue", Self::Residue),
    ];
}

/// A figure for each solvent class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BySolvent {
    /// Water.
    pub water: Triple,
    /// Alcohols and glycol ethers.
    pub alcohol: Triple,
    /// Ketones and esters, dimethyl ether.
    pub ketone_ester: Triple,
    /// Aliphatic hydrocarbons.
    pub aliphatic: Triple,
    /// Aromatic hydrocarbons.
    pub aromatic: Triple,
}

impl BySolvent {
    /// The figure of a class; propellants count as gone before they land and move nothing.
    pub fn of(&self, class: SolventClass) -> Triple {
        match class {
            SolventClass::Water => self.water,
            SolventClass::Alcohol => self.alcohol,
            SolventClass::KetoneEster => self.ketone_ester,
            SolventClass::Aliphatic => self.aliphatic,
            SolventClass::Aromatic => self.aromatic,
            SolventClass::Propellant => Triple::exact(0.0),
        }
    }
}

/// One way of laying a medium.
#[derive(Debug, Clone, PartialEq)]
pub struct Technique {
    /// Id, for instance `wet-on-dry`; empty for a medium with only one way.
    pub id: String,
    /// Touch-dry in minutes at 20 °C and 50 %; `None` needs no drying or never dries.
    pub touch_min: Option<Triple>,
    /// Dry through in hours; `None` never.
    pub through_h: Option<Triple>,
    /// Wait before the first spray coat, in hours; zero if none is needed; `None` never.
    pub seal_wait_h: Option<Triple>,
    /// The same for raised or thick work, in hours, where the trade tells them apart (heavy laydown).
    pub seal_wait_thick_h: Option<Triple>,
    /// Water it lays where it lies, g/m².
    pub water_load_g_m2: Triple,
}

/// A medium of the catalog. Sensitivities and the like are 0 to 1; see `profiles/media.toml`.
#[derive(Debug, Clone, PartialEq)]
pub struct Medium {
    /// Id.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Other accepted names.
    pub aliases: Vec<String>,
    /// Group in the pair table.
    pub group: String,
    /// Binder in words.
    pub binder: String,
    /// Carrier.
    pub carrier: Carrier,
    /// How its waits scale.
    pub drying: DryingKind,
    /// Ways of laying it, the wettest first; at least one.
    pub techniques: Vec<Technique>,
    /// Visible response to free liquid left a minute on the dry layer.
    pub sensitivity: BySolvent,
    /// How easily it dusts off.
    pub friability: Triple,
    /// How much tooth it fills.
    pub tooth_use: Triple,
    /// Tendency to wax bloom.
    pub bloom: Triple,
    /// Darkening under a sealer.
    pub darkening: Triple,
    /// Loss of metallic sparkle under a sealer.
    pub dulling: Triple,
    /// Surface it offers.
    pub film: FilmClass,
    /// Largest safe landed wet film of the first coat, µm (thick and unknown, ordinary, thin on absorbent stock).
    pub first_coat_um: Triple,
    /// Share of a page it usually covers.
    pub typical_cover: f64,
    /// Facts that rules ask for.
    pub traits: BTreeSet<Trait>,
    /// One or two sentences of what to know.
    pub note: Option<String>,
    /// What the figures stand on.
    pub grounds: FigureGrounds,
}

impl Medium {
    /// Whether a rule's fact holds.
    pub fn is(&self, fact: Trait) -> bool {
        self.traits.contains(&fact)
    }

    /// The technique of that id, if there is one.
    pub fn technique(&self, id: &str) -> Option<&Technique> {
        self.techniques.iter().find(|technique| technique.id == id)
    }

    /// The technique taken when none is stated: the wettest.
    pub fn default_technique(&self) -> &Technique {
        &self.techniques[0]
    }
}
