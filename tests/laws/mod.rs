//! Properties that hold for every input.

mod film;
mod air;
mod page;
mod spray;
