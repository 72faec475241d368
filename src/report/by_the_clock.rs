//! What an evening asks of a person, by the clock: coats, changes of the can, breaks.

use jiff::Timestamp;

use super::look::Look;
use crate::batch::{Evening, EveningStep};
use crate::input::clock_time;
use crate::quantity::minutes_in_words;

/// Seconds in a minute.
const MINUTE_S: f64 = 60.0;

/// A moment of the document as a clock time.
pub(super) fn clock(text: &str, look: &Look) -> String {
    text.parse::<Timestamp>().map_or_else(|_| look.clean(text), |moment| at(moment, look))
}

fn at(moment: Timestamp, look: &Look) -> String {
    clock_time(&moment.to_zoned_datetime(look.now.time_zone().clone()), &look.now)
}

/// Everything to do, in order: the clock time and the words. A break after the last coat has begun binds nobody.
pub(super) fn by_the_clock(evening: &Evening, look: &Look) -> Vec<(String, String)> {
    let mut rows: Vec<(Timestamp, String)> = Vec::new();
    let change_s = (evening.inputs.can_change_min * MINUTE_S).round() as i64;
    for step in &evening.steps {
        let Ok(starts) = step.starts_at.parse::<Timestamp>() else { continue };
        if step.change_can {
            let begins = Timestamp::from_second(starts.as_second() - change_s).unwrap_or(starts);
            rows.push((begins, format!("change to {}", step.sealer_name)));
        }
        rows.push((starts, step_words(evening, step, look)));
    }
    let last = rows.last().map(|(moment, _)| *moment);
    for [from, until] in &evening.inputs.breaks {
        if let Some(begins) = from.parse::<Timestamp>().ok().filter(|begins| last.is_some_and(|last| *begins <= last)) {
            rows.push((begins, format!("break until {}", clock(until, look))));
        }
    }
    rows.sort_by_key(|(moment, _)| *moment);
    rows.into_iter().map(|(moment, words)| (at(moment, look), words)).collect()
}

/// What to do at a step.
fn step_words(evening: &Evening, step: &EveningStep, look: &Look) -> String {
    let kind = step.kind.word();
    let name = evening.name_of(step.page, step.copy, &step.title);
    let wait = minutes_in_words(step.wait_min);
    let then = if step.coat == step.of {
        format!("then {wait} on the rack")
    } else {
        let by = step.next_by.as_ref().map(|by| format!(", the next by {}", clock(by, look)));
        let again = step.next_again_from.as_ref().map(|from| format!(" or from {}", clock(from, look)));
        format!("next in {wait}{}{}", by.unwrap_or_default(), again.unwrap_or_default())
    };
    format!("{name}: coat {} of {}, {kind}, {}; {then}", step.coat, step.of, step.sealer_name)
}
