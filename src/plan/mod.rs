//! Assembling the plan: readiness, conditions, fit, coats, times and air become one [`Plan`].
//!
//! [`make`] asks every room once and puts their answers together; it holds no physics of its own. `waits` is the
//! policy of the wait between coats, `breath` the interplay of waits and air, `change` and `changes` say what would
//! make the answer milder, `why` where every number comes from.

mod answer;
mod bench;
mod breath;
mod change;
mod changes;
mod choose;
mod coats;
mod echo;
mod finish_by;
mod make;
mod milestones;
mod model;
mod moved;
mod narrow;
mod preflight;
mod prospect;
mod request;
mod safety;
mod times;
mod waits;
mod why;
mod worked;

pub use crate::air::{AirReview, Respirator, SeriesPoint, SolventAir, Ventilation};
pub use finish_by::{FinishBy, finish_by};
pub use make::{make, work};
pub use model::{
    Change, Coat, CoatKind, Direction, LayerReady, Milestone, Narrow, PagePart, Plan, Preflight, RoomPart, RunnerUp,
    SealerPart, Surface, Why,
};
pub use moved::CoatMoment;
pub(crate) use narrow::name_to_type;
pub use prospect::Prospect;
pub use request::{Request, SEED};
pub use safety::{Amount, Safety, SafetyCoat, SafetyRoom, SafetySealer, safety_of_amount, safety_of_page};
pub use worked::{Window, Worked};
