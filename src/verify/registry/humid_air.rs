//! Humid air.

use super::{Key, QuantityEntry, number, within};
use crate::diagnostic::Problem;
use crate::vapour::{self, MoistAir};
use crate::verify::Values;

const AIR_KEYS: &[Key] = &[number("t_c"), number("rh_pct"), number("p_pa")];
const AIR_REQUIRED: &[&[&str]] = &[&["t_c"], &["rh_pct"]];

pub(super) const ENTRIES: &[QuantityEntry] = &[
    QuantityEntry {
        name: "dew_point",
        unit: "degC",
        keys: AIR_KEYS,
        required: AIR_REQUIRED,
        compute: |values, _| Ok(air(values)?.dew_point_c()),
    },
    QuantityEntry {
        name: "wet_bulb",
        unit: "degC",
        keys: AIR_KEYS,
        required: AIR_REQUIRED,
        compute: |values, _| Ok(vapour::wet_bulb_c(&air(values)?)),
    },
    QuantityEntry {
        name: "humidity_ratio",
        unit: "kg/kg",
        keys: AIR_KEYS,
        required: AIR_REQUIRED,
        compute: |values, _| Ok(vapour::humidity_ratio(&air(values)?)),
    },
    QuantityEntry {
        name: "saturation_pressure",
        unit: "kPa",
        keys: &[number("t_c")],
        required: &[&["t_c"]],
        compute: |values, _| {
            Ok(vapour::saturation_pressure_pa(within("t_c", values.number("t_c"), -40.0, 60.0)?) / 1000.0)
        },
    },
    QuantityEntry {
        name: "saturation_pressure_over_liquid",
        unit: "kPa",
        keys: &[number("t_c")],
        required: &[&["t_c"]],
        compute: |values, _| {
            Ok(vapour::saturation_over_liquid_pa(within("t_c", values.number("t_c"), -40.0, 60.0)?) / 1000.0)
        },
    },
    QuantityEntry {
        name: "relative_humidity_at",
        unit: "%",
        keys: &[number("t_c"), number("rh_pct"), number("to_c")],
        required: &[&["t_c"], &["rh_pct"], &["to_c"]],
        compute: |values, _| {
            let elsewhere_c = within("to_c", values.number("to_c"), -40.0, 60.0)?;
            Ok(air(values)?.at_temperature(elsewhere_c).relative_humidity * 100.0)
        },
    },
];

fn air(values: &Values) -> Result<MoistAir, Box<Problem>> {
    Ok(MoistAir {
        temperature_c: within("t_c", values.number("t_c"), -40.0, 60.0)?,
        relative_humidity: within("rh_pct", values.number("rh_pct"), 0.0, 100.0)? / 100.0,
        pressure_pa: within("p_pa", values.optional("p_pa").unwrap_or(101_325.0), 50_000.0, 110_000.0)?,
    })
}
