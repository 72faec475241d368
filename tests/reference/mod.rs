//! Published values and reference libraries.

mod checks;
mod coats;
pub(crate) mod film;
