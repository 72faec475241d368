//! Vapour pressure, humid air, mass transfer, and the evaporating layer.

mod humid_air;

pub use humid_air::{MoistAir, dew_point_c, humidity_ratio, saturation_pressure_pa, wet_bulb_c};
