//! Showing numbers and quantities in metric and US units.

/// Which unit system a person reads first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Centimetres, degrees Celsius, grams.
    #[default]
    Metric,
    /// Inches, degrees Fahrenheit, ounces.
    Us,
}

impl Units {
    /// A distance given in centimetres, with the other system in brackets: `30 cm (12 in)`.
    pub fn distance(self, centimetres: f64) -> String {
        let inches = centimetres / 2.54;
        match self {
            Self::Metric => format!("{} cm ({} in)", number(round_half(centimetres)), number(round_half(inches))),
            Self::Us => format!("{} in ({} cm)", number(round_half(inches)), number(round_half(centimetres))),
        }
    }

    /// A temperature given in degrees Celsius, in this system only: `21 °C` or `70 °F`.
    pub fn temperature(self, celsius: f64) -> String {
        match self {
            Self::Metric => format!("{} °C", number((celsius * 10.0).round() / 10.0)),
            Self::Us => format!("{} °F", number((celsius * 1.8 + 32.0).round())),
        }
    }

    /// A speed given in centimetres per second: `45 cm/s` or `18 in/s`.
    pub fn speed(self, centimetres_per_second: f64) -> String {
        match self {
            Self::Metric => format!("{} cm/s", number(centimetres_per_second.round())),
            Self::Us => format!("{} in/s", number((centimetres_per_second / 2.54).round())),
        }
    }

    /// A mass given in grams: `4.8 g` or `0.17 oz`.
    pub fn mass(self, grams: f64) -> String {
        match self {
            Self::Metric => format!("{} g", number((grams * 10.0).round() / 10.0)),
            Self::Us => format!("{} oz", number((grams / 28.349_523_125 * 100.0).round() / 100.0)),
        }
    }

    /// An air flow given in cubic metres per hour: `200 m³/h` or `118 cfm`.
    pub fn air_flow(self, cubic_metres_per_hour: f64) -> String {
        match self {
            Self::Metric => format!("{} m³/h", number(cubic_metres_per_hour.round())),
            Self::Us => format!("{} cfm", number((cubic_metres_per_hour / 1.699_010_795_52).round())),
        }
    }
}

fn round_half(value: f64) -> f64 {
    (value * 2.0).round() / 2.0
}

/// A number without needless digits: at most four decimals, no trailing zeros, `-0` shown as `0`.
pub fn number(value: f64) -> String {
    let rounded = (value * 10_000.0).round() / 10_000.0;
    let rounded = if rounded == 0.0 { 0.0 } else { rounded };
    format!("{rounded}")
}

/// A whole number of minutes in words: `45 min`, `1 h 30 min`, `2 days 4 h`, from a day on in whole hours,
/// rounded up: a wait that is told short is a wait cut short.
pub fn minutes_in_words(minutes: i64) -> String {
    let told = if minutes < 1440 { minutes } else { (minutes + 59) / 60 * 60 };
    let (days, hours, rest) = (told / 1440, told % 1440 / 60, told % 60);
    let day = |count: i64| if count == 1 { "1 day".to_owned() } else { format!("{count} days") };
    match (days, hours, rest) {
        (0, 0, rest) => format!("{rest} min"),
        (0, hours, 0) => format!("{hours} h"),
        (0, hours, rest) => format!("{hours} h {rest} min"),
        (days, 0, _) => day(days),
        (days, hours, _) => format!("{} {hours} h", day(days)),
    }
}

/// What is not over within the longest wait that the rules look ahead.
pub const NOT_WITHIN_A_DAY: &str = "not within a day";

/// When something is fit, below words that say what it counts from: `at once`, `after 25 min`, `not within a day`.
pub fn after_minutes(minutes: Option<u32>) -> String {
    match minutes {
        Some(0) => "at once".to_owned(),
        Some(minutes) => format!("after {}", minutes_in_words(i64::from(minutes))),
        None => NOT_WITHIN_A_DAY.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_show_both_systems() {
        assert_eq!(Units::Metric.distance(30.48), "30.5 cm (12 in)");
        assert_eq!(Units::Us.distance(30.48), "12 in (30.5 cm)");
    }

    #[test]
    fn minutes_read_naturally() {
        assert_eq!(minutes_in_words(5), "5 min");
        assert_eq!(minutes_in_words(90), "1 h 30 min");
        assert_eq!(minutes_in_words(1440), "1 day");
        assert_eq!(minutes_in_words(2 * 1440 + 240), "2 days 4 h");
        assert_eq!(minutes_in_words(1440 + 1), "1 day 1 h");
        assert_eq!(minutes_in_words(2 * 1440 - 1), "2 days");
        assert_eq!(minutes_in_words(1439), "23 h 59 min");
    }
}
