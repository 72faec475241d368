//! An evening of planned pages: every distinct page is planned once, then all coats are scheduled on one bench.
//!
//! [`evening`] plans the pages, lays them out as a [`Problem`](super::Problem), searches, and holds the finished
//! schedule against the air of the room with everything that all coats release, judged by the same table as a page
//! alone. Where that is too much, the ceiling of the search is lowered until it truly holds. A can that is changed less
//! often is worth a later end, at a quarter of the time that changing takes. The result is an
//! [`Evening`], which every renderer and the live run read.

mod arrange;
mod bench;
mod ceiling;
mod compose;
mod layout;
mod model;
mod naming;
mod pages;
mod room;
mod say;
mod sheet;
mod shorten;
mod steps;

pub use bench::{EveningBench, Rest, SheetNow};
pub use compose::evening;
pub use model::{
    Evening, EveningAirPart, EveningCan, EveningEcho, EveningPage, EveningPlan, EveningPoint, EveningStep,
};
pub use pages::{EveningEntry, EveningRequest, EveningSheet};
