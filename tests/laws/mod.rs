//! Properties that hold for every input.

mod page;
mod spray;
