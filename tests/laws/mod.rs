//! Properties that hold for every input.

mod air;
mod page;
mod spray;
