//! A sealer against the media of a page: what its liquid does to each, and how sealers rank.
//!
//! The bleed index only ranks sealers and picks the scrap test; it never gates. Levels come from the rules alone.

mod assess;
mod index;
mod rank;

pub use assess::{Fit, assess};
pub use index::{LandedLiquid, LiquidShare, MediumIndex, bleed_indices};
pub use rank::{Ranked, finish_steps, least_score, rank};
