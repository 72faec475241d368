//! A run for a program: one event a line.

use crate::report::{Look, event_line};
use crate::run::Notice;

/// An event as one line of JSON.
pub(super) fn line(notice: &Notice, look: &Look) -> String {
    event_line(notice, look.now.time_zone())
}
