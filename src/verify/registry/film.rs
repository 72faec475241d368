//! The drying film.

use super::{QuantityEntry, number, within};
use crate::film;

pub(super) const ENTRIES: &[QuantityEntry] = &[QuantityEntry {
    name: "solvent_fraction_at_tg_margin",
    unit: "1",
    keys: &[number("t_k"), number("tg_resin_k"), number("tg_solvent_k"), number("margin_k")],
    required: &[&["t_k"], &["tg_resin_k"], &["tg_solvent_k"], &["margin_k"]],
    compute: |values, _| {
        Ok(film::solvent_fraction_at_tg_margin(
            within("t_k", values.number("t_k"), 200.0, 400.0)?,
            within("tg_resin_k", values.number("tg_resin_k"), 200.0, 500.0)?,
            within("tg_solvent_k", values.number("tg_solvent_k"), 50.0, 300.0)?,
            within("margin_k", values.number("margin_k"), -200.0, 200.0)?,
        ))
    },
}];
