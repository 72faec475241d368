//! Facts of the trade: common practice, no source.

pub(crate) mod air_scenes;
mod bench;
mod film;
mod order;
mod pages;
mod scenarios;
mod spray;
