//! What lands, how it dries, when it may be recoated, blush.

mod blush;
mod constants;
mod drying;
mod families;
mod landing;
mod release;
mod sampled;
mod transition;

pub use blush::{blush_index, reference_build, scaled_to_wet_um};
pub use constants::{DryMargins, FilmConstants};
pub use drying::{Drier, Drying, DryingTimes, WATCHED_S};
pub use families::{DriedBy, dried_by};
pub use landing::{Landed, LandedPart, SheetThermal};
pub use release::ReleaseCurve;
pub use sampled::{DryingRow, SampledBench, SampledDrying, drying_points, drying_rows, sampled_drying};
pub use transition::solvent_fraction_at_tg_margin;
