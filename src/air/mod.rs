//! Rooms and zones, exposure, flammability, masks, the three times; takes releases over time as data.
//!
//! [`RoomAir::of`] turns a room as written into a flow; [`review`] turns a run's releases in it into exposures, times,
//! advice and findings. [`Timeline`] is the kernel: concentration in a near field and a room in closed form.

mod advice;
mod assess;
mod evening;
mod exposure;
mod inventory;
mod judge;
mod limits;
mod mask;
mod mist;
mod mixing;
mod model;
mod notes;
mod opening;
mod release;
mod review;
mod run;
mod search;
mod timeline;
mod times;
mod vapour_units;
mod ventilation;
mod zone;

pub use advice::Advice;
pub use assess::{Assessment, assess, times_after_last};
pub use evening::{
    CoatLoad, CoatTrace, EveningAir, TooFull, coat_loads, coat_traces, evening_air, evening_air_within,
    evening_fullness, evening_series,
};
pub use exposure::Exposure;
pub use limits::{UsedLimits, mixture_index, twa_8h_ppm};
pub use mask::{RespiratorKind, assigned_protection_factor, cartridge_life_h, max_use_concentration_ppm};
pub use mist::{settling_velocity_cm_s, slip_correction};
pub use mixing::{
    ConstantSource, purge_time_min, room_concentration_decaying_source_mg_m3, room_fraction_constant_source,
    two_zone_far_field_mg_m3, two_zone_near_field_mg_m3,
};
pub use model::{AirReview, Respirator, SeriesPoint, SolventAir, Ventilation};
pub use notes::{Note, notes};
pub use opening::{cross_flow_m3_s, window_flow_bs_5925_m3_s, window_flow_single_sided_m3_s};
pub use release::{CoatAir, CurvePiece, Release, Shape, Sources, Step, Tail};
pub use review::{AirOutcome, review};
pub use run::{RunAir, shares_of};
pub use timeline::Timeline;
pub use times::ThreeTimes;
pub use vapour_units::{
    dilution_flow_m3_h, le_chatelier_limit_vol_pct, molar_volume_m3, ppm_per_g_m3, ppm_to_mg_m3, saturation_ppm,
    ten_percent_lel_ppm,
};
pub use ventilation::RoomAir;
pub use zone::{Place, Zones};
