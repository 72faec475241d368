//! Lengths of time as a person writes them.

use super::QuantityError;

/// Longest time accepted, in seconds: two years. A sheet may have been finished long ago.
const LONGEST_S: f64 = 2.0 * 365.0 * 86_400.0;

/// A length of time in seconds, from 0 to two years.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TimeSpan(f64);

impl TimeSpan {
    /// Seconds.
    pub fn seconds(self) -> f64 {
        self.0
    }

    /// Minutes.
    pub fn minutes(self) -> f64 {
        self.0 / 60.0
    }

    /// Hours.
    pub fn hours(self) -> f64 {
        self.0 / 3600.0
    }

    /// Reads `15 min`, `1 h 30 min`, `3 days`.
    ///
    /// The duration grammar is the common one of the library, with two of its traps closed: `M` (months there)
    /// is refused with a hint, and nothing over two years passes.
    ///
    /// # Errors
    /// A [`QuantityError`] naming the cure.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let trimmed = text.trim();
        let example = || "15 min".to_owned();
        if trimmed.is_empty() {
            return Err(QuantityError::Empty { what: "time", example: example() });
        }
        if trimmed.len() > 60 || !trimmed.starts_with(|c: char| c.is_ascii_digit()) {
            let shown: String = trimmed.chars().take(40).collect();
            return Err(QuantityError::NotANumber { text: shown, example: example() });
        }
        if trimmed.parse::<f64>().is_ok() {
            return Err(QuantityError::MissingUnit { what: "time", text: trimmed.to_owned(), units: vec!["min", "h"] });
        }
        if let Some(unit) =
            trimmed.split(|c: char| !c.is_alphabetic()).find(|word| *word == "M" || word.starts_with("month"))
        {
            return Err(QuantityError::UnknownUnit {
                what: "time",
                unit: unit.to_owned(),
                near: (unit == "M").then_some("min"),
                units: vec!["min", "h", "days", "weeks"],
            });
        }
        let duration = humantime::parse_duration(trimmed).map_err(|_| QuantityError::UnknownUnit {
            what: "time",
            unit: trimmed.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ' ').to_owned(),
            near: None,
            units: vec!["s", "min", "h", "days", "weeks"],
        })?;
        let seconds = duration.as_secs_f64();
        if seconds > LONGEST_S {
            return Err(QuantityError::OutOfRange {
                what: "time",
                value: trimmed.to_owned(),
                low: "0 s".to_owned(),
                high: "2 years".to_owned(),
            });
        }
        Ok(Self(seconds))
    }

    /// Reads `10 min to 15 min`, `10 to 15 min`, or one time as a range of no width.
    ///
    /// # Errors
    /// As [`TimeSpan::parse`], or [`QuantityError::Backwards`].
    pub fn parse_range(text: &str) -> Result<(Self, Self), QuantityError> {
        let Some((left, right)) = super::parse::split_range(text) else {
            return Self::parse(text).map(|value| (value, value));
        };
        let high = Self::parse(right)?;
        let left = left.trim();
        let low = if left.parse::<f64>().is_ok() {
            let unit = right.trim().trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
            Self::parse(&format!("{left}{unit}"))?
        } else {
            Self::parse(left)?
        };
        if low > high {
            return Err(QuantityError::Backwards { text: text.trim().to_owned() });
        }
        Ok((low, high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ordinary_times() {
        assert_eq!(TimeSpan::parse("15 min").unwrap().minutes(), 15.0);
        assert_eq!(TimeSpan::parse("1h 30m").unwrap().minutes(), 90.0);
        assert_eq!(TimeSpan::parse("3 days").unwrap().hours(), 72.0);
        assert_eq!(TimeSpan::parse("80 h").unwrap().hours(), 80.0);
    }

    #[test]
    fn months_are_not_minutes() {
        let error = TimeSpan::parse("2M").unwrap_err();
        assert_eq!(error.hint(), "did you mean `min`?");
    }

    #[test]
    fn ranges_and_bare_numbers() {
        for text in ["10 to 15 min", "10 min to 15 min", "10-15 minutes", "10 - 15 min", "10–15 min"] {
            let (low, high) = TimeSpan::parse_range(text).unwrap();
            assert_eq!((low.minutes(), high.minutes()), (10.0, 15.0), "{text}");
        }
        assert!(matches!(TimeSpan::parse("15"), Err(QuantityError::MissingUnit { .. })));
        assert!(matches!(TimeSpan::parse_range("15 min to 10 min"), Err(QuantityError::Backwards { .. })));
    }
}
