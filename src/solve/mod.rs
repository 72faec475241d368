//! Distance, speed, step-over and number of coats: caps, structure, settings, and the coats of one page.

mod cap;
mod coats;
mod search;
mod settings;
mod structure;

pub use cap::{Cap, LayerCap, first_coat_cap, layer_cap_um};
pub use coats::{CoatPlan, PlannedCoat, SAMPLES, fresh_share_under, plan_coats};
pub use settings::{Chosen, choose_build, choose_mist};
pub use structure::{BuildLimit, CoatKind, DistanceBand, Position, Reason, Structure, structure};
