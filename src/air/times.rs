//! The three times after a coat: back with a mask, safe without one, safe for others.

use super::exposure::Lines;
use super::inventory::CoatSources;
use super::mixing::purge_time_min;
use super::release::Sources;
use super::timeline::{Start, Timeline};
use super::zone::Place;

/// The three times, in minutes from the end of a coat, rounded up; `None` beyond the longest wait of the rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ThreeTimes {
    /// A masked person may return to the bench.
    pub return_masked_min: Option<u32>,
    /// The bench is safe without a mask.
    pub clear_unmasked_min: Option<u32>,
    /// The room is safe for others.
    pub clear_others_min: Option<u32>,
}

impl ThreeTimes {
    /// Nothing was sprayed.
    pub(super) const AT_ONCE: Self =
        Self { return_masked_min: Some(0), clear_unmasked_min: Some(0), clear_others_min: Some(0) };
}

/// Which of the times come within the longest wait.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clears {
    /// A masked person may return.
    pub(super) masked: bool,
    /// The bench becomes safe without a mask.
    pub(super) unmasked: bool,
    /// The room becomes safe for others.
    pub(super) others: bool,
}

impl From<ThreeTimes> for Clears {
    fn from(times: ThreeTimes) -> Self {
        Self {
            masked: times.return_masked_min.is_some(),
            unmasked: times.clear_unmasked_min.is_some(),
            others: times.clear_others_min.is_some(),
        }
    }
}

/// Whether the three times after the last coat come at all: by what still fills the air when the longest wait is over.
pub(super) fn clears(lines: &Lines<'_>) -> Clears {
    let rules = lines.rules;
    let Some(coat) = lines.run.coats.last() else { return Clears::from(ThreeTimes::AT_ONCE) };
    let horizon = coat.end_s + rules.longest_wait_h.get() * 3600.0;
    let below = |line: &Timeline, place: Place, threshold: f64| line.at(place, horizon) < threshold;
    let factor = lines.run.mask().protection_factor();
    let near = Place::NearField;
    let masked = below(&lines.held, near, rules.masked_hold.get() * factor)
        && below(&lines.unheld, near, rules.index_care.get())
        && below(&lines.explosive, near, rules.return_lel.get());
    let unmasked = masked && below(&lines.full, near, rules.index_care.get());
    let others = unmasked && below(&lines.full, Place::Room, rules.others_share.get());
    Clears { masked, unmasked, others }
}

/// The three times after each coat, as if no other followed.
///
/// Each is the last moment at which the concentration of that moment is at or over its threshold. The state of the air
/// at the end of the coat is exact, and only what this coat and those before it still give off comes after. A later time
/// is never earlier than the one before it: who is safe without a mask is safe with one.
pub(super) fn three_times(lines: &Lines<'_>) -> Vec<ThreeTimes> {
    (0..lines.coats.len()).map(|number| after_coat(lines, number)).collect()
}

/// The three times after the last coat; at once if there is none.
pub(super) fn after_last(lines: &Lines<'_>) -> ThreeTimes {
    match lines.coats.len().checked_sub(1) {
        Some(number) => after_coat(lines, number),
        None => ThreeTimes::AT_ONCE,
    }
}

/// The three times after one coat.
fn after_coat(lines: &Lines<'_>, number: usize) -> ThreeTimes {
    let rules = lines.rules;
    let end = lines.run.coats[number].end_s;
    let horizon = end + rules.longest_wait_h.get() * 3600.0;
    let onward = |whole: &Timeline, pick: fn(&CoatSources) -> &Sources| {
        let mut rest = Sources::default();
        for coat in &lines.coats[..=number] {
            rest.extend(&pick(coat).after(end));
        }
        Timeline::from_start(lines.zones, &rest, Start { at_s: end, state: whole.state_at(end) })
    };
    let full = onward(&lines.full, |coat| &coat.full);
    let held = onward(&lines.held, |coat| &coat.held);
    let unheld = onward(&lines.unheld, |coat| &coat.unheld);
    let explosive = onward(&lines.explosive, |coat| &coat.explosive);
    let wait = |line: &Timeline, place: Place, threshold: f64| line.stays_below_after(place, threshold, end, horizon);
    let factor = lines.run.mask().protection_factor();
    let near = Place::NearField;
    let masked = latest([
        wait(&held, near, rules.masked_hold.get() * factor),
        wait(&unheld, near, rules.index_care.get()),
        wait(&explosive, near, rules.return_lel.get()),
        Some(rules.return_floor_min.get() * 60.0),
    ]);
    let unmasked = latest([masked, wait(&full, near, rules.index_care.get())]);
    let others = latest([unmasked, wait(&full, Place::Room, rules.others_share.get())]);
    ThreeTimes {
        return_masked_min: masked.map(whole_minutes),
        clear_unmasked_min: unmasked.map(whole_minutes),
        clear_others_min: others.map(whole_minutes),
    }
}

/// The latest of some waits; `None` if one of them never ends.
fn latest<const N: usize>(waits: [Option<f64>; N]) -> Option<f64> {
    waits.into_iter().try_fold(0.0, |latest: f64, wait| wait.map(|wait| latest.max(wait)))
}

/// Seconds as whole minutes, rounded up.
fn whole_minutes(seconds: f64) -> u32 {
    libm::ceil(seconds / 60.0) as u32
}

/// Time that clears the rule's share of what is in the room, once nothing more is given off, min; with the low end of
/// the flow and the mixing factor.
pub(super) fn purge_min(lines: &Lines<'_>) -> u32 {
    let room = &lines.run.room;
    let changes = room.flow_m3_h.low() / room.volume_m3;
    let minutes = purge_time_min(changes, lines.rules.purge_removal.get(), room.mixing_factor);
    libm::ceil(minutes).min(f64::from(u32::MAX)) as u32
}
