//! Substances: vapour pressures, explosive limits and exposure limits that agree with each other.

use crate::catalog::{Catalog, Substance};

/// Most that the Antoine pressure may differ from the stated one at 25 °C, as a share.
const PRESSURE_TOLERANCE: f64 = 0.03;

/// Kilopascals in a millimetre of mercury.
const KPA_PER_MMHG: f64 = 0.133_322_4;

pub(super) fn check(catalog: &Catalog, wrong: &mut Vec<String>) {
    for (id, substance) in &catalog.substances {
        wrong.extend(self::substance(substance).into_iter().map(|what| format!("substance {id}: {what}")));
    }
}

/// What contradicts itself in a substance.
pub(in crate::catalog) fn substance(substance: &Substance) -> Vec<String> {
    let mut wrong = Vec::new();
    pressure(substance, &mut wrong);
    explosion(substance, &mut wrong);
    limits(substance, &mut wrong);
    wrong
}

/// P = 10^(A − B/(T + C)) mmHg with T in °C (Antoine 1888), at 25 °C against the stated pressure.
fn pressure(substance: &Substance, wrong: &mut Vec<String>) {
    let Some([a, b, c]) = substance.antoine else { return };
    let computed_kpa = KPA_PER_MMHG * libm::pow(10.0, a - b / (25.0 + c));
    let stated_kpa = substance.vapour_pressure_25c_kpa;
    if (computed_kpa / stated_kpa - 1.0).abs() > PRESSURE_TOLERANCE {
        wrong.push(format!("its Antoine coefficients give {computed_kpa:.3} kPa at 25 °C, not {stated_kpa} kPa"));
    }
}

fn explosion(substance: &Substance, wrong: &mut Vec<String>) {
    match (substance.lel_vol_pct, substance.lowest_lel_vol_pct) {
        (Some(quoted), Some(lowest)) if lowest > quoted => {
            wrong.push("the lowest explosive limit is above the quoted one".to_owned());
        }
        (None, Some(_)) => wrong.push("it has a lowest explosive limit but no quoted one".to_owned()),
        (None, None) if substance.flash_point_c.is_some() || substance.is_propellant() => {
            wrong.push("it burns but has no explosive limit".to_owned());
        }
        _ => {}
    }
    if let (Some(lower), Some(upper)) = (substance.lel_vol_pct, substance.uel_vol_pct)
        && lower >= upper
    {
        wrong.push("the explosive limits run backwards".to_owned());
    }
}

fn limits(substance: &Substance, wrong: &mut Vec<String>) {
    let limits = &substance.limits;
    let single = &substance.details.limits;
    if let Some(lowest) = limits.lowest_twa_ppm {
        for other in single.eight_hour_ppm().filter(|other| *other < lowest) {
            wrong.push(format!("an 8-hour limit of {other} ppm is below the lowest, {lowest} ppm"));
        }
        if limits.source.trim().is_empty() {
            wrong.push("nobody is named for its limit".to_owned());
        }
    }
    if let Some(lowest) = limits.lowest_short_term_ppm {
        for other in single.short_term_ppm().filter(|other| *other < lowest) {
            wrong.push(format!("a short-term limit of {other} ppm is below the lowest, {lowest} ppm"));
        }
        if limits.lowest_twa_ppm.is_some_and(|twa| twa > lowest) {
            wrong.push("the short-term limit is below the 8-hour one".to_owned());
        }
    }
    if let (Some(idlh), Some(twa)) = (limits.idlh_ppm, limits.lowest_twa_ppm)
        && idlh <= twa
    {
        wrong.push("it is dangerous at once at its 8-hour limit".to_owned());
    }
}
