//! Physical quantities: checked newtypes over SI values, with parsing and display in metric and US units.
//!
//! Every dimensional value that a person writes arrives here as text with its unit (`12 in`, `30 cm`,
//! `70 F`). A value that exists is inside its allowed range: the field is private and the constructor checks.
//! Equations further up take plain `f64` in SI, named with their unit, from [`Quantity::si`].

mod display;
mod error;
mod kinds;
mod parse;
mod span;

pub use display::{NOT_WITHIN_A_DAY, Units, after_minutes, minutes_in_words, number};
pub use error::QuantityError;
pub use kinds::{
    AirChanges, Area, Grammage, Length, Mass, MassRate, Pressure, RelativeHumidity, Share, Speed, Temperature, Volume,
    VolumeFlow,
};
pub use parse::{parse, parse_range, split_number};
pub use span::TimeSpan;

/// One spelling group of a unit: its names and how to turn a number of it into SI.
///
/// `si = number × scale + offset`.
#[derive(Debug, Clone, Copy)]
pub struct Unit {
    /// Accepted spellings, the preferred one first.
    pub names: &'static [&'static str],
    /// SI value of one of this unit (before the offset).
    pub scale: f64,
    /// SI value of zero of this unit; only temperatures have one.
    pub offset: f64,
}

/// A physical quantity with an allowed range.
pub trait Quantity: Copy + PartialOrd + Sized {
    /// What the quantity is called in a message, for instance `length`.
    const NAME: &'static str;
    /// The accepted units, the one to suggest first.
    const UNITS: &'static [Unit];
    /// Smallest allowed value, SI.
    const MIN: f64;
    /// Largest allowed value, SI.
    const MAX: f64;

    /// Wraps an SI value.
    ///
    /// # Errors
    /// [`QuantityError::OutOfRange`] or [`QuantityError::NotFinite`].
    fn from_si(value: f64) -> Result<Self, QuantityError>;

    /// The value in SI units.
    fn si(self) -> f64;
}
