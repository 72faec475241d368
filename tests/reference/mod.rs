//! Published values and reference libraries.

mod coats;
pub(crate) mod film;
