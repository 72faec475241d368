//! coatbell plans the spray sealing of a page that carries many media: readiness, sealer, coats, times, air.
//!
//! The rooms of the house and who may use whom are drawn in DEVELOPERS.md. Data moves one way: files → typed inputs →
//! one plan → many renderers. Everything but `cli` and `store` is pure: no clock, no file, no terminal, no hidden
//! randomness.

pub mod air;
pub mod batch;
mod both;
pub mod catalog;
pub mod caution;
pub mod cli;
pub mod conditions;
pub mod diagnostic;
pub mod estimate;
pub mod film;
pub mod finding;
pub mod fit;
pub mod input;
pub mod page;
pub mod plan;
pub mod quantity;
pub mod record;
pub mod report;
pub mod run;
pub mod solve;
pub mod spray;
pub mod store;
pub mod vapour;
pub mod verify;
pub mod weather;
