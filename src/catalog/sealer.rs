//! A sealer: chemistry, finish, composition, how it comes out of the can, what the can says.

use super::{Composition, FigureGrounds};
use crate::estimate::Triple;
use crate::input::{CanInput, Finish, LabelInput};

/// What the can says. A built-in sealer says nothing.
pub type Label = LabelInput;

/// The chemistry a rule asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Workable and final fixatives.
    Fixative,
    /// Solvent acrylics in ketones and esters.
    Acrylic,
    /// Acrylics in mineral spirits.
    AcrylicSpirit,
    /// The same with an ultraviolet absorber.
    AcrylicUv,
    /// Ketone-resin picture varnish.
    Ketone,
    /// Natural-resin varnish.
    Dammar,
    /// Water-borne dispersion.
    WaterBorne,
    /// Casein in water and alcohol.
    Casein,
    /// Nitrocellulose lacquer.
    Nitro,
    /// Hair spray: there to be refused.
    HairSpray,
}

impl Family {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 10] = [
        ("fixative", Self::Fixative),
        ("acrylic", Self::Acrylic),
        ("acrylic-spirit", Self::AcrylicSpirit),
        ("acrylic-uv", Self::AcrylicUv),
        ("ketone", Self::Ketone),
        ("dammar", Self::Dammar),
        ("water-borne", Self::WaterBorne),
        ("casein", Self::Casein),
        ("nitro", Self::Nitro),
        ("hair-spray", Self::HairSpray),
    ];
}

/// How it leaves its container.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Delivery {
    /// Aerosol can.
    Aerosol,
    /// Pump spray.
    Pump,
}

impl Delivery {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 2] = [("aerosol", Self::Aerosol), ("pump", Self::Pump)];
}

/// A sealer of the catalog, or the user's own can built on one.
#[derive(Debug, Clone, PartialEq)]
pub struct Sealer {
    /// Id; the user's own can keeps the id of its base with the file name behind it.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Other accepted names.
    pub aliases: Vec<String>,
    /// Chemistry.
    pub family: Family,
    /// Finish it gives; `None` for a fixative, which has none.
    pub finish: Option<Finish>,
    /// What is in it.
    pub composition: Composition,
    /// Aerosol or pump.
    pub delivery: Delivery,
    /// Volume solids, fraction, for display; the film is computed from the composition.
    pub volume_solids: Triple,
    /// Discharge at 22 °C, g/s: measured where the can's own was, else the profile's.
    pub discharge_g_s: Triple,
    /// The profile's discharge at 22 °C, g/s, also where the can's own was measured.
    pub profile_discharge_g_s: Triple,
    /// The same as it was before anything was measured of this can; `None` if nothing was.
    pub unmeasured: Option<Box<Sealer>>,
    /// Trade distance, cm, low and high.
    pub practice_distance_cm: (f64, f64),
    /// Touch-dry, min.
    pub touch_min: Triple,
    /// Recoat, min.
    pub recoat_min: Triple,
    /// Full cure, h.
    pub full_cure_h: Triple,
    /// Glass transition of the resin, K.
    pub resin_tg_k: Triple,
    /// Density of the solids, kg/m³.
    pub solids_density_kg_m3: f64,
    /// Whether it is a full sealer, which closes the tooth; workable fixative is not.
    pub closes_tooth: bool,
    /// Whether it may be planned as the last seal of a page at all.
    pub for_paper: bool,
    /// Whether it cures by taking up oxygen, so that a recoat band applies.
    pub oxidising: bool,
    /// Yellowing, in words.
    pub yellows: String,
    /// Whether it yellows so much that it is set back in the ranking.
    pub yellows_badly: bool,
    /// Whether it can be taken off again, in words.
    pub reversible: String,
    /// What it hurts most, in words.
    pub hurts: String,
    /// What the can says.
    pub label: Label,
    /// The can in hand.
    pub can: CanInput,
    /// One or two sentences of what to know.
    pub note: Option<String>,
    /// What the figures stand on.
    pub grounds: FigureGrounds,
}

impl Sealer {
    /// Discharge at 22 °C, g/s: the can in hand's own, if it is known.
    pub fn discharge_at_22c_g_s(&self) -> Triple {
        self.can.discharge_g_s.unwrap_or(self.discharge_g_s)
    }

    /// The sealer as if nothing of this can had been measured, neither with the program nor in the can's file; `None` if
    /// nothing was.
    pub fn without_measurements(&self) -> Option<Self> {
        let stated = self.unmeasured.as_deref();
        let of_file = stated.unwrap_or(self);
        if of_file.can.discharge_g_s.is_none() {
            return stated.cloned();
        }
        Some(Self {
            discharge_g_s: of_file.profile_discharge_g_s,
            can: CanInput { discharge_g_s: None, ..of_file.can.clone() },
            unmeasured: None,
            ..of_file.clone()
        })
    }

    /// How much stronger than its most likely rate a can is taken to spray where people are warned: the larger of the
    /// profile's and the can's own rate that nine cans in ten stay below, over the most likely rate. At least one.
    pub fn strength_for_warnings(&self) -> f64 {
        let strong = self.profile_discharge_g_s.at(0.9).max(self.discharge_g_s.at(0.9));
        (strong / self.discharge_g_s.mode()).max(1.0)
    }
}
