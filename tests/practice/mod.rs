//! Facts of the trade: common practice, no source.

mod bench;
mod film;
mod order;
mod pages;
mod spray;
