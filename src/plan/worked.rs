//! A plan with what a bench of many pages needs besides: releases, windows and times as numbers.

use jiff::ZonedDateTime;

use super::model::Plan;
use crate::air::RunAir;
use crate::catalog::Sealer;

/// A planned page with the figures behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// The plan.
    pub plan: Plan,
    /// The sealer planned with.
    pub sealer: Sealer,
    /// The coats as the air feels them, one after another as planned.
    pub air: RunAir,
    /// For each coat, the window in which the next one may follow; absent where the label sets none.
    pub windows: Vec<Option<Window>>,
    /// From the end of the last coat until the sheet may be handled, min.
    pub handle_min: f64,
    /// When the first coat is planned; absent if it cannot be sprayed.
    pub first_at: Option<ZonedDateTime>,
}

/// How late the next coat may follow, min from the end of a coat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Until then.
    pub closes_min: f64,
    /// And again from then on; absent if never.
    pub reopens_min: Option<f64>,
}
