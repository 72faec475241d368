//! The JSON documents: fields in the order of their structures, absent is null, numbers to the decimals they are worth.
//!
//! How many decimals is told by the unit at the end of the field's name, so that two machines print the same digits
//! and nobody reads meaning into the twelfth of them. What the user put in (`inputs`) is echoed untouched.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::ser::{CharEscape, Formatter, PrettyFormatter};

use crate::plan::Plan;

/// A plan as JSON, indented, with a line end behind it.
pub fn plan_json(plan: &Plan) -> String {
    to_json(plan)
}

/// Any finished document as JSON, indented, with a line end behind it.
///
/// # Panics
/// If the document has a map whose keys are not strings, which no document of coatbell has.
pub fn to_json<T: Serialize>(document: &T) -> String {
    let mut bytes = Vec::new();
    let mut serializer = serde_json::Serializer::with_formatter(&mut bytes, Rounding::default());
    document.serialize(&mut serializer).expect("documents have string keys and are written to memory");
    bytes.push(b'\n');
    String::from_utf8_lossy(&bytes).into_owned()
}

/// How a number is rounded.
enum Digits {
    /// So many decimals.
    Decimals(i32),
    /// So many figures, for values that span orders of magnitude.
    Figures(i32),
    /// As it is.
    All,
}

/// Endings of field names and what their numbers are worth; the first that fits counts.
const WORTH: [(&str, Digits); 20] = [
    ("_ppm", Digits::Figures(4)),
    ("_per_h", Digits::Decimals(2)),
    ("m3_h", Digits::Decimals(1)),
    ("_cm_s", Digits::Decimals(1)),
    ("seconds_per_pass", Digits::Decimals(2)),
    ("_cm", Digits::Decimals(1)),
    ("_um", Digits::Decimals(1)),
    ("_pct", Digits::Decimals(1)),
    ("_min", Digits::Decimals(1)),
    ("_s", Digits::Decimals(1)),
    ("_g", Digits::Decimals(2)),
    ("_c", Digits::Decimals(1)),
    ("_m3", Digits::Decimals(1)),
    ("_h", Digits::Decimals(1)),
    ("index_peak", Digits::Decimals(2)),
    ("_index", Digits::Decimals(2)),
    ("index_8h", Digits::Decimals(2)),
    ("index_15min", Digits::Decimals(2)),
    ("index_short_term", Digits::Decimals(2)),
    ("index_unmasked_only", Digits::Decimals(2)),
];

/// A value rounded as the field it belongs to is worth.
fn rounded(field: &str, value: f64) -> f64 {
    let digits = WORTH.iter().find(|(ending, _)| field.ends_with(ending)).map_or(&Digits::All, |(_, digits)| digits);
    let decimals = match digits {
        Digits::Decimals(decimals) => *decimals,
        Digits::Figures(figures) if value != 0.0 => figures - 1 - libm::log10(value.abs()).floor() as i32,
        Digits::Figures(_) | Digits::All => return value,
    };
    let scale = 10f64.powi(decimals.clamp(-300, 300));
    let result = if decimals >= 0 { (value * scale).round() / scale } else { (value / (1.0 / scale)).round() / scale };
    if !result.is_finite() {
        value
    } else if result == 0.0 {
        0.0
    } else {
        result
    }
}

/// The indented form, with each number rounded by the name of its field.
#[derive(Default)]
struct Rounding {
    pretty: PrettyFormatter<'static>,
    /// Names of the fields around the present place; arrays add none.
    path: Vec<String>,
    in_key: bool,
}

impl Rounding {
    /// The field a number belongs to: the nearest that is not a point of a distribution.
    fn field(&self) -> Option<&str> {
        if self.path.first().is_some_and(|root| root == "inputs") {
            return None;
        }
        let own = |name: &&String| !matches!(name.as_str(), "p10" | "p50" | "p90");
        self.path.iter().rev().find(own).map(String::as_str)
    }
}

impl Formatter for Rounding {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        let value = self.field().map_or(value, |field| rounded(field, value));
        self.pretty.write_f64(writer, value)
    }

    fn write_string_fragment<W: ?Sized + Write>(&mut self, writer: &mut W, fragment: &str) -> io::Result<()> {
        if self.in_key
            && let Some(name) = self.path.last_mut()
        {
            name.push_str(fragment);
        }
        self.pretty.write_string_fragment(writer, fragment)
    }

    fn write_char_escape<W: ?Sized + Write>(&mut self, writer: &mut W, char_escape: CharEscape) -> io::Result<()> {
        self.pretty.write_char_escape(writer, char_escape)
    }

    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.pretty.begin_array(writer)
    }

    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.pretty.end_array(writer)
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.pretty.begin_array_value(writer, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.pretty.end_array_value(writer)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.pretty.begin_object(writer)
    }

    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.pretty.end_object(writer)
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.path.push(String::new());
        self.in_key = true;
        self.pretty.begin_object_key(writer, first)
    }

    fn end_object_key<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.in_key = false;
        self.pretty.end_object_key(writer)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.pretty.begin_object_value(writer)
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.path.pop();
        self.pretty.end_object_value(writer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_worth_their_unit() {
        assert_eq!(rounded("wet_film_um", 8.949), 8.9);
        assert_eq!(rounded("limit_8h_ppm", 0.005), 0.005);
        assert_eq!(rounded("near_peak_ppm", 12_345.6), 12_350.0);
        assert_eq!(rounded("index_15min", 0.9949), 0.99);
        assert_eq!(rounded("first_pass_offset_cm", -0.01), 0.0);
        assert_eq!(rounded("max_use_ppm", 1000.0), 1000.0);
        assert_eq!(rounded("protection_factor", 10.0), 10.0);
    }

    #[test]
    fn inputs_are_echoed_untouched_and_quantiles_follow_their_field() {
        let document = serde_json::json!({
            "inputs": { "cover_pct": 12.3456 },
            "coats": [{ "wet_film_um": { "p10": 1.23456, "p50": 2.0, "p90": 3.96 }, "recoat_by": null }],
        });
        let text = to_json(&document);
        assert!(text.contains("12.3456"), "{text}");
        assert!(text.contains("\"p10\": 1.2,"), "{text}");
        assert!(text.contains("\"p90\": 4.0"), "{text}");
        assert!(text.contains("\"recoat_by\": null"), "{text}");
        assert!(text.ends_with("}\n"));
    }
}
