//! Numbers, moments and names as a person at a bench reads them.

use jiff::{Timestamp, ZonedDateTime};

use super::look::Look;
use crate::estimate::{Basis, Quantiles};
use crate::plan::Coat;
use crate::quantity::{NOT_WITHIN_A_DAY, Units, minutes_in_words, number};

/// Micrometres in a mil.
const UM_IN_MIL: f64 = 25.4;

/// A film thickness split into its one number and its range: `9 µm` and `6–12`; no range where it shows no width.
pub(super) fn film(look: &Look, film_um: Quantiles) -> (String, Option<String>) {
    let shown = |um: f64| match look.units {
        Units::Metric if um < 4.95 => number((um * 10.0).round() / 10.0),
        Units::Metric => number(um.round()),
        Units::Us => format!("{:.2}", um / UM_IN_MIL),
    };
    let unit = match look.units {
        Units::Metric => "µm",
        Units::Us => "mil",
    };
    let (low, high) = (shown(film_um.p10), shown(film_um.p90));
    let range = (low != high).then(|| format!("{low}–{high}"));
    (format!("{} {unit}", shown(film_um.p50)), range)
}

/// `9 µm, could be 6–12`.
pub(super) fn film_in_words(look: &Look, film_um: Quantiles) -> String {
    match film(look, film_um) {
        (one, Some(range)) => format!("{one}, could be {range}"),
        (one, None) => one,
    }
}

/// Minutes with their range: `4 min, could be 3–6`.
pub(super) fn minutes_range(minutes: Quantiles) -> String {
    let shown = |value: f64| number(if value < 9.95 { (value * 10.0).round() / 10.0 } else { value.round() });
    let (low, mid, high) = (shown(minutes.p10), shown(minutes.p50), shown(minutes.p90));
    if low == high { format!("{mid} min") } else { format!("{mid} min, could be {low}–{high}") }
}

/// When the air is fit, standing alone: `25 min after the last coat`.
pub(super) fn after_the_last_coat(minutes: Option<u32>) -> String {
    match minutes {
        Some(minutes) => format!("{} after the last coat", minutes_in_words(i64::from(minutes))),
        None => NOT_WITHIN_A_DAY.to_owned(),
    }
}

/// The size of a sheet in both systems, to a tenth: `21 × 29.7 cm (8.3 × 11.7 in)`.
pub(super) fn sheet_size(units: Units, width_cm: f64, height_cm: f64) -> String {
    let tenth = |value: f64| number((value * 10.0).round() / 10.0);
    let metric = format!("{} × {} cm", tenth(width_cm), tenth(height_cm));
    let us = format!("{} × {} in", tenth(width_cm / 2.54), tenth(height_cm / 2.54));
    match units {
        Units::Metric => format!("{metric} ({us})"),
        Units::Us => format!("{us} ({metric})"),
    }
}

/// A distance in both systems apart: the one read first, and the other.
pub(super) fn distance_pair(units: Units, centimetres: f64) -> (String, String) {
    let both = units.distance(centimetres);
    match both.split_once(" (") {
        Some((first, second)) => (first.to_owned(), second.trim_end_matches(')').to_owned()),
        None => (both, String::new()),
    }
}

/// Where the can is held at a coat and how it is moved: `20 cm (8 in), 9 passes of 0.8 s along the short side, 4.5 cm
/// apart`.
pub(super) fn how_to_spray(coat: &Coat, look: &Look) -> String {
    let passes = pass_count(coat.passes);
    let apart = match coat.passes {
        1 => String::new(),
        _ => format!(", {} apart", look.units.distance(coat.step_over_cm)),
    };
    let distance = look.units.distance(coat.distance_cm);
    let (pass, side) = (seconds(coat.seconds_per_pass), coat.direction.side());
    format!("{distance}, {passes} of {pass} along the {side}{apart}")
}

/// A room's volume.
pub(super) fn volume(units: Units, cubic_metres: f64) -> String {
    match units {
        Units::Metric => format!("{} m³", number((cubic_metres * 10.0).round() / 10.0)),
        Units::Us => format!("{} ft³", number((cubic_metres / 0.028_316_846_592).round())),
    }
}

/// Seconds to a tenth: `0.8 s`.
pub(super) fn seconds(value: f64) -> String {
    format!("{} s", number(if value < 9.95 { (value * 10.0).round() / 10.0 } else { value.round() }))
}

/// A share: `under 1 %`, `8 %`.
pub(super) fn per_cent(value: f64) -> String {
    if value > 0.0 && value < 0.995 { "under 1 %".to_owned() } else { format!("{} %", number(value.round())) }
}

/// How full a limit is: `35 % full`, `just full`, `4.2 times the limit`.
pub(super) fn fullness(index: f64) -> String {
    if index < 0.995 {
        format!("{} full", per_cent(index * 100.0))
    } else if index < 1.05 {
        "just full".to_owned()
    } else if index < 9.95 {
        format!("{} times the limit", number((index * 10.0).round() / 10.0))
    } else {
        format!("{} times the limit", number(index.round()))
    }
}

/// A concentration to two figures: `120 ppm`, `0.35 ppm`.
pub(super) fn ppm(value: f64) -> String {
    let shown = match value {
        v if v >= 100.0 => number((v / 10.0).round() * 10.0),
        v if v >= 10.0 => number(v.round()),
        v if v >= 1.0 => number((v * 10.0).round() / 10.0),
        v if v >= 0.001 => number((v * 1000.0).round() / 1000.0),
        v if v > 0.0 => "under 0.001".to_owned(),
        _ => "0".to_owned(),
    };
    format!("{shown} ppm")
}

/// An id as words: `alcohol-marker` is `alcohol marker`.
pub(super) fn plain_name(id: &str) -> String {
    id.replace(['-', '_'], " ")
}

/// A substance id as words; the hyphens of `n-butane` and `2-butoxyethanol` belong to the name and stay.
pub(super) fn substance_name(id: &str) -> String {
    let belongs = |part: &str| part == "tert" || part.len() == 1 || part.chars().all(|c| c.is_ascii_digit());
    let mut parts = id.split('-');
    let mut name = parts.next().unwrap_or_default().to_owned();
    let mut before = name.clone();
    for part in parts {
        name.push(if belongs(&before) || belongs(part) { '-' } else { ' ' });
        name.push_str(part);
        part.clone_into(&mut before);
    }
    name
}

/// A sentence with its full stop.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(['.', '!', '?', ':']) { text.to_owned() } else { format!("{text}.") }
}

/// `1 pass`, `5 passes`.
pub(super) fn pass_count(passes: usize) -> String {
    if passes == 1 { "1 pass".to_owned() } else { format!("{passes} passes") }
}

/// What a judgement stands on, with its source.
pub(super) fn grounds(basis: Basis, source: Option<&str>) -> String {
    let words = basis.in_words();
    match source {
        None => words.to_owned(),
        Some(source) => format!("{}: {source}", words.trim_end_matches(", no source")),
    }
}

/// A moment of the plan in the reader's time zone.
pub(super) fn moment(look: &Look, iso: &str) -> Option<ZonedDateTime> {
    iso.parse::<Timestamp>().ok().map(|at| at.to_zoned_datetime(look.now.time_zone().clone()))
}

/// A moment beside now: `18:05`, `tomorrow 09:10`, `Thu 18:05`, `Sat 12 Dec 18:05`. What is no moment stays as it is.
pub(super) fn clock(look: &Look, iso: &str) -> String {
    let Some(at) = moment(look, iso) else { return iso.to_owned() };
    let days = look.now.date().until(at.date()).map_or(i32::MAX, |span| span.get_days());
    let format = match days {
        0 => "%H:%M",
        1 => "tomorrow %H:%M",
        2..=6 => "%a %H:%M",
        _ if at.year() == look.now.year() => "%a %-d %b %H:%M",
        _ => "%-d %b %Y %H:%M",
    };
    at.strftime(format).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look() -> Look {
        Look::plain("2026-11-28T17:40[Europe/Paris]".parse().unwrap())
    }

    #[test]
    fn moments_read_naturally() {
        let look = look();
        assert_eq!(clock(&look, "2026-11-28T18:05:00+01:00"), "18:05");
        assert_eq!(clock(&look, "2026-11-29T09:10:00+01:00"), "tomorrow 09:10");
        assert_eq!(clock(&look, "2026-12-02T08:00:00+00:00"), "Wed 09:00");
        assert_eq!(clock(&look, "2026-12-12T18:05:00+01:00"), "Sat 12 Dec 18:05");
        assert_eq!(clock(&look, "2027-01-02T18:05:00+01:00"), "2 Jan 2027 18:05");
        assert_eq!(clock(&look, "2026-11-20T18:05:00+01:00"), "Fri 20 Nov 18:05");
        assert_eq!(clock(&look, "some day"), "some day");
    }

    #[test]
    fn films_show_one_number_and_a_range() {
        let film = Quantiles { p10: 6.1, p50: 8.9, p90: 12.2 };
        assert_eq!(film_in_words(&look(), film), "9 µm, could be 6–12");
        let us = Look { units: Units::Us, ..look() };
        assert_eq!(film_in_words(&us, film), "0.35 mil, could be 0.24–0.48");
    }

    #[test]
    fn substances_keep_their_own_hyphens() {
        assert_eq!(substance_name("n-butyl-acetate"), "n-butyl acetate");
        assert_eq!(substance_name("ethyl-3-ethoxypropionate"), "ethyl-3-ethoxypropionate");
        assert_eq!(substance_name("mineral-spirits"), "mineral spirits");
    }

    #[test]
    fn fullness_is_plain() {
        assert_eq!(fullness(0.004), "under 1 % full");
        assert_eq!(fullness(0.35), "35 % full");
        assert_eq!(fullness(1.0), "just full");
        assert_eq!(fullness(4.24), "4.2 times the limit");
    }
}
