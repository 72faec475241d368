//! What temperature, humidity and the film's own cold are warned of.

use coatbell::conditions::{BenchAir, BlushIndex, review};
use coatbell::finding::{Finding, Level};
use coatbell::input::LabelInput;
use coatbell::vapour::MoistAir;

use super::{Warning, seen_and_missed};
use crate::support::{CATALOG, room};

fn in_air(temperature_c: f64, relative_humidity: f64, label: &LabelInput) -> Vec<Finding> {
    let air = MoistAir { temperature_c, relative_humidity, pressure_pa: 101_325.0 };
    review(&air, label, None, &CATALOG.rules)
}

fn plain(temperature_c: f64, relative_humidity: f64) -> Vec<Finding> {
    in_air(temperature_c, relative_humidity, &LabelInput::default())
}

fn label() -> LabelInput {
    LabelInput {
        min_temperature_c: Some(19.0),
        max_temperature_c: Some(25.0),
        max_humidity: Some(0.55),
        ..LabelInput::default()
    }
}

fn blush(reference: f64) -> Vec<Finding> {
    let air = MoistAir { temperature_c: 21.0, relative_humidity: 0.5, pressure_pa: 101_325.0 };
    let index = BlushIndex { planned: 0.0, reference };
    review(&air, &LabelInput::default(), Some(index), &CATALOG.rules)
}

fn assumed(keys: &str) -> Vec<Finding> {
    BenchAir::from_room(Some(&room(keys)), &CATALOG.rules).assumed(&CATALOG.rules)
}

pub(super) const WARNINGS: [Warning; 16] = [
    // 3 K over the dew point (ISO 8502-4) are reached at 82 % in a room of 20 °C, 5 K at 72 %: by the Magnus formula.
    Warning {
        code: "dew-margin",
        level: Level::Hold,
        called_for: || plain(20.0, 0.84),
        not_called_for: Some(|| plain(20.0, 0.71)),
    },
    Warning {
        code: "dew-margin",
        level: Level::Care,
        called_for: || plain(20.0, 0.75),
        not_called_for: Some(|| plain(20.0, 0.71)),
    },
    Warning {
        code: "humidity-high",
        level: Level::Care,
        called_for: || plain(21.0, 0.66),
        not_called_for: Some(|| plain(21.0, 0.65)),
    },
    Warning {
        code: "humidity-high",
        level: Level::Hold,
        called_for: || plain(21.0, 0.76),
        not_called_for: Some(|| plain(21.0, 0.50)),
    },
    Warning {
        code: "humidity-over-label",
        level: Level::Hold,
        called_for: || in_air(21.0, 0.56, &label()),
        not_called_for: Some(|| in_air(21.0, 0.55, &label())),
    },
    Warning {
        code: "temperature-outside-label",
        level: Level::Hold,
        called_for: || in_air(18.9, 0.5, &label()),
        not_called_for: Some(|| in_air(19.0, 0.5, &label())),
    },
    Warning {
        code: "temperature-outside-label",
        level: Level::Hold,
        called_for: || in_air(25.1, 0.5, &label()),
        not_called_for: Some(|| in_air(25.0, 0.5, &label())),
    },
    Warning {
        code: "temperature-limit",
        level: Level::Care,
        called_for: || plain(17.9, 0.5),
        not_called_for: Some(|| plain(18.0, 0.5)),
    },
    Warning {
        code: "temperature-limit",
        level: Level::Hold,
        called_for: || plain(14.9, 0.5),
        not_called_for: Some(|| plain(18.0, 0.5)),
    },
    Warning {
        code: "temperature-limit",
        level: Level::Care,
        called_for: || plain(30.1, 0.5),
        not_called_for: Some(|| plain(30.0, 0.5)),
    },
    Warning {
        code: "temperature-limit",
        level: Level::Hold,
        called_for: || plain(35.1, 0.4),
        not_called_for: Some(|| plain(30.0, 0.4)),
    },
    Warning { code: "blush", level: Level::Hold, called_for: || blush(0.061), not_called_for: Some(|| blush(0.0)) },
    Warning { code: "blush", level: Level::Care, called_for: || blush(0.031), not_called_for: Some(|| blush(0.015)) },
    Warning { code: "blush", level: Level::Note, called_for: || blush(0.016), not_called_for: Some(|| blush(0.015)) },
    Warning {
        code: "temperature-unknown",
        level: Level::Care,
        called_for: || assumed("airflow = \"outdoors\"\nhumidity = \"50 %\"\n"),
        not_called_for: Some(|| assumed("airflow = \"outdoors\"\ntemperature = \"20 C\"\nhumidity = \"50 %\"\n")),
    },
    Warning {
        code: "humidity-unknown",
        level: Level::Care,
        called_for: || assumed("airflow = \"outdoors\"\ntemperature = \"20 C\"\n"),
        not_called_for: Some(|| assumed("airflow = \"outdoors\"\ntemperature = \"20 C\"\nhumidity = \"50 %\"\n")),
    },
];

#[test]
fn what_the_air_at_the_bench_is_too_much_for() {
    seen_and_missed(&WARNINGS);
}
