//! What lands, how it dries, when it may be recoated, blush.

mod landing;

pub use landing::{Landed, LandedPart, SheetThermal};
