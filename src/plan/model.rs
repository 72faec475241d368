//! The plan as data: every renderer says the same thing because all of them read this.
//!
//! Field names are those of the JSON contract; units stand in the names. Times are ISO 8601 with offset.

use serde::Serialize;

use crate::air::AirReview;
use crate::estimate::{Basis, Quantiles};
use crate::finding::{Finding, Level};

/// The page planned for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PagePart {
    /// Title.
    pub title: String,
    /// Width, cm.
    pub width_cm: f64,
    /// Height, cm.
    pub height_cm: f64,
    /// Id of the paper.
    pub paper: String,
    /// Finish wanted.
    pub finish: Option<String>,
}

/// The sealer planned with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SealerPart {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
}

/// A sealer not chosen, and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunnerUp {
    /// Id.
    pub sealer: String,
    /// Level it would have had.
    pub verdict: Level,
    /// Why it comes after.
    pub reason: String,
}

/// The room planned in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoomPart {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Relative humidity, per cent.
    pub relative_humidity_pct: f64,
    /// Dew point, °C.
    pub dew_point_c: f64,
    /// Volume, m³; absent outdoors.
    pub volume_m3: Option<f64>,
    /// Air changes, /h; absent outdoors.
    pub air_changes_per_h: Option<f64>,
}

/// When a layer is ready for the spray.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LayerReady {
    /// Id of the medium or sealer.
    pub medium: String,
    /// When it is ready; absent if it never is, or is still to be laid.
    pub ready_at: Option<String>,
    /// `go` if ready.
    pub level: Level,
}

/// The smallest change of one thing that makes a finding milder, or the statement that none does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// What changes: `humidity`, `temperature`, `airflow`, `waiting`, `sealer`, `pages`, or `none`.
    pub variable: String,
    /// Its value now.
    pub from: Option<String>,
    /// The value at which the level changes.
    pub to: Option<String>,
    /// The level it then has.
    pub level: Level,
    /// The same as a sentence.
    pub text: String,
}

/// The kind of a coat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum CoatKind {
    /// First, far, fast, thin.
    Mist,
    /// Later and closer.
    Build,
}

impl CoatKind {
    /// The word on screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mist => "mist",
            Self::Build => "build",
        }
    }
}

/// Along which side of the sheet the passes run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// Along the long side.
    Long,
    /// Along the short side.
    Short,
}

impl Direction {
    /// The side in words: `long side`.
    pub fn side(self) -> &'static str {
        match self {
            Self::Long => "long side",
            Self::Short => "short side",
        }
    }
}

/// How the sheet stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Surface {
    /// Lying.
    Flat,
    /// Tilted up to 30°.
    Tilted,
    /// Standing.
    Upright,
}

/// One coat.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Coat {
    /// From 1.
    pub number: usize,
    /// Mist or build.
    pub kind: CoatKind,
    /// Nozzle to sheet, cm.
    pub distance_cm: f64,
    /// Speed of the hand, cm/s.
    pub pass_speed_cm_s: f64,
    /// Time of one pass from start to stop, overruns included, s.
    pub seconds_per_pass: f64,
    /// Between pass centres, cm.
    pub step_over_cm: f64,
    /// Visible width of the pattern, cm.
    pub pattern_width_cm: f64,
    /// Centre of the first pass from the edge of the sheet, cm; negative is outside.
    pub first_pass_offset_cm: f64,
    /// Where the first pass starts.
    pub start_corner: String,
    /// Number of passes.
    pub passes: usize,
    /// Which way the passes run.
    pub direction: Direction,
    /// Beyond the edge at both ends, cm.
    pub overrun_cm: f64,
    /// How the sheet lies.
    pub surface: Surface,
    /// Spraying time, s.
    pub spray_s: f64,
    /// Out of the can, g.
    pub sealer_g: f64,
    /// Wet film, µm.
    pub wet_film_um: Quantiles,
    /// Dry film, µm.
    pub dry_film_um: Quantiles,
    /// The limit of this coat, µm wet.
    pub cap_um: f64,
    /// What sets the limit.
    pub limited_by: String,
    /// Share of samples under the limit, per cent.
    pub under_cap_pct: f64,
    /// Blush index, per cent.
    pub blush_index_pct: Option<f64>,
    /// Share of the solids arriving dry, per cent.
    pub dry_spray_pct: f64,
    /// Evenness of the overlapping passes: coefficient of variation, per cent.
    pub ripple_pct: f64,
    /// When it is sprayed; absent while a layer is still to be laid.
    pub starts_at: Option<String>,
    /// Touch-dry after, min.
    pub touch_dry_min: Option<Quantiles>,
    /// The same by the model alone; only where a thumb has taught it something.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub touch_dry_modelled_min: Option<Quantiles>,
    /// Can take the next coat by the model alone, min.
    pub recoat_min: Option<Quantiles>,
    /// The planned wait after this coat, min: before the next coat, or before handling after the last.
    pub wait_min: u32,
    /// Latest time for the next coat, if the label has a window.
    pub recoat_by: Option<String>,
    /// A masked person may return after, min.
    pub return_masked_min: Option<u32>,
    /// What of the label was applied.
    pub label_applied: Vec<String>,
}

/// Something that becomes allowed later.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Milestone {
    /// `handle`, `scan`, `stack`, `frame`, `post`, `frame-closed`.
    pub id: String,
    /// When.
    pub at: Option<String>,
    /// The same as a sentence.
    pub text: String,
}

/// One line of the pre-flight list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Preflight {
    /// Stable id.
    pub id: String,
    /// What to check.
    pub text: String,
}

/// The one measurement that would narrow the plan most.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Narrow {
    /// What to measure.
    pub measurement: String,
    /// How, step by step.
    pub steps: Vec<String>,
}

/// Where a number comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Why {
    /// The number's path in the document, for instance `coats[0].wet_film_um`.
    pub path: String,
    /// Its formula.
    pub formula: String,
    /// The inputs with their values.
    pub inputs: String,
    /// What the inputs stand on.
    pub basis: Basis,
    /// Published source, if any.
    pub source: Option<String>,
}

/// The whole plan of one page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// `coatbell.plan/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// Echo of what was taken, defaults included.
    pub inputs: serde_json::Value,
    /// `go`, `care` or `hold`.
    pub verdict: Level,
    /// The answer in one line.
    pub answer: String,
    /// Everything noticed, most severe first.
    pub findings: Vec<Finding>,
    /// The cautions.
    pub cautions: Vec<String>,
    /// The page.
    pub page: PagePart,
    /// The sealer.
    pub sealer: SealerPart,
    /// The others.
    pub runners_up: Vec<RunnerUp>,
    /// The room.
    pub room: RoomPart,
    /// When every layer is ready; absent if one never is or is still to be laid.
    pub ready_at: Option<String>,
    /// Each layer.
    pub layers: Vec<LayerReady>,
    /// What would change the answer.
    pub would_change: Vec<Change>,
    /// The coats, in order; empty if the page cannot be sealed.
    pub coats: Vec<Coat>,
    /// When the page can be handled.
    pub handle_at: Option<String>,
    /// What becomes allowed later.
    pub milestones: Vec<Milestone>,
    /// Out of the can in all, g.
    pub sealer_total_g: f64,
    /// Share of a full can, per cent.
    pub can_share_pct: Option<f64>,
    /// Dry film in all, µm.
    pub dry_film_total_um: Option<Quantiles>,
    /// The air.
    pub air: Option<AirReview>,
    /// What to measure next.
    pub narrow_most: Option<Narrow>,
    /// The pre-flight list.
    pub preflight: Vec<Preflight>,
    /// Where the numbers come from; full only with `--why`.
    pub why: Vec<Why>,
}
