//! Properties that hold for every input.

mod film;
mod page;
mod spray;
