//! Where the numbers come from: formula, inputs, basis and source of each.

use crate::diagnostic::sentence_start;
use crate::plan::{Plan, Why};
use crate::report::words::grounds;
use crate::report::writer::Writer;

/// Units at the end of field names, and how a person writes them; the longest first.
const UNITS: [(&str, &str); 14] = [
    ("_m3_h", "m³/h"),
    ("_cm_s", "cm/s"),
    ("_per_h", "per hour"),
    ("_g_m2", "g/m²"),
    ("_ppm", "ppm"),
    ("_pct", "%"),
    ("_min", "min"),
    ("_cm", "cm"),
    ("_um", "µm"),
    ("_m3", "m³"),
    ("_c", "°C"),
    ("_g", "g"),
    ("_h", "h"),
    ("_s", "s"),
];

/// Writes the section.
pub(super) fn write(writer: &mut Writer, plan: &Plan) {
    writer.head("Where the numbers come from");
    if plan.why.is_empty() {
        writer.text(2, "No number of this plan was computed.");
    }
    for why in &plan.why {
        number(writer, why);
    }
}

fn number(writer: &mut Writer, why: &Why) {
    writer.bullet(&sentence_start(&path_in_words(&why.path)));
    writer.text(4, &why.formula);
    if !why.inputs.is_empty() {
        writer.text(4, &format!("with {}", why.inputs));
    }
    writer.text(4, &format!("({})", grounds(why.basis, why.source.as_deref())));
}

/// A path of the JSON document in words: `coats[0].wet_film_um` is `coat 1, wet film (µm)`.
fn path_in_words(path: &str) -> String {
    let parts: Vec<String> = path.split('.').map(part_in_words).collect();
    parts.join(", ")
}

fn part_in_words(part: &str) -> String {
    if let Some((list, rest)) = part.split_once('[')
        && let Ok(at) = rest.trim_end_matches(']').parse::<usize>()
    {
        return format!("{} {}", list.trim_end_matches('s').replace('_', " "), at.saturating_add(1));
    }
    match UNITS.iter().find_map(|(ending, unit)| part.strip_suffix(ending).map(|name| (name, unit))) {
        Some((name, unit)) => format!("{} ({unit})", name.replace('_', " ")),
        None => part.replace('_', " "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_read_as_words() {
        assert_eq!(path_in_words("coats[0].wet_film_um"), "coat 1, wet film (µm)");
        assert_eq!(path_in_words("air.lel_near_pct"), "air, lel near (%)");
        assert_eq!(path_in_words("ready_at"), "ready at");
    }
}
