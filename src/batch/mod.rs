//! Many pages at one bench: one person, one rack, one room, waits with windows, can changes, breaks, a quitting time.
//!
//! A [`Problem`] goes in, a [`Schedule`] with its bound comes out. The search is exact about its rules: every schedule
//! it hands out keeps every wait, window, break, rack slot and the air ceiling at every moment, not only at ticks.
//!
//! [`evening()`] maps planned pages onto it: an [`EveningRequest`] goes in, an [`Evening`] comes out, with the steps by
//! the clock, every sheet with its reason if it does not fit, cans, air, and the plans behind the coats.

mod air;
mod bound;
mod decode;
mod document;
mod evening;
mod fault;
mod json;
mod measure;
mod network;
mod place;
mod polish;
mod problem;
mod prove;
mod read;
mod replan;
mod search;
mod solve;

pub use air::AirKernel;
pub use document::{BenchAirPart, BenchDocument, BenchEcho, CanUse, PageFit, Step, bench_document};
pub use evening::{
    Evening, EveningAirPart, EveningBench, EveningCan, EveningEcho, EveningEntry, EveningPage, EveningPlan,
    EveningPoint, EveningRequest, EveningSheet, EveningStep, Rest, SheetNow, evening,
};
pub use fault::{Fault, MOST_COATS, MOST_PAGES, MOST_TICKS, Site};
pub use measure::Measures;
pub use place::BenchAir;
pub use problem::{Coat, Lag, Page, Pause, Presence, Problem, RoomAir, Schedule, Tick};
pub use replan::{Replanned, Sprayed, replan, replan_in};
pub use solve::{Answer, Control, Effort, Unfit, UnfitReason, solve};
