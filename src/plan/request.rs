//! What a plan is asked for.

use jiff::ZonedDateTime;

use crate::air::RespiratorKind;
use crate::catalog::Sealer;
use crate::input::RoomInput;
use crate::page::Sheet;

/// The seed of every plan: the same files at the same moment give the same bytes.
pub const SEED: u64 = 1;

/// One page, in one room, from one moment on.
#[derive(Debug, Clone, Copy)]
pub struct Request<'a> {
    /// The page.
    pub sheet: &'a Sheet<'a>,
    /// The sealer to plan with; `None` takes the best-ranked one.
    pub sealer: Option<&'a Sealer>,
    /// The room; `None` takes the stated default, never a better one.
    pub room: Option<&'a RoomInput>,
    /// Whether the room itself was named. If not, but a temperature or humidity was, the air of `room` counts and its
    /// walls do not.
    pub room_named: bool,
    /// The mask the person has, if it is better than the recommended one.
    pub respirator: Option<RespiratorKind>,
    /// The earliest moment for the first coat.
    pub start: &'a ZonedDateTime,
    /// The moment the plan is made at.
    pub now: &'a ZonedDateTime,
    /// Seed of the sampling: the same seed gives the same plan.
    pub seed: u64,
    /// Whether the grounds of every number are wanted.
    pub why: bool,
}
