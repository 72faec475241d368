//! A sealer with what was measured of the can in hand.

use super::{CanRecord, Known, LogNormal, Reading};
use crate::catalog::{ModelFigures, Sealer};
use crate::estimate::{Basis, Grounds, Quantiles, Triple};
use crate::input::{Borne, MeasuredDrying};

/// What is known of a figure of a sealer before anything was measured: `can`, `cone`, `transfer`, by the word of the
/// command.
pub fn prior_of(word: &str, sealer: &Sealer, model: &ModelFigures) -> Option<LogNormal> {
    let triangle = match word {
        "can" => sealer.discharge_at_22c_g_s(),
        "cone" => model.spray.cone_half_angle_deg.value,
        "transfer" => model.spray.transfer_at_15cm.value,
        _ => return None,
    };
    LogNormal::matched(triangle)
}

/// Value and relative standard deviation of a reading of that word.
fn value_of(reading: &Reading) -> Option<(f64, f64)> {
    match reading {
        Reading::Can { rate_g_s: value, relative_sd, .. }
        | Reading::Cone { half_angle_deg: value, relative_sd, .. }
        | Reading::Transfer { share_at_15cm: value, relative_sd, .. } => Some((*value, *relative_sd)),
        Reading::Drying { minutes, modelled_p50_min, relative_sd, .. } => {
            Some((minutes / modelled_p50_min, *relative_sd))
        }
        Reading::Scrap { .. } => None,
    }
}

/// Before and after the readings of one word, and how many there are.
fn learnt(
    word: &str,
    record: &CanRecord,
    sealer: &Sealer,
    model: &ModelFigures,
) -> Option<(LogNormal, LogNormal, usize)> {
    let readings: Vec<&Reading> =
        record.measurements.iter().map(|one| &one.reading).filter(|reading| reading.word() == word).collect();
    let before = match prior_of(word, sealer, model) {
        Some(prior) => prior,
        None => thumb_prior(&readings)?,
    };
    let after = readings
        .iter()
        .filter_map(|reading| value_of(reading))
        .fold(before, |known, (value, relative_sd)| known.updated(value, relative_sd));
    Some((before, after, readings.len()))
}

/// The model's own width, of the coats that were watched; as much too fast as too slow.
fn thumb_prior(readings: &[&Reading]) -> Option<LogNormal> {
    let widths: Vec<f64> = readings
        .iter()
        .filter_map(|reading| match reading {
            Reading::Drying { modelled_p10_min, modelled_p90_min, .. } => {
                Some(libm::log(modelled_p90_min / modelled_p10_min) / (2.0 * 1.281_551_565_544_6))
            }
            _ => None,
        })
        .collect();
    let sigma = widths.iter().sum::<f64>() / widths.len() as f64;
    (!widths.is_empty()).then_some(LogNormal { mu: 0.0, sigma })
}

/// Every figure that was measured, before and now.
pub fn posteriors(record: &CanRecord, sealer: &Sealer, model: &ModelFigures) -> Vec<Known> {
    [
        ("can", "discharge_g_s"),
        ("cone", "cone_half_angle_deg"),
        ("transfer", "transfer_at_15cm"),
        ("drying", "drying_factor"),
    ]
    .into_iter()
    .filter_map(|(word, figure)| {
        let (before, now, readings) = learnt(word, record, sealer, model)?;
        let known = Known { figure, readings, before: before.quantiles(), now: now.quantiles() };
        (readings > 0).then_some(known)
    })
    .collect()
}

/// The sealer as measured. A share stays at most one.
#[must_use]
pub fn tune(sealer: &Sealer, record: &CanRecord, model: &ModelFigures) -> Sealer {
    let mut tuned = sealer.clone();
    if !record.measurements.is_empty() {
        tuned.unmeasured = Some(Box::new(sealer.clone()));
    }
    let measured = |word: &str| {
        learnt(word, record, sealer, model).filter(|(_, _, readings)| *readings > 0).map(|(_, now, _)| now.triangle())
    };
    if let Some(rate) = measured("can") {
        tuned.discharge_g_s = rate;
        tuned.can.discharge_g_s = Some(rate);
        tuned.grounds.own.insert("discharge_g_s".to_owned(), Grounds::plain(Basis::Measured));
    }
    tuned.can.cone_half_angle_deg = measured("cone").or(sealer.can.cone_half_angle_deg);
    let share = measured("transfer")
        .and_then(|share| Triple::new(share.low().min(1.0), share.mode().min(1.0), share.high().min(1.0)));
    tuned.can.transfer_at_15cm = share.or(sealer.can.transfer_at_15cm);
    if let Some((before, now, readings)) = learnt("drying", record, sealer, model)
        && readings > 0
    {
        let Quantiles { p50: factor, .. } = now.quantiles();
        let narrowing = if before.sigma > 0.0 { (now.sigma / before.sigma).min(1.0) } else { 1.0 };
        tuned.can.drying = Some(MeasuredDrying { factor, narrowing });
    }
    for measurement in &record.measurements {
        let Reading::Scrap { medium, wet_um, held, .. } = &measurement.reading else { continue };
        let borne: &mut Borne = tuned.can.bears.entry(medium.clone()).or_default();
        if *held {
            borne.held_um = Some(borne.held_um.map_or(*wet_um, |most| most.max(*wet_um)));
        } else {
            borne.failed_um = Some(borne.failed_um.map_or(*wet_um, |least| least.min(*wet_um)));
        }
    }
    tuned
}
