//! The air that is planned with, and what of it is only assumed.

use crate::catalog::Rules;
use crate::finding::{Finding, Level};
use crate::input::RoomInput;
use crate::vapour::MoistAir;

/// The air at the bench, with what was not stated marked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BenchAir {
    /// The air.
    pub air: MoistAir,
    /// Whether the temperature was stated.
    pub temperature_known: bool,
    /// Whether the humidity was stated.
    pub humidity_known: bool,
}

impl BenchAir {
    /// The air of a room file. An unknown humidity or temperature, or no room at all, takes the cautious value of the
    /// rules; never a better one.
    pub fn from_room(room: Option<&RoomInput>, rules: &Rules) -> Self {
        let temperature = room.and_then(|room| room.temperature_c);
        let humidity = room.and_then(|room| room.relative_humidity);
        Self {
            air: MoistAir {
                temperature_c: temperature.unwrap_or(rules.conditions.unknown_temperature_c.get()),
                relative_humidity: humidity.unwrap_or(rules.conditions.unknown_humidity.get()),
                pressure_pa: room.map_or(101_325.0, |room| room.pressure_pa),
            },
            temperature_known: temperature.is_some(),
            humidity_known: humidity.is_some(),
        }
    }

    /// The findings about what is only assumed: each at least `care`.
    pub fn assumed(&self, rules: &Rules) -> Vec<Finding> {
        let conditions = &rules.conditions;
        let mut findings = Vec::new();
        if !self.temperature_known {
            let value = conditions.unknown_temperature_c.get();
            findings.push(
                Finding::on(
                    "temperature-unknown",
                    Level::Care,
                    format!("The temperature at the bench is not known: {value:.0} °C is assumed"),
                    &conditions.unknown_temperature_c.grounds,
                )
                .remedy("Hang a thermometer at the bench and put `temperature` into the room file"),
            );
        }
        if !self.humidity_known {
            let value = 100.0 * conditions.unknown_humidity.get();
            findings.push(
                Finding::on(
                    "humidity-unknown",
                    Level::Care,
                    format!("The humidity at the bench is not known: {value:.0} % is assumed"),
                    &conditions.unknown_humidity.grounds,
                )
                .remedy("Put a hygrometer at the bench and write `humidity` into the room file"),
            );
        }
        findings
    }
}
