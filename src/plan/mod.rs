//! Assembling the plan: readiness, conditions, fit, coats, times and air become one `Plan`.

mod model;

pub use model::{
    AirReview, Change, Coat, CoatKind, Cover, Direction, LayerReady, Milestone, Narrow, PagePart, Plan, Preflight,
    Respirator, RoomPart, RunnerUp, SealerPart, SeriesPoint, SolventAir, Surface, Ventilation, Why,
};
