//! The air review as data. Field names are those of the JSON contract; units stand in the names.

use serde::Serialize;

use crate::finding::Level;

/// One substance in the air.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SolventAir {
    /// Id.
    pub id: String,
    /// Released over the run, g.
    pub released_g: f64,
    /// Highest in the room, ppm.
    pub room_peak_ppm: f64,
    /// Highest at the face, ppm.
    pub near_peak_ppm: f64,
    /// Highest 15-minute mean at the face, ppm.
    pub mean_15min_ppm: f64,
    /// 8-hour mean in the room, ppm.
    pub mean_8h_ppm: f64,
    /// 8-hour limit used, ppm.
    pub limit_8h_ppm: Option<f64>,
    /// Short-term limit used, ppm.
    pub limit_15min_ppm: Option<f64>,
    /// Who set them.
    pub limit_source: String,
}

/// How the room is aired.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ventilation {
    /// Most likely flow, m³/h.
    pub m3_h: f64,
    /// Low end used for warnings, m³/h.
    pub low_m3_h: f64,
    /// Mixing factor used for warnings.
    pub mixing_factor: f64,
    /// Where the flow comes from.
    pub source: String,
}

/// The mask.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Respirator {
    /// Kind in words.
    pub kind: String,
    /// Cartridge in words.
    pub cartridge: String,
    /// Pre-filter in words.
    pub prefilter: String,
    /// Assigned protection factor.
    pub protection_factor: f64,
    /// Lowest maximum use concentration of the substances it holds, ppm.
    pub max_use_ppm: Option<f64>,
    /// What it does not hold.
    pub not_held: Vec<String>,
    /// Cartridge life by rule of thumb, h.
    pub cartridge_life_h: Option<f64>,
}

/// One point of the air curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SeriesPoint {
    /// Minutes after the first coat begins.
    pub t_min: f64,
    /// Fullness of the 8-hour limits in the room.
    pub room_index: f64,
    /// The same at the face.
    pub near_index: f64,
    /// Share of the explosive limit at the face, per cent.
    pub lel_pct: f64,
}

/// The air of a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AirReview {
    /// Each substance released.
    pub solvents: Vec<SolventAir>,
    /// Σ 15-minute mean over 8-hour limit, at the face.
    pub index_15min: f64,
    /// Σ 15-minute mean over short-term limit, at the face.
    pub index_short_term: f64,
    /// Σ 8-hour mean over 8-hour limit, in the room.
    pub index_8h: f64,
    /// `index_15min` of what a mask does not hold.
    pub index_unmasked_only: f64,
    /// Highest moment of the room's index.
    pub room_index_peak: f64,
    /// Highest share of the explosive limit in the room, per cent.
    pub lel_room_pct: f64,
    /// Highest share of the explosive limit at the face, per cent.
    pub lel_near_pct: f64,
    /// Back with a mask, min after the last coat; absent beyond a day.
    pub return_masked_min: Option<u32>,
    /// Safe without a mask, min after the last coat; absent beyond a day.
    pub clear_unmasked_min: Option<u32>,
    /// Safe for others, min after the last coat; absent beyond a day.
    pub clear_others_min: Option<u32>,
    /// End-of-session purge, min.
    pub purge_99_min: Option<u32>,
    /// Airflow that would make the verdict `go`, m³/h, if one would.
    pub airflow_needed_m3_h: Option<f64>,
    /// How the room is aired.
    pub ventilation: Ventilation,
    /// The mask.
    pub respirator: Respirator,
    /// The curve.
    pub series: Vec<SeriesPoint>,
    /// The air's own verdict.
    pub verdict: Level,
}
