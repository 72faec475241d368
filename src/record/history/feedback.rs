//! What an outcome of a past run says of its media: the one place where outcomes become readings of a can.
//!
//! The rule. A medium that **bled, lifted or pooled** failed under the coat after which the run says so, or else under the
//! first coat: the film that coat was planned to lay is kept as one that failed. A page that came out **good** with every
//! coat on and nothing gone wrong held under its first coat: that film is kept as one that held. What a cap becomes by it
//! is the business of `solve`: never past what is published or practice. Every other outcome is kept and changes nothing.

use super::{Effect, Outcome, PastCoat, PastRun, Rating};
use crate::record::Reading;

/// What a rating says of the media of its run.
#[derive(Debug, Clone, PartialEq)]
pub enum Heard {
    /// They failed: the readings say under what.
    Failed(Vec<Reading>),
    /// They held.
    Held(Vec<Reading>),
    /// They failed, but which of them was not said.
    FailedUnnamed,
    /// Good, but not all coats are on, or something went wrong on the way: nothing is raised by it.
    NotSure,
    /// Nothing about how wet a coat may be.
    Nothing,
}

impl Heard {
    /// The readings, if there are any.
    pub fn readings(&self) -> &[Reading] {
        match self {
            Self::Failed(readings) | Self::Held(readings) => readings,
            Self::FailedUnnamed | Self::NotSure | Self::Nothing => &[],
        }
    }
}

/// Whether what went wrong in a run was that colour or liquid moved.
fn too_wet(what: &str) -> bool {
    Outcome::from_word(what).is_some_and(|outcome| outcome.effect() == Effect::TooWet)
}

/// What a rating says of the media of its run. `is_medium` tells media from sealers and fixatives among its layers.
pub fn heard(run: &PastRun, rating: &Rating, is_medium: impl Fn(&str) -> bool) -> Heard {
    let all: Vec<&String> = run.media.iter().filter(|layer| is_medium(layer)).collect();
    let mut media: Vec<&String> = if rating.media.is_empty() { all } else { rating.media.iter().collect() };
    media.sort_unstable();
    media.dedup();
    let Some(first) = run.coats.iter().find(|coat| coat.sprayed_at.is_some()) else { return Heard::Nothing };
    let readings = |coat: &PastCoat, held: bool| {
        let over_mist = coat.kind == "build" && coat.number != first.number;
        let of = |medium: &&String| Reading::Scrap {
            medium: (*medium).clone(),
            wet_um: coat.wet_film_um.p50,
            held,
            over_mist,
            run: Some(run.id.clone()),
            note: Some(format!("on {}", run.title)),
        };
        media.iter().filter(|_| coat.wet_film_um.p50 > 0.0).map(of).collect::<Vec<_>>()
    };
    let effects: Vec<Effect> = rating.outcomes.iter().map(|outcome| outcome.effect()).collect();
    if effects.contains(&Effect::TooWet) {
        if rating.media.is_empty() && media.len() != 1 {
            return Heard::FailedUnnamed;
        }
        // The coat after which the run says so; a mishap after several coats is the last one's.
        let blamed = run.mishaps.iter().filter(|mishap| too_wet(&mishap.what)).filter_map(|mishap| mishap.coat).min();
        let coat = blamed.and_then(|number| run.coat(number)).filter(|coat| coat.sprayed_at.is_some());
        return Heard::Failed(readings(coat.unwrap_or(first), false));
    }
    if effects == [Effect::Held] {
        let clean = run.complete && !run.mishaps.iter().any(|mishap| too_wet(&mishap.what));
        return if clean { Heard::Held(readings(first, true)) } else { Heard::NotSure };
    }
    Heard::Nothing
}
