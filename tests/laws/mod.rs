//! Properties that hold for every input.

mod air;
mod film;
mod page;
mod spray;
