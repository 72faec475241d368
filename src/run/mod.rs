//! A sealing run conducted live: what was done, what is due, what rings when.
//!
//! Everything here is pure: time comes in as moments, files are someone else's. A run is a list of [`Entry`]s, as they
//! stand in its journal; [`State`] is their fold, so that a run that was killed at any moment is what its journal says.
//! [`State::decide`] turns a key into entries or a refusal, [`State::automatic`] says what happens by the clock alone,
//! [`State::due`] what is to ring now, and [`State::next_moment`] when to look again. Deadlines are moments of the
//! wall clock, worked out anew from the entries each time they are asked for.
//!
//! A run holds many pages from the start: each goes its own way, the air of the room is common to all.

mod bells;
mod conductor;
mod decide;
mod entry;
mod forecast;
mod notices;
mod pace;
mod page;
mod past;
mod replan;
mod rescue;
mod spec;
mod state;
mod watch;
mod words;

#[cfg(test)]
pub(crate) mod tests;

pub use bells::{Bell, BellKey, BellKind, Due};
pub use conductor::{Conductor, Effect, Loudness, Notice};
pub use decide::{Command, Refusal};
pub use entry::{Entry, JOURNAL_VERSION, ReadError, What, read_entries};
pub use forecast::{Forecast, changes};
pub use pace::Pace;
pub use page::{DoneCoat, Out, PageState};
pub use past::past_run;
pub use rescue::{Mishap, Rescue, Rest, rescue_for, rescues};
pub use spec::{CoatSpec, LaterSpec, NotRunnable, PageSpec, PreflightSpec, RunSpec};
pub use state::{CanUse, State};
pub use watch::{Reading, Watch};
pub use words::{Said, bell_words, clock_words, instructions, refusal_words, span_words};
