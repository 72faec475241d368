//! Reading `number unit`, and `low unit to high unit`.

use super::{Quantity, QuantityError, Unit, number};

/// Longest quantity text looked at; anything longer is not a quantity.
const LONGEST: usize = 120;

/// Splits a text into its leading number and what follows, both trimmed.
///
/// Accepts a sign, digits, one decimal point, an exponent, commas as thousands separators (`1,013 hPa`) and a decimal
/// comma with one or two digits behind it (`21,5 C`), or with any behind a nought (`0,125 m2`).
/// Returns `None` if the text does not begin with a number.
pub fn split_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    if text.len() > LONGEST {
        return None;
    }
    let bytes = text.as_bytes();
    let mut end = 0;
    let mut seen_digit = false;
    while end < bytes.len() {
        let byte = bytes[end];
        let exponent_follows = || {
            let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
            bytes.get(end + 1 + sign).is_some_and(u8::is_ascii_digit)
        };
        let sign_allowed = end == 0 || matches!(bytes[end - 1], b'e' | b'E');
        let three_digits_follow = || {
            bytes.get(end + 1..end + 4).is_some_and(|three| three.iter().all(u8::is_ascii_digit))
                && !bytes.get(end + 4).is_some_and(u8::is_ascii_digit)
        };
        match byte {
            b'0'..=b'9' => seen_digit = true,
            b'+' | b'-' if sign_allowed => {}
            b'.' => {}
            b',' if seen_digit && (three_digits_follow() || decimal_comma(bytes, end)) => {}
            b'e' | b'E' if seen_digit && exponent_follows() => {}
            _ => break,
        }
        end += 1;
    }
    let (head, tail) = text.split_at(end);
    let plain = match head.find(',') {
        Some(at) if decimal_comma(bytes, at) => head.replacen(',', ".", 1),
        _ => head.replace(',', ""),
    };
    plain.parse::<f64>().ok().map(|value| (value, tail.trim()))
}

/// Whether the comma at that place is a decimal comma: digits only before it, one or two after it; after a nought, which
/// begins no thousands, as many as there are.
fn decimal_comma(bytes: &[u8], at: usize) -> bool {
    let before = bytes[..at].iter().enumerate();
    let whole =
        before.clone().all(|(place, byte)| byte.is_ascii_digit() || (place == 0 && matches!(byte, b'+' | b'-')));
    let after = bytes[at + 1..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let nought = bytes[..at].iter().all(|byte| matches!(byte, b'0' | b'+' | b'-'));
    whole && after > 0 && (after <= 2 || nought) && !matches!(bytes.get(at + 1 + after), Some(b'.' | b','))
}

/// Reads one quantity.
///
/// # Errors
/// Any [`QuantityError`]; a bare number is [`QuantityError::MissingUnit`].
pub fn parse<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(QuantityError::Empty { what: Q::NAME, example: example::<Q>() });
    }
    let Some((value, unit)) = split_number(trimmed) else {
        let shown: String = trimmed.chars().take(40).collect();
        return Err(QuantityError::NotANumber { text: shown, example: example::<Q>() });
    };
    if unit.is_empty() {
        return Err(QuantityError::MissingUnit {
            what: Q::NAME,
            text: trimmed.to_owned(),
            units: Q::UNITS.iter().take(2).map(|unit| unit.names[0]).collect(),
        });
    }
    let unit = find_unit::<Q>(unit)?;
    Q::from_si(value * unit.scale + unit.offset)
}

/// Reads `low to high` (also `low-high`, `low .. high`), or a single value as a range of no width.
///
/// The unit may stand once, behind the second number: `6 to 8 in`.
///
/// # Errors
/// Any [`QuantityError`] of either end, or [`QuantityError::Backwards`].
pub fn parse_range<Q: Quantity>(text: &str) -> Result<(Q, Q), QuantityError> {
    let Some((left, right)) = split_range(text) else {
        return parse::<Q>(text).map(|value| (value, value));
    };
    let high = parse::<Q>(right)?;
    let low = match split_number(left) {
        Some((_, "")) => {
            let unit = split_number(right).map_or("", |(_, unit)| unit);
            parse::<Q>(&format!("{left} {unit}"))?
        }
        _ => parse::<Q>(left)?,
    };
    if low > high {
        return Err(QuantityError::Backwards { text: text.trim().to_owned() });
    }
    Ok((low, high))
}

/// Finds the two sides of a written range.
pub(super) fn split_range(text: &str) -> Option<(&str, &str)> {
    for separator in [" to ", "..", "–", " - "] {
        if let Some((left, right)) = text.split_once(separator) {
            return Some((left.trim(), right.trim()));
        }
    }
    // `6-8 in`: a hyphen between two digits.
    let at = text.char_indices().find(|&(at, letter)| {
        letter == '-'
            && text[..at].ends_with(|c: char| c.is_ascii_digit())
            && text[at + 1..].starts_with(|c: char| c.is_ascii_digit())
    })?;
    Some((text[..at.0].trim(), text[at.0 + 1..].trim()))
}

fn find_unit<Q: Quantity>(written: &str) -> Result<&'static Unit, QuantityError> {
    let exact = Q::UNITS.iter().find(|unit| unit.names.contains(&written));
    let folded = || {
        let lower = written.to_lowercase();
        Q::UNITS.iter().find(|unit| unit.names.iter().any(|name| name.to_lowercase() == lower))
    };
    exact.or_else(folded).ok_or_else(|| QuantityError::UnknownUnit {
        what: Q::NAME,
        unit: written.chars().take(24).collect(),
        // Two letters are near to half of all units: the list is the better hint.
        near: crate::diagnostic::nearest(written, Q::UNITS.iter().flat_map(|unit| unit.names.iter().copied()))
            .filter(|_| written.chars().count() > 2),
        units: Q::UNITS.iter().map(|unit| unit.names[0]).collect(),
    })
}

/// Checks an SI value against the range of its quantity.
pub(super) fn in_range<Q: Quantity>(value: f64) -> Result<f64, QuantityError> {
    if !value.is_finite() {
        return Err(QuantityError::NotFinite { what: Q::NAME });
    }
    // A hair of slack, so that `100 %` and unit conversions at a bound are inside.
    let slack = 1e-9 * Q::MAX.abs().max(1.0);
    if value < Q::MIN - slack || value > Q::MAX + slack {
        let unit = &Q::UNITS[0];
        let shown = |si: f64| format!("{} {}", number((si - unit.offset) / unit.scale), unit.names[0]);
        return Err(QuantityError::OutOfRange {
            what: Q::NAME,
            value: shown(value),
            low: shown(Q::MIN),
            high: shown(Q::MAX),
        });
    }
    Ok(value.clamp(Q::MIN, Q::MAX))
}

fn example<Q: Quantity>() -> String {
    let unit = &Q::UNITS[0];
    let (low, everyday) = (Q::MIN.max(0.0), unit.scale * 70.0);
    // A quantity that begins above everyday numbers of its unit, as air pressure does, has its usual value near its most.
    let middle = if everyday > low { low + 0.3 * (Q::MAX.min(everyday) - low) } else { low + 0.85 * (Q::MAX - low) };
    format!("{} {}", number(((middle - unit.offset) / unit.scale).round()), unit.names[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Grammage, Length, RelativeHumidity, Temperature};
    use approx::assert_relative_eq;

    macro_rules! accepts {
        ($($name:ident: $type:ty, $text:literal => $si:expr;)+) => {
            $(#[test] fn $name() {
                assert_relative_eq!(parse::<$type>($text).unwrap().si(), $si, max_relative = 1e-9);
            })+
        };
    }
    // Exact by definition of the inch, the foot and the Fahrenheit scale (international yard, 1959).
    accepts! {
        inches: Length, "12 in" => 0.3048;
        inches_without_space: Length, "12in" => 0.3048;
        centimetres: Length, "30 cm" => 0.3;
        feet: Length, "1 ft" => 0.3048;
        fahrenheit: Temperature, "70 F" => 21.111_111_111_1;
        celsius: Temperature, "21 °C" => 21.0;
        humidity: RelativeHumidity, "48%" => 0.48;
        grammage: Grammage, "250 gsm" => 0.25;
        decimal_commas: Temperature, "21,5 C" => 21.5;
        thousands: crate::quantity::Pressure, "1,013 hPa" => 101_300.0;
        nought_and_decimal_comma: crate::quantity::Area, "0,125 m2" => 0.125;
    }

    #[test]
    fn what_is_offered_is_accepted() {
        use crate::quantity::{AirChanges, Area, Mass, MassRate, Pressure, Share, Speed, Volume, VolumeFlow};
        fn offered<Q: Quantity>() {
            let Err(QuantityError::Empty { example, .. }) = parse::<Q>(" ") else { panic!("{} may be empty", Q::NAME) };
            assert!(parse::<Q>(&example).is_ok_and(|value| value.si() > 0.0), "{}: {example}", Q::NAME);
        }
        offered::<Length>();
        offered::<Area>();
        offered::<Volume>();
        offered::<Temperature>();
        offered::<RelativeHumidity>();
        offered::<Share>();
        offered::<Speed>();
        offered::<Mass>();
        offered::<MassRate>();
        offered::<Grammage>();
        offered::<Pressure>();
        offered::<AirChanges>();
        offered::<VolumeFlow>();
    }

    #[test]
    fn bare_number_names_the_cure() {
        let error = parse::<Length>("30").unwrap_err();
        assert_eq!(error.to_string(), "`30` has no unit, and this length needs one");
        assert_eq!(error.hint(), "write `30 cm` or `30 in`");
    }

    #[test]
    fn unknown_unit_suggests() {
        let error = parse::<Length>("30 centimeterz").unwrap_err();
        assert_eq!(error.hint(), "did you mean `centimeter`?");
    }

    #[test]
    fn humidity_over_saturation_is_refused() {
        let error = parse::<RelativeHumidity>("140 %").unwrap_err();
        assert_eq!(error.to_string(), "a relative humidity of 140 % is outside 0 % to 100 %");
    }

    #[test]
    fn ranges_share_a_unit() {
        for text in ["6 in to 8 in", "6 to 8 in", "6-8 in", "6 in - 8 in", "6–8 in"] {
            let (low, high) = parse_range::<Length>(text).unwrap();
            assert_relative_eq!(low.si(), 0.1524, max_relative = 1e-12);
            assert_relative_eq!(high.si(), 0.2032, max_relative = 1e-12);
        }
    }

    #[test]
    fn backwards_range_is_refused() {
        assert!(matches!(parse_range::<Length>("8 in to 6 in"), Err(QuantityError::Backwards { .. })));
    }

    #[test]
    fn not_a_number_is_refused() {
        for text in ["", "cm", "NaN cm", "inf cm", "1e999 cm", "--3 cm", "1.2.3 cm"] {
            assert!(parse::<Length>(text).is_err(), "{text}");
        }
    }
}
