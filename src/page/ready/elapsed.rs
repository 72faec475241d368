//! Has a layer dried long enough?

use jiff::ZonedDateTime;

use crate::catalog::{Catalog, DryingKind};
use crate::finding::{Finding, Level};
use crate::input::clock_time;
use crate::page::drying::{drying_of, seal_wait_h};
use crate::page::waits::after;
use crate::page::{Laid, Layer};
use crate::quantity::minutes_in_words;
use crate::vapour::MoistAir;

/// Code of a layer that has not dried long enough: what passes by waiting alone.
pub const LAYER_WET: &str = "layer-wet";

/// Less than the low wait: hold; less than the most likely one: care; still to be laid: hold.
pub(super) fn judge(layer: &Layer<'_>, catalog: &Catalog, air: &MoistAir, start: &ZonedDateTime) -> Option<Finding> {
    let wait = seal_wait_h(layer, air, &catalog.rules)?;
    let grounds = match layer.what {
        Laid::Medium(medium, _) => medium.grounds.of("seal_wait_h"),
        Laid::Sealer(sealer) => sealer.grounds.of("full_cure_h"),
    };
    let Some(finished) = &layer.finished else {
        let text = format!("{} is still to be laid, so there is no time for the seal yet", layer.titled());
        let dry = if wait.mode() > 0.0 {
            format!(", let it dry {}", in_words(wait.mode(), f64::ceil))
        } else {
            String::new()
        };
        let remedy = match layer.what {
            Laid::Sealer(sealer) if sealer.closes_tooth => {
                format!("If it is the last seal, leave it out of the layers and name it with `--sealer {}`", sealer.id)
            }
            _ => format!("Lay it{dry}, then state `finished` and plan again"),
        };
        return Some(Finding::on("layer-to-be-laid", Level::Hold, text, grounds).remedy(remedy).layers([layer.place]));
    };
    let elapsed_h = start.duration_since(finished).as_secs_f64() / 3600.0;
    if elapsed_h >= wait.mode() {
        return None;
    }
    let level = if elapsed_h < wait.low() { Level::Hold } else { Level::Care };
    let text = format!(
        "{} will have dried {} at the start; in this air it needs about {}, and {} at the very least",
        layer.titled(),
        in_words(elapsed_h.max(0.0), f64::floor),
        in_words(wait.mode(), f64::round),
        in_words(wait.low(), f64::ceil)
    );
    let until =
        after(finished, wait.mode()).map_or_else(String::new, |at| format!(" until {}", clock_time(&at, start)));
    let sign = match drying_of(layer) {
        DryingKind::Water => "; the back of your hand must not feel it cool",
        DryingKind::Solvent => "; it must not smell of solvent any more",
        DryingKind::Dry => "",
    };
    let finding = Finding::on(LAYER_WET, level, text, grounds).remedy(format!("Wait{until}{sign}"));
    Some(finding.layers([layer.place]))
}

/// Hours as `45 min`, `12 h`, `2 days`. What has passed is rounded down and what has to pass up: never told short.
fn in_words(hours: f64, whole: fn(f64) -> f64) -> String {
    // A hair aside, so that an hour is an hour.
    let near = |value: f64| whole((value * 1e6).round() / 1e6) as i64;
    let minutes = near(hours * 60.0);
    // Above two hours nobody counts minutes.
    minutes_in_words(if minutes > 120 { near(hours) * 60 } else { minutes })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wait_is_never_told_short() {
        assert_eq!(in_words(23.9, f64::floor), "23 h");
        assert_eq!(in_words(2.1, f64::ceil), "3 h");
        assert_eq!(in_words(1.99, f64::floor), "1 h 59 min");
        assert_eq!(in_words(0.1 * 3.0 * 10.0, f64::ceil), "3 h");
        assert_eq!(in_words(47.5, f64::ceil), "2 days");
    }
}
