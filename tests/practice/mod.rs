//! Facts of the trade: common practice, no source.

mod air_rooms;
pub(crate) mod air_scenes;
pub(crate) mod bench;
mod builds;
mod drawn;
mod droplets;
mod film;
mod hand;
mod order;
mod page_edges;
mod pages;
mod scenarios;
mod spray;
mod stated;
mod told;
