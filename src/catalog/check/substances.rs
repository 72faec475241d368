//! Substances: vapour pressures, explosive limits and exposure limits that agree with each other.

use crate::catalog::{Catalog, Substance};

/// Most that the Antoine pressure may differ from the stated one at 25 °C, as a share.
const PRESSURE_TOLERANCE: f64 = 0.03;

/// Kilopascals in a millimetre of mercury.
const KPA_PER_MMHG: f64 = 0.133_322_4;

pub(super) fn check(catalog: &Catalog, wrong: &mut Vec<String>) {
    for (id, substance) in &catalog.substances {
        pressure(id, substance, wrong);
        explosion(id, substance, wrong);
        limits(id, substance, wrong);
    }
}

/// P = 10^(A − B/(T + C)) mmHg with T in °C (Antoine 1888), at 25 °C against the stated pressure.
fn pressure(id: &str, substance: &Substance, wrong: &mut Vec<String>) {
    let Some([a, b, c]) = substance.antoine else { return };
    let computed_kpa = KPA_PER_MMHG * libm::pow(10.0, a - b / (25.0 + c));
    let stated_kpa = substance.vapour_pressure_25c_kpa;
    if (computed_kpa / stated_kpa - 1.0).abs() > PRESSURE_TOLERANCE {
        wrong.push(format!(
            "substance {id}: its Antoine coefficients give {computed_kpa:.3} kPa at 25 °C, not {stated_kpa} kPa"
        ));
    }
}

fn explosion(id: &str, substance: &Substance, wrong: &mut Vec<String>) {
    match (substance.lel_vol_pct, substance.lowest_lel_vol_pct) {
        (Some(quoted), Some(lowest)) if lowest > quoted => {
            wrong.push(format!("substance {id}: the lowest explosive limit is above the quoted one"));
        }
        (None, Some(_)) => wrong.push(format!("substance {id}: it has a lowest explosive limit but no quoted one")),
        (None, None) if substance.flash_point_c.is_some() || substance.is_propellant() => {
            wrong.push(format!("substance {id}: it burns but has no explosive limit"));
        }
        _ => {}
    }
    if let (Some(lower), Some(upper)) = (substance.lel_vol_pct, substance.uel_vol_pct)
        && lower >= upper
    {
        wrong.push(format!("substance {id}: the explosive limits run backwards"));
    }
}

fn limits(id: &str, substance: &Substance, wrong: &mut Vec<String>) {
    let limits = &substance.limits;
    let single = &substance.details.limits;
    if let Some(lowest) = limits.lowest_twa_ppm {
        let others = [single.osha_pel_ppm, single.niosh_rel_ppm, single.eu_twa_ppm, single.other_ppm];
        for other in others.into_iter().flatten().filter(|other| *other < lowest) {
            wrong.push(format!("substance {id}: an 8-hour limit of {other} ppm is below the lowest, {lowest} ppm"));
        }
        if limits.source.trim().is_empty() {
            wrong.push(format!("substance {id}: nobody is named for its limit"));
        }
    }
    if let Some(lowest) = limits.lowest_short_term_ppm {
        let others = [single.niosh_stel_ppm, single.niosh_ceiling_ppm, single.osha_ceiling_ppm, single.eu_stel_ppm];
        for other in others.into_iter().flatten().filter(|other| *other < lowest) {
            wrong.push(format!("substance {id}: a short-term limit of {other} ppm is below the lowest, {lowest} ppm"));
        }
        if limits.lowest_twa_ppm.is_some_and(|twa| twa > lowest) {
            wrong.push(format!("substance {id}: the short-term limit is below the 8-hour one"));
        }
    }
    if let (Some(idlh), Some(twa)) = (limits.idlh_ppm, limits.lowest_twa_ppm)
        && idlh <= twa
    {
        wrong.push(format!("substance {id}: it is dangerous at once at its 8-hour limit"));
    }
}
