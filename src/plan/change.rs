//! What would change the answer: the smallest change of one thing that makes the conditions milder.

use super::model::Change;
use crate::catalog::{Label, Rules};
use crate::finding::Level;
use crate::vapour::MoistAir;

/// Changes of humidity (same temperature) and of temperature (same moisture) that make the conditions milder.
///
/// `level_at` gives the level that the conditions have in another air. Humidity is searched in whole per cent, and
/// temperature in half degrees; both searches rest on the law that drier, and warmer at the same moisture up to the
/// heat limit of the rules or of the can's label, is never more severe.
pub(super) fn condition_changes(
    air: &MoistAir,
    label: &Label,
    rules: &Rules,
    level_at: &dyn Fn(&MoistAir) -> Level,
) -> Vec<Change> {
    let limits = Limits::of(label, rules);
    let now = level_at(air);
    let mut changes = Vec::new();
    if now <= Level::Go {
        return changes;
    }
    let milder: &[Level] = if now == Level::Hold { &[Level::Care, Level::Go] } else { &[Level::Go] };
    let mut reached = Level::Hold;
    for &target in milder {
        if reached <= target {
            continue;
        }
        if let Some((drier, level)) = drier(air, target, level_at) {
            reached = level;
            changes.push(humidity_change(air, &drier, level));
        } else if now > target {
            changes.push(no_humidity(air, &limits, target, level_at));
        }
    }
    let mut reached = Level::Hold;
    for &target in milder {
        if reached <= target {
            continue;
        }
        if let Some((other, level)) = other_temperature(air, limits.hot_c, target, level_at) {
            reached = level;
            changes.push(temperature_change(air, &other, level));
        }
    }
    if changes.iter().all(|change| change.to.is_none()) {
        changes.clear();
        changes.push(Change {
            variable: "none".to_owned(),
            from: None,
            to: None,
            level: now,
            text: "Neither drier air nor another temperature alone makes it milder: wait for other weather".to_owned(),
        });
    }
    if now == Level::Hold {
        changes.push(other_weather());
    }
    changes
}

/// The temperatures between which the rules and the label find nothing to say, °C.
struct Limits {
    cold_c: f64,
    hot_c: f64,
}

impl Limits {
    fn of(label: &Label, rules: &Rules) -> Self {
        let (cold, hot) = (rules.conditions.cold_care_c.get(), rules.conditions.hot_care_c.get());
        Self {
            cold_c: label.min_temperature_c.map_or(cold, |least| least.max(cold)),
            hot_c: label.max_temperature_c.map_or(hot, |most| most.min(hot)),
        }
    }
}

/// Where the air stands against the page: a forecast may hold an hour in which it does not.
fn other_weather() -> Change {
    Change {
        variable: "waiting".to_owned(),
        from: None,
        to: None,
        level: Level::Care,
        text: "Another hour may do: `coatbell weather PAGE --forecast FILE` finds those of a forecast".to_owned(),
    }
}

/// The highest whole per cent of humidity at which the level is at most `target`.
fn drier(air: &MoistAir, target: Level, level_at: &dyn Fn(&MoistAir) -> Level) -> Option<(MoistAir, Level)> {
    let at = |percent: i32| MoistAir { relative_humidity: f64::from(percent) / 100.0, ..*air };
    let mut high = libm::ceil(100.0 * air.relative_humidity - 1e-9) as i32 - 1;
    let mut low = 0;
    if high < low || level_at(&at(low)) > target {
        return None;
    }
    while low < high {
        let middle = low + (high - low + 1) / 2;
        if level_at(&at(middle)) <= target {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    let found = at(low);
    Some((found, level_at(&found)))
}

/// The nearest half degree, at the same moisture, at which the level is at most `target`: warmer first, cooler if
/// the heat decides.
fn other_temperature(
    air: &MoistAir,
    hottest: f64,
    target: Level,
    level_at: &dyn Fn(&MoistAir) -> Level,
) -> Option<(MoistAir, Level)> {
    if air.temperature_c > hottest {
        let cooler = air.at_temperature(hottest);
        let level = level_at(&cooler);
        return (level <= target).then_some((cooler, level));
    }
    let steps = |half: i32| air.at_temperature(f64::from(half) / 2.0);
    let mut low = libm::floor(2.0 * air.temperature_c + 1e-9) as i32 + 1;
    let mut high = libm::floor(2.0 * hottest + 1e-9) as i32;
    if low > high || level_at(&steps(high)) > target {
        return None;
    }
    while low < high {
        let middle = low + (high - low) / 2;
        if level_at(&steps(middle)) <= target {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    let found = steps(low);
    Some((found, level_at(&found)))
}

fn humidity_change(air: &MoistAir, drier: &MoistAir, level: Level) -> Change {
    let to = 100.0 * drier.relative_humidity;
    Change {
        variable: "humidity".to_owned(),
        from: Some(format!("{:.0} %", 100.0 * air.relative_humidity)),
        to: Some(format!("{to:.0} %")),
        level,
        text: format!("At {} and {to:.0} % humidity or less it becomes {}", celsius(air.temperature_c), level.word()),
    }
}

fn temperature_change(air: &MoistAir, other: &MoistAir, level: Level) -> Change {
    let way = if other.temperature_c > air.temperature_c { "Warmed" } else { "Cooled" };
    Change {
        variable: "temperature".to_owned(),
        from: Some(celsius(air.temperature_c)),
        to: Some(celsius(other.temperature_c)),
        level,
        text: format!(
            "{way} to {} with the same moisture in the air (then {:.0} %) it becomes {}",
            celsius(other.temperature_c),
            100.0 * other.relative_humidity,
            level.word()
        ),
    }
}

/// Why no humidity reaches a level: the temperature stands against it.
fn no_humidity(air: &MoistAir, limits: &Limits, target: Level, level_at: &dyn Fn(&MoistAir) -> Level) -> Change {
    let dry = level_at(&MoistAir { relative_humidity: 0.0, ..*air });
    let reason = if air.temperature_c < limits.cold_c {
        format!("it is below {}", celsius(limits.cold_c))
    } else if air.temperature_c > limits.hot_c {
        format!("it is above {}", celsius(limits.hot_c))
    } else {
        "something else than the moisture stands against it".to_owned()
    };
    Change {
        variable: "humidity".to_owned(),
        from: Some(format!("{:.0} %", 100.0 * air.relative_humidity)),
        to: None,
        level: dry,
        text: format!("No humidity makes it {} at {}: {reason}", target.word(), celsius(air.temperature_c)),
    }
}

fn celsius(value: f64) -> String {
    format!("{} °C", crate::quantity::number((value * 10.0).round() / 10.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use crate::conditions::level;

    /// The temperatures that are offered in an air, with a can whose label stops at 24 °C: to, level.
    fn offered(temperature_c: f64) -> Vec<(String, Level)> {
        let catalog = Catalog::builtin();
        let label = Label { max_temperature_c: Some(24.0), ..Label::default() };
        let air = MoistAir { temperature_c, relative_humidity: 0.4, pressure_pa: 101_325.0 };
        let level_at = |other: &MoistAir| level(other, &label, None, &catalog.rules);
        let changes = condition_changes(&air, &label, &catalog.rules, &level_at);
        let to = |change: Change| (change.variable == "temperature").then(|| change.to.map(|to| (to, change.level)));
        changes.into_iter().filter_map(to).flatten().collect()
    }

    #[test]
    fn a_label_that_stops_early_leaves_the_temperatures_below() {
        assert_eq!(offered(27.0), [("24 °C".to_owned(), Level::Go)]);
        assert_eq!(offered(16.0), [("18 °C".to_owned(), Level::Go)]);
        assert_eq!(offered(14.0), [("15 °C".to_owned(), Level::Care), ("18 °C".to_owned(), Level::Go)]);
    }
}
