//! What can be wrong with a written quantity.

use thiserror::Error;

/// Why a text is not the quantity it should be. The wording is a cause; [`QuantityError::hint`] is the cure.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum QuantityError {
    /// Nothing was written.
    #[error("this {what} is empty")]
    Empty {
        /// Name of the quantity.
        what: &'static str,
        /// An example that would be accepted.
        example: String,
    },
    /// The text does not start with a number.
    #[error("`{text}` does not start with a number")]
    NotANumber {
        /// What was written.
        text: String,
        /// An example that would be accepted.
        example: String,
    },
    /// A number without a unit.
    #[error("`{text}` has no unit, and this {what} needs one")]
    MissingUnit {
        /// Name of the quantity.
        what: &'static str,
        /// What was written.
        text: String,
        /// Preferred units.
        units: Vec<&'static str>,
    },
    /// A unit that this quantity does not have.
    #[error("`{unit}` is not a unit of {what}")]
    UnknownUnit {
        /// Name of the quantity.
        what: &'static str,
        /// The unit written.
        unit: String,
        /// The nearest accepted unit, if one is near.
        near: Option<&'static str>,
        /// Preferred units.
        units: Vec<&'static str>,
    },
    /// Outside the allowed range.
    #[error("{} {what} of {value} is outside {low} to {high}", article(what))]
    OutOfRange {
        /// Name of the quantity.
        what: &'static str,
        /// The value as it would be shown.
        value: String,
        /// Smallest allowed value, shown.
        low: String,
        /// Largest allowed value, shown.
        high: String,
    },
    /// Infinite or not a number.
    #[error("this {what} is not a finite number")]
    NotFinite {
        /// Name of the quantity.
        what: &'static str,
    },
    /// A range whose ends are the wrong way round.
    #[error("the range `{text}` runs backwards")]
    Backwards {
        /// What was written.
        text: String,
    },
}

/// The indefinite article of a quantity's name.
fn article(what: &str) -> &'static str {
    if what.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

impl QuantityError {
    /// What to do about it, as one sentence without a full stop.
    pub fn hint(&self) -> String {
        match self {
            Self::Empty { example, .. } | Self::NotANumber { example, .. } => {
                format!("write a number and a unit, for example `{example}`")
            }
            // A bare 0.48 for a share is nearly always meant as 48 %.
            Self::MissingUnit { text, units, .. } if units[..] == ["%"] && fraction(text).is_some() => {
                let per_cent = super::number(fraction(text).unwrap_or_default() * 100.0);
                format!("write `{per_cent} %` if you mean that share of the whole")
            }
            Self::UnknownUnit { what: "mass", unit, .. } if is_volume(unit) => {
                "write its weight, in `g` or `oz`: a can states one beside its volume".to_owned()
            }
            Self::MissingUnit { text, units, .. } => {
                let spelled: Vec<String> = units.iter().map(|unit| format!("`{text} {unit}`")).collect();
                format!("write {}", crate::diagnostic::or_list(&spelled))
            }
            Self::UnknownUnit { near: Some(near), .. } => format!("did you mean `{near}`?"),
            Self::UnknownUnit { units, .. } => {
                let ticked: Vec<String> = units.iter().map(|unit| format!("`{unit}`")).collect();
                format!("use {}", crate::diagnostic::or_list(&ticked))
            }
            Self::OutOfRange { low, high, .. } => format!("give a value from {low} to {high}, or check the unit"),
            Self::NotFinite { .. } => "give an ordinary number".to_owned(),
            Self::Backwards { .. } => "write the smaller value first".to_owned(),
        }
    }
}

fn fraction(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|value| *value > 0.0 && *value <= 1.0)
}

fn is_volume(unit: &str) -> bool {
    ["ml", "cl", "l", "fl oz", "fl. oz", "litre", "litres", "liter", "liters"].contains(&unit.to_lowercase().as_str())
}
