//! Rooms, limits, masks, mist.

use super::{Key, KeyKind, QuantityEntry, number, within};
use crate::air::{self, ConstantSource};
use crate::diagnostic::{Problem, nearest};
use crate::verify::Values;

/// A key that holds a list.
const fn list(name: &'static str) -> Key {
    Key { name, kind: KeyKind::List }
}

pub(super) const ENTRIES: &[QuantityEntry] = &[
    QuantityEntry {
        name: "purge_time",
        unit: "min",
        keys: &[number("ach"), number("removal"), number("mixing_factor")],
        required: &[&["ach"], &["removal"], &["mixing_factor"]],
        compute: |values, _| {
            Ok(air::purge_time_min(
                within("ach", values.number("ach"), 1e-3, 10_000.0)?,
                within("removal", values.number("removal"), 0.0, 0.999_999)?,
                within("mixing_factor", values.number("mixing_factor"), 1.0, 100.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "room_fraction_constant_source",
        unit: "1",
        keys: &[number("source_m3_h"), number("v_m3"), number("ach"), number("t_min")],
        required: &[&["source_m3_h"], &["v_m3"], &["ach"], &["t_min"]],
        compute: |values, _| {
            Ok(air::room_fraction_constant_source(
                within("source_m3_h", values.number("source_m3_h"), 0.0, 1e6)?,
                within("v_m3", values.number("v_m3"), 1e-3, 1e6)?,
                within("ach", values.number("ach"), 1e-6, 10_000.0)?,
                within("t_min", values.number("t_min"), 0.0, 1e6)?,
            ))
        },
    },
    QuantityEntry {
        name: "room_concentration_decaying_source",
        unit: "mg/m3",
        keys: &[number("m0_mg"), number("k_per_h"), number("n_per_h"), number("v_m3"), number("t_h")],
        required: &[&["m0_mg"], &["k_per_h"], &["n_per_h"], &["v_m3"], &["t_h"]],
        compute: |values, _| {
            Ok(air::room_concentration_decaying_source_mg_m3(
                within("m0_mg", values.number("m0_mg"), 0.0, 1e9)?,
                within("k_per_h", values.number("k_per_h"), 1e-6, 1e5)?,
                within("n_per_h", values.number("n_per_h"), 0.0, 10_000.0)?,
                within("v_m3", values.number("v_m3"), 1e-3, 1e6)?,
                within("t_h", values.number("t_h"), 0.0, 10_000.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "two_zone_near_field",
        unit: "mg/m3",
        keys: &[
            number("g_mg_min"),
            number("q_m3_min"),
            number("beta_m3_min"),
            number("v_nf_m3"),
            number("v_ff_m3"),
            number("t_min"),
        ],
        required: &[&["g_mg_min"], &["q_m3_min"], &["beta_m3_min"], &["v_nf_m3"], &["v_ff_m3"], &["t_min"]],
        compute: |values, _| {
            Ok(air::two_zone_near_field_mg_m3(&source(values)?, within("t_min", values.number("t_min"), 0.0, 1e6)?))
        },
    },
    QuantityEntry {
        name: "two_zone_far_field",
        unit: "mg/m3",
        keys: &[
            number("g_mg_min"),
            number("q_m3_min"),
            number("beta_m3_min"),
            number("v_nf_m3"),
            number("v_ff_m3"),
            number("t_min"),
        ],
        required: &[&["g_mg_min"], &["q_m3_min"], &["beta_m3_min"], &["v_nf_m3"], &["v_ff_m3"], &["t_min"]],
        compute: |values, _| {
            Ok(air::two_zone_far_field_mg_m3(&source(values)?, within("t_min", values.number("t_min"), 0.0, 1e6)?))
        },
    },
    QuantityEntry {
        name: "twa_8h",
        unit: "ppm",
        keys: &[list("c_ppm"), list("t_h")],
        required: &[&["c_ppm"], &["t_h"]],
        compute: |values, _| Ok(air::twa_8h_ppm(&pairs(values, ("c_ppm", 0.0), ("t_h", 0.0))?)),
    },
    QuantityEntry {
        name: "mixture_index",
        unit: "1",
        keys: &[list("c_ppm"), list("limit_ppm")],
        required: &[&["c_ppm"], &["limit_ppm"]],
        compute: |values, _| Ok(air::mixture_index(&pairs(values, ("c_ppm", 0.0), ("limit_ppm", 1e-9))?)),
    },
    QuantityEntry {
        name: "dilution_flow",
        unit: "m3/h",
        keys: &[number("g_h"), number("mw"), number("limit_ppm"), number("mixing_factor"), number("t_c")],
        required: &[&["g_h"], &["mw"], &["limit_ppm"], &["mixing_factor"], &["t_c"]],
        compute: |values, _| {
            Ok(air::dilution_flow_m3_h(
                within("g_h", values.number("g_h"), 0.0, 1e9)?,
                within("mw", values.number("mw"), 1.0, 1000.0)?,
                within("limit_ppm", values.number("limit_ppm"), 1e-6, 1e6)?,
                within("mixing_factor", values.number("mixing_factor"), 1.0, 100.0)?,
                within("t_c", values.number("t_c"), -40.0, 60.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "ppm_to_mg_m3",
        unit: "mg/m3",
        keys: &[number("mw"), number("ppm"), number("t_c"), number("p_atm")],
        required: &[&["mw"], &["ppm"], &["t_c"], &["p_atm"]],
        compute: |values, _| {
            Ok(air::ppm_to_mg_m3(
                within("mw", values.number("mw"), 1.0, 1000.0)?,
                within("ppm", values.number("ppm"), 0.0, 1e6)?,
                within("t_c", values.number("t_c"), -40.0, 100.0)?,
                within("p_atm", values.number("p_atm"), 0.1, 10.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "saturation_ppm",
        unit: "ppm",
        keys: &[number("vp_kpa"), number("p_kpa")],
        required: &[&["vp_kpa"], &["p_kpa"]],
        compute: |values, _| {
            Ok(air::saturation_ppm(
                within("vp_kpa", values.number("vp_kpa"), 0.0, 1e4)?,
                within("p_kpa", values.number("p_kpa"), 1.0, 1e4)?,
            ))
        },
    },
    QuantityEntry {
        name: "ten_percent_lel_ppm",
        unit: "ppm",
        keys: &[number("lel_volpct")],
        required: &[&["lel_volpct"]],
        compute: |values, _| {
            Ok(air::ten_percent_lel_ppm(within("lel_volpct", values.number("lel_volpct"), 0.0, 100.0)?))
        },
    },
    QuantityEntry {
        name: "le_chatelier_limit",
        unit: "vol%",
        keys: &[list("fractions"), list("limits_volpct")],
        required: &[&["fractions"], &["limits_volpct"]],
        compute: |values, _| {
            Ok(air::le_chatelier_limit_vol_pct(&pairs(values, ("fractions", 0.0), ("limits_volpct", 1e-9))?))
        },
    },
    QuantityEntry {
        name: "assigned_protection_factor",
        unit: "1",
        keys: &[Key { name: "respirator", kind: KeyKind::Word }],
        required: &[&["respirator"]],
        compute: |values, _| respirator(values.word("respirator")),
    },
    QuantityEntry {
        name: "max_use_concentration",
        unit: "ppm",
        keys: &[number("apf"), number("limit_ppm"), number("idlh_ppm")],
        required: &[&["apf"], &["limit_ppm"], &["idlh_ppm"]],
        compute: |values, _| {
            Ok(air::max_use_concentration_ppm(
                within("apf", values.number("apf"), 1.0, 100_000.0)?,
                within("limit_ppm", values.number("limit_ppm"), 0.0, 1e6)?,
                within("idlh_ppm", values.number("idlh_ppm"), 0.0, 1e6)?,
            ))
        },
    },
    QuantityEntry {
        name: "cartridge_life",
        unit: "h",
        keys: &[number("base_h"), number("base_ppm"), number("ppm"), number("rh_pct")],
        required: &[&["base_h"], &["base_ppm"], &["ppm"], &["rh_pct"]],
        compute: |values, _| {
            Ok(air::cartridge_life_h(
                within("base_h", values.number("base_h"), 0.0, 1000.0)?,
                within("base_ppm", values.number("base_ppm"), 1e-6, 1e6)?,
                within("ppm", values.number("ppm"), 1e-6, 1e6)?,
                within("rh_pct", values.number("rh_pct"), 0.0, 100.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "slip_correction",
        unit: "1",
        keys: &[number("d_um"), number("mean_free_path_um")],
        required: &[&["d_um"], &["mean_free_path_um"]],
        compute: |values, _| {
            Ok(air::slip_correction(
                within("d_um", values.number("d_um"), 1e-4, 1e4)?,
                within("mean_free_path_um", values.number("mean_free_path_um"), 1e-6, 1e3)?,
            ))
        },
    },
    QuantityEntry {
        name: "settling_velocity",
        unit: "cm/s",
        keys: &[number("d_um"), number("rho_kg_m3"), number("t_c")],
        required: &[&["d_um"], &["rho_kg_m3"], &["t_c"]],
        compute: |values, _| {
            Ok(air::settling_velocity_cm_s(
                within("d_um", values.number("d_um"), 1e-3, 100.0)?,
                within("rho_kg_m3", values.number("rho_kg_m3"), 1.0, 30_000.0)?,
                within("t_c", values.number("t_c"), -40.0, 60.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "window_flow_single_sided",
        unit: "m3/s",
        keys: &[number("a_m2"), number("u10"), number("h_m"), number("dt_k")],
        required: &[&["a_m2"], &["u10"], &["h_m"], &["dt_k"]],
        compute: |values, _| {
            Ok(air::window_flow_single_sided_m3_s(
                within("a_m2", values.number("a_m2"), 0.0, 100.0)?,
                within("u10", values.number("u10"), 0.0, 60.0)?,
                within("h_m", values.number("h_m"), 0.0, 20.0)?,
                within("dt_k", values.number("dt_k"), -100.0, 100.0)?,
            ))
        },
    },
    QuantityEntry {
        name: "molar_volume",
        unit: "L/mol",
        keys: &[number("t_c"), number("p_pa")],
        required: &[&["t_c"]],
        compute: |values, _| {
            let pressure_pa = within("p_pa", values.optional("p_pa").unwrap_or(101_325.0), 50_000.0, 110_000.0)?;
            Ok(air::molar_volume_m3(within("t_c", values.number("t_c"), -40.0, 60.0)?, pressure_pa) * 1000.0)
        },
    },
];

fn source(values: &Values) -> Result<ConstantSource, Box<Problem>> {
    let positive = |key: &str| within(key, values.number(key), 1e-9, 1e9);
    Ok(ConstantSource {
        release_mg_min: within("g_mg_min", values.number("g_mg_min"), 0.0, 1e12)?,
        flow_m3_min: positive("q_m3_min")?,
        exchange_m3_min: positive("beta_m3_min")?,
        near_m3: positive("v_nf_m3")?,
        far_m3: positive("v_ff_m3")?,
    })
}

fn respirator(id: &str) -> Result<f64, Box<Problem>> {
    air::assigned_protection_factor(id).ok_or_else(|| {
        let problem = Problem::new("unknown-word", format!("unknown respirator `{id}`"));
        Box::new(match nearest(id, air::RespiratorKind::ids()) {
            Some(near) => problem.with_hint(format!("did you mean `{near}`?")),
            None => problem.with_hint("half a face is `half-apr`, a whole one `full-apr`"),
        })
    })
}

/// Two lists as pairs, each value at least its minimum.
fn pairs(values: &Values, first: (&str, f64), second: (&str, f64)) -> Result<Vec<(f64, f64)>, Box<Problem>> {
    let (left, right) = (values.list(first.0), values.list(second.0));
    if left.len() != right.len() {
        let message = format!("`{}` has {} values and `{}` has {}", first.0, left.len(), second.0, right.len());
        return Err(Box::new(Problem::new("unequal-lists", message).with_hint("give one for each")));
    }
    let pair = |(left, right): (&f64, &f64)| {
        Ok((within(first.0, *left, first.1, 1e9)?, within(second.0, *right, second.1, 1e9)?))
    };
    left.iter().zip(right).map(pair).collect()
}
