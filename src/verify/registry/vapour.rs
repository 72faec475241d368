//! Vapour pressure, evaporation and mass transfer.

use super::{Key, KeyKind, QuantityEntry, number, substance, within};
use crate::vapour;

/// n-Butyl acetate, by definition the solvent of rate 1.
const REFERENCE_SOLVENT: &str = "n-butyl-acetate";

pub(super) const ENTRIES: &[QuantityEntry] = &[
    QuantityEntry {
        name: "vapour_pressure",
        unit: "kPa",
        keys: &[Key { name: "substance", kind: KeyKind::Word }, number("t_c")],
        required: &[&["substance"], &["t_c"]],
        compute: |values, catalog| {
            let substance = substance(catalog, values.word("substance"))?;
            let temperature_c = within("t_c", values.number("t_c"), -40.0, 60.0)?;
            Ok(vapour::vapour_pressure_kpa(substance, temperature_c))
        },
    },
    QuantityEntry {
        name: "relative_evaporation_rate",
        unit: "1",
        keys: &[Key { name: "solvent", kind: KeyKind::Word }, number("t_c"), number("rh_pct")],
        required: &[&["solvent"], &["t_c"]],
        compute: |values, catalog| {
            let solvent = substance(catalog, values.word("solvent"))?;
            let reference = substance(catalog, REFERENCE_SOLVENT)?;
            let temperature_c = within("t_c", values.number("t_c"), -5.0, 60.0)?;
            let humidity = within("rh_pct", values.optional("rh_pct").unwrap_or(0.0), 0.0, 100.0)? / 100.0;
            let radiation = catalog.model.film.radiation_w_m2_k.get();
            Ok(vapour::relative_evaporation_rate(solvent, reference, temperature_c, humidity, radiation))
        },
    },
    QuantityEntry {
        name: "mass_transfer_laminar_plate",
        unit: "m/s",
        keys: &[number("u_m_s"), number("length_m"), number("d_m2_s"), number("nu_m2_s")],
        required: &[&["u_m_s"], &["length_m"], &["d_m2_s"], &["nu_m2_s"]],
        compute: |values, _| {
            Ok(vapour::laminar_plate_m_s(
                within("u_m_s", values.number("u_m_s"), 0.0, 100.0)?,
                within("length_m", values.number("length_m"), 1e-4, 100.0)?,
                within("d_m2_s", values.number("d_m2_s"), 1e-9, 1e-3)?,
                within("nu_m2_s", values.number("nu_m2_s"), 1e-9, 1e-1)?,
            ))
        },
    },
    QuantityEntry {
        name: "mass_transfer_natural_convection",
        unit: "m/s",
        keys: &[number("density_excess"), number("length_m"), number("d_m2_s"), number("nu_m2_s")],
        required: &[&["density_excess"], &["length_m"], &["d_m2_s"], &["nu_m2_s"]],
        compute: |values, _| {
            Ok(vapour::natural_convection_m_s(
                within("density_excess", values.number("density_excess"), -10.0, 10.0)?,
                within("length_m", values.number("length_m"), 1e-4, 100.0)?,
                within("d_m2_s", values.number("d_m2_s"), 1e-9, 1e-3)?,
                within("nu_m2_s", values.number("nu_m2_s"), 1e-9, 1e-1)?,
            ))
        },
    },
    QuantityEntry {
        name: "lewis_heat",
        unit: "W/m2K",
        keys: &[number("gas_film_m_s"), number("t_c"), number("p_pa")],
        required: &[&["gas_film_m_s"], &["t_c"]],
        compute: |values, _| {
            Ok(vapour::lewis_heat_w_m2_k(
                within("gas_film_m_s", values.number("gas_film_m_s"), 0.0, 1.0)?,
                within("t_c", values.number("t_c"), -40.0, 60.0)?,
                within("p_pa", values.optional("p_pa").unwrap_or(101_325.0), 50_000.0, 110_000.0)?,
            ))
        },
    },
];
