//! The can, the pass, the film by volume, the pores of a paper.

use super::{Key, KeyKind, QuantityEntry, number, substance, within};
use crate::catalog::{Catalog, Substance};
use crate::diagnostic::Problem;
use crate::spray::{self, FractionKind};
use crate::verify::Values;

pub(super) const ENTRIES: &[QuantityEntry] = &[
    QuantityEntry {
        name: "can_gauge_pressure",
        unit: "kPa",
        keys: &[
            Key { name: "mass_fractions", kind: KeyKind::Shares },
            Key { name: "mole_fractions", kind: KeyKind::Shares },
            number("t_c"),
        ],
        required: &[&["mass_fractions", "mole_fractions"], &["t_c"]],
        compute: can_pressure,
    },
    QuantityEntry {
        name: "wet_film_thickness",
        unit: "um",
        keys: &[number("dry_um"), number("volume_solids")],
        required: &[&["dry_um"], &["volume_solids"]],
        compute: |values, _| {
            Ok(spray::wet_film_thickness_um(
                within("dry_um", values.number("dry_um"), 0.0, 1e6)?,
                within("volume_solids", values.number("volume_solids"), 1e-6, 1.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "dry_film_thickness",
        unit: "um",
        keys: &[number("wet_um"), number("volume_solids")],
        required: &[&["wet_um"], &["volume_solids"]],
        compute: |values, _| {
            Ok(spray::dry_film_thickness_um(
                within("wet_um", values.number("wet_um"), 0.0, 1e6)?,
                within("volume_solids", values.number("volume_solids"), 1e-6, 1.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "volume_solids",
        unit: "1",
        keys: &[number("wet_um"), number("dry_um")],
        required: &[&["wet_um"], &["dry_um"]],
        compute: |values, _| {
            Ok(spray::volume_solids(
                within("wet_um", values.number("wet_um"), 1e-6, 1e6)?,
                within("dry_um", values.number("dry_um"), 0.0, 1e6)?,
            ))
        },
    },
    QuantityEntry {
        name: "coverage",
        unit: "m2/L",
        keys: &[number("dry_um"), number("volume_solids"), number("loss")],
        required: &[&["dry_um"], &["volume_solids"], &["loss"]],
        compute: |values, _| {
            Ok(spray::coverage_m2_l(
                within("dry_um", values.number("dry_um"), 1e-6, 1e6)?,
                within("volume_solids", values.number("volume_solids"), 1e-6, 1.0)?,
                within("loss", values.number("loss"), 0.0, 1.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "raster_variation",
        unit: "1",
        keys: &[number("spacing_over_sigma")],
        required: &[&["spacing_over_sigma"]],
        compute: |values, _| {
            Ok(spray::raster_variation(within("spacing_over_sigma", values.number("spacing_over_sigma"), 0.05, 20.0)?))
        },
    },
    QuantityEntry {
        name: "strip_fraction",
        unit: "1",
        keys: &[number("half_width_over_sigma")],
        required: &[&["half_width_over_sigma"]],
        compute: |values, _| {
            Ok(spray::strip_fraction(within(
                "half_width_over_sigma",
                values.number("half_width_over_sigma"),
                0.0,
                100.0,
            )?))
        },
    },
    QuantityEntry {
        name: "paper_apparent_density",
        unit: "g/cm3",
        keys: &[number("grammage_g_m2"), number("caliper_um")],
        required: &[&["grammage_g_m2"], &["caliper_um"]],
        compute: |values, _| {
            Ok(spray::paper_apparent_density_g_cm3(
                within("grammage_g_m2", values.number("grammage_g_m2"), 1.0, 5000.0)?,
                within("caliper_um", values.number("caliper_um"), 1.0, 10_000.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "paper_void_fraction",
        unit: "1",
        keys: &[number("apparent_density_g_cm3"), number("fibre_density_g_cm3")],
        required: &[&["apparent_density_g_cm3"], &["fibre_density_g_cm3"]],
        compute: |values, _| {
            Ok(spray::paper_void_fraction(
                within("apparent_density_g_cm3", values.number("apparent_density_g_cm3"), 0.0, 10.0)?,
                within("fibre_density_g_cm3", values.number("fibre_density_g_cm3"), 0.1, 10.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "raster_peak",
        unit: "1",
        keys: &[number("spacing_over_sigma")],
        required: &[&["spacing_over_sigma"]],
        compute: |values, _| {
            Ok(spray::peak_factor(within("spacing_over_sigma", values.number("spacing_over_sigma"), 0.05, 8.0)?))
        },
    },
    QuantityEntry {
        name: "edge_share",
        unit: "1",
        keys: &[number("outside_over_sigma"), number("spacing_over_sigma")],
        required: &[&["outside_over_sigma"], &["spacing_over_sigma"]],
        compute: |values, _| {
            Ok(spray::edge_share(
                within("outside_over_sigma", values.number("outside_over_sigma"), -20.0, 20.0)?,
                within("spacing_over_sigma", values.number("spacing_over_sigma"), 0.05, 20.0)?,
            ))
        },
    },
];

fn can_pressure(values: &Values, catalog: &Catalog) -> Result<f64, Box<Problem>> {
    let temperature_c = within("t_c", values.number("t_c"), -15.0, 60.0)?;
    let (shares, kind) = match (values.shares("mass_fractions"), values.shares("mole_fractions")) {
        (Some(shares), None) => (shares, FractionKind::Mass),
        (None, Some(shares)) => (shares, FractionKind::Mole),
        _ => {
            let problem = Problem::new("duplicate-key", "has both `mass_fractions` and `mole_fractions`");
            return Err(Box::new(problem.with_hint("keep one of the two")));
        }
    };
    let parts: Vec<(&Substance, f64)> = shares
        .iter()
        .map(|(name, share)| Ok((substance(catalog, name)?, within(name, *share, 0.0, 1.0)?)))
        .collect::<Result<_, Box<Problem>>>()?;
    within("the sum of the fractions", parts.iter().map(|(_, share)| share).sum(), 0.98, 1.02)?;
    Ok(spray::can_gauge_pressure_kpa(&parts, kind, temperature_c))
}
