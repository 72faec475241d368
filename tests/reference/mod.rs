//! Published values and reference libraries.

mod air_room;
mod checks;
mod coats;
pub(crate) mod film;
