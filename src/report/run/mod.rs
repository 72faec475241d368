//! A run as a person sees it: the screen that is drawn anew each second, lines for a pipe, what is under way, rescues.

mod big;
mod calendar;
mod coats;
mod fit;
mod lines;
mod panes;
mod rescue;
mod screen;
mod sheet;
mod status;
#[cfg(test)]
mod tests;

pub use calendar::run_ics;
pub use lines::{event_line, notice_text};
pub use rescue::{rescue_text, rescues_text};
pub use screen::{RunPane, RunScreen, RunView, run_screen};
pub use status::{RunLine, status_text};
