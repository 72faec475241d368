//! Sampling: quantiles of samples and of the distributions drawn from.

use super::{Key, KeyKind, QuantityEntry, number, within};
use crate::diagnostic::Problem;
use crate::estimate::{Triple, normal_from_uniform, quantile};
use crate::verify::Values;

const TRIANGLE_KEYS: &[Key] = &[number("low"), number("mode"), number("high"), number("share")];
const TRIANGLE_REQUIRED: &[&[&str]] = &[&["low"], &["mode"], &["high"], &["share"]];

pub(super) const ENTRIES: &[QuantityEntry] = &[
    QuantityEntry {
        name: "sample_quantile",
        unit: "1",
        keys: &[Key { name: "values", kind: KeyKind::List }, number("share")],
        required: &[&["values"], &["share"]],
        compute: |values, _| {
            let mut sorted = values.list("values").to_vec();
            sorted.sort_unstable_by(f64::total_cmp);
            Ok(quantile(&sorted, share(values)?))
        },
    },
    QuantityEntry {
        name: "triangle_quantile",
        unit: "1",
        keys: TRIANGLE_KEYS,
        required: TRIANGLE_REQUIRED,
        compute: |values, _| Ok(triple(values, -1e9)?.at(share(values)?)),
    },
    QuantityEntry {
        name: "log_triangle_quantile",
        unit: "1",
        keys: TRIANGLE_KEYS,
        required: TRIANGLE_REQUIRED,
        compute: |values, _| Ok(triple(values, 1e-30)?.log_at(share(values)?)),
    },
    QuantityEntry {
        name: "normal_quantile",
        unit: "1",
        keys: &[number("share")],
        required: &[&["share"]],
        compute: |values, _| Ok(normal_from_uniform(share(values)?)),
    },
];

fn share(values: &Values) -> Result<f64, Box<Problem>> {
    within("share", values.number("share"), 0.0, 1.0)
}

fn triple(values: &Values, least: f64) -> Result<Triple, Box<Problem>> {
    let corner = |key: &str| within(key, values.number(key), least, 1e9);
    Triple::new(corner("low")?, corner("mode")?, corner("high")?).ok_or_else(|| {
        let problem = Problem::new("not-in-order", "`low`, `mode` and `high` are not in order");
        Box::new(problem.with_hint("give them from the lowest to the highest"))
    })
}
