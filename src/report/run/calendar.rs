//! The days after a run as a calendar, with the moments as they really came to be.

use crate::report::calendar::{LaterEvent, later_ics};
use crate::report::look::Look;
use crate::run::State;

/// The calendar of the days after; `None` while no page has all its coats.
pub fn run_ics(state: &State, look: &Look) -> Option<String> {
    let mut events = Vec::new();
    for page in &state.pages {
        let Some(handle) = page.handle_at() else { continue };
        let mut add = |id: &str, at, text: &str| {
            events.push(LaterEvent {
                series: page.spec.calendar.clone(),
                title: page.spec.title.clone(),
                id: id.to_owned(),
                at,
                text: text.to_owned(),
            });
        };
        add("handle", handle, "Handle by the edges");
        for (id, text, at) in page.later() {
            add(id, at, text);
        }
    }
    (!events.is_empty()).then(|| later_ics(&state.title(), &events, look))
}
