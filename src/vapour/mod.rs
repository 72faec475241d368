//! Vapour pressure, humid air, mass transfer, and the evaporating layer.

mod evaporometer;
mod exponential;
mod humid_air;
mod layer;
mod pressure;
#[cfg(test)]
pub(crate) mod samples;
mod surface;
mod transfer;
mod wash;

pub use evaporometer::relative_evaporation_rate;
pub use humid_air::{
    MoistAir, dew_point_c, humidity_ratio, saturation_over_liquid_pa, saturation_pressure_pa, wet_bulb_c,
};
pub use layer::{Condensing, Layer, LayerPart, LayerSolids, Run, Step, StopReason, evaporate};
pub use pressure::{GAS_CONSTANT_J_MOL_K, VapourCurve, ZERO_CELSIUS_K, vapour_pressure_kpa};
pub use surface::{SteadySurface, Surroundings, steady_surface};
pub use transfer::{band_at_speed, gas_film_m_s, laminar_plate_m_s, lewis_heat_w_m2_k, natural_convection_m_s};
pub use wash::{wash_dry_minutes, wash_surface, wash_time_factor};
