//! Assembling the plan: readiness, conditions, fit, coats, times and air become one `Plan`.

mod model;

pub use crate::air::{AirReview, Respirator, SeriesPoint, SolventAir, Ventilation};
pub use model::{
    Change, Coat, CoatKind, Cover, Direction, LayerReady, Milestone, Narrow, PagePart, Plan, Preflight, RoomPart,
    RunnerUp, SealerPart, Surface, Why,
};
