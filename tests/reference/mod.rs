//! Published values and reference libraries.

mod air_room;
mod batch;
pub(crate) mod batch_check;
mod checks;
mod coats;
mod figures;
pub(crate) mod film;
mod film_case;
mod library_limits;
mod measure_updates;
pub(crate) mod weather;
