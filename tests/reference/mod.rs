//! Published values and reference libraries.

mod air_room;
mod coats;
pub(crate) mod film;
