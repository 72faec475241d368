//! Figures of the catalog as the models read them.

use super::{Key, KeyKind, QuantityEntry, substance};
use crate::catalog::{Catalog, Substance};
use crate::diagnostic::Problem;
use crate::verify::Values;

const KEYS: &[Key] = &[Key { name: "substance", kind: KeyKind::Word }];
const REQUIRED: &[&[&str]] = &[&["substance"]];

/// A figure every substance has.
fn named<'c>(values: &Values, catalog: &'c Catalog) -> Result<&'c Substance, Box<Problem>> {
    substance(catalog, values.word("substance"))
}

/// A figure that a substance may lack.
fn known(what: &str, substance: &Substance, figure: Option<f64>) -> Result<f64, Box<Problem>> {
    figure.ok_or_else(|| {
        let problem = Problem::new("no-figure", format!("{} has no {what} in the catalog", substance.name));
        Box::new(problem.with_hint("leave the row out"))
    })
}

pub(super) const ENTRIES: &[QuantityEntry] = &[
    QuantityEntry {
        name: "molar_mass",
        unit: "g/mol",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| Ok(named(values, catalog)?.molar_mass_g_mol),
    },
    QuantityEntry {
        name: "boiling_point",
        unit: "degC",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| Ok(named(values, catalog)?.boiling_point_c),
    },
    QuantityEntry {
        name: "liquid_density",
        unit: "kg/m3",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| Ok(named(values, catalog)?.density_kg_m3),
    },
    QuantityEntry {
        name: "heat_of_vaporisation",
        unit: "kJ/mol",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| Ok(named(values, catalog)?.heat_of_vaporisation_kj_mol),
    },
    QuantityEntry {
        name: "surface_tension",
        unit: "mN/m",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| Ok(named(values, catalog)?.surface_tension_mn_m),
    },
    QuantityEntry {
        name: "diffusivity_in_air",
        unit: "cm2/s",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| Ok(named(values, catalog)?.diffusivity_m2_s * 1e4),
    },
    QuantityEntry {
        name: "flash_point",
        unit: "degC",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| {
            let substance = named(values, catalog)?;
            known("flash point", substance, substance.flash_point_c)
        },
    },
    QuantityEntry {
        name: "lower_explosive_limit",
        unit: "vol%",
        keys: KEYS,
        required: REQUIRED,
        compute: |values, catalog| {
            let substance = named(values, catalog)?;
            known("explosive limit", substance, substance.lowest_lel_vol_pct)
        },
    },
];
