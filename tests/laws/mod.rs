//! Properties that hold for every input.

mod air;
mod air_sums;
mod batch;
mod choice;
mod conditions;
mod dependencies;
mod evening_sheets;
mod film;
mod learning;
mod limits;
mod measured_air;
mod page;
mod record;
mod rooms;
mod sampling;
mod spray;
mod weather;
