//! Published values and reference libraries.

mod air_room;
mod batch;
pub(crate) mod batch_check;
mod checks;
mod coats;
mod figures;
pub(crate) mod film;
mod library_limits;
pub(crate) mod weather;
