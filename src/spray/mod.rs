//! The can, the jet and the pass: how much leaves, what is lost on the way, where it lands.
//!
//! Kernels take `f64` with the unit in the name. [`Spray`] gathers what does not depend on the coat (sealer, air,
//! model constants); [`Samples`] draws the uncertain part once and evaluates it at any distance.

mod can;
mod cone;
mod contents;
mod deposit;
mod droplet;
mod flight;
mod model;
mod pattern;
mod pores;
mod raster;
mod sample;
mod thickness;

pub use can::{FractionKind, can_gauge_pressure_kpa, discharge_factor};
pub use cone::{pattern_width_m, sigma_m, transfer_efficiency};
pub use contents::{Contents, Shares, Volatile};
pub use deposit::{Deposit, MassBalance, Released, deposit};
pub use droplet::{Mixture, Trajectory, evaporation_constant_um2_s};
pub use flight::{FlightTable, dry_share, flight_time_s};
pub use model::{Plume, Spray};
pub use pattern::{Along, Pattern, START_CORNERS};
pub use pores::{paper_apparent_density_g_cm3, paper_void_fraction};
pub use raster::{
    edge_share, local_factor, peak_factor, raster_mean_g_m2, raster_variation, strip_density_g_m2, strip_fraction,
};
pub use sample::{FilmSample, Samples, SprayField};
pub use thickness::{coverage_m2_l, dry_film_thickness_um, volume_solids, wet_film_thickness_um};

/// How a coat is sprayed: the numbers a person follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Nozzle to sheet, cm.
    pub distance_cm: f64,
    /// Speed of the hand, cm/s.
    pub speed_cm_s: f64,
    /// Between pass centres, cm.
    pub step_cm: f64,
}
