//! Values of flags: what was typed as what is meant, or what to type instead.

use jiff::ZonedDateTime;

use super::Failure;
use crate::input::parse_when;
use crate::quantity::{self, Quantity};

/// A quantity of a flag, in its base unit.
///
/// # Errors
/// If it is none, or out of its range.
pub(super) fn quantity<Q: Quantity>(flag: &str, typed: &str) -> Result<f64, Failure> {
    quantity::parse::<Q>(typed)
        .map(Quantity::si)
        .map_err(|error| Failure::usage("not-a-quantity", format!("`{flag}`: {error}"), error.hint()))
}

/// A moment of a flag; a clock alone is that of the day of `now`, or as its words say. `hint` names what may be written.
///
/// # Errors
/// If it is none.
pub(super) fn moment(flag: &str, typed: &str, now: &ZonedDateTime, hint: &str) -> Result<ZonedDateTime, Failure> {
    parse_when(typed, now).map_err(|_| Failure::usage("not-a-time", format!("`{flag}`: `{typed}` is not a time"), hint))
}
