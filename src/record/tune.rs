//! A sealer with what was measured of the can in hand.

use super::joint::Joint;
use super::thumb::Drying;
use super::{CanRecord, Known, LogNormal, Reading};
use crate::catalog::{ModelFigures, Sealer};
use crate::estimate::{Basis, Grounds, Triple};
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

/// The cone's half angle with its readings, each with an error of its own.
fn cone(record: &CanRecord, sealer: &Sealer, model: &ModelFigures) -> Option<LogNormal> {
    let prior = prior_of("cone", sealer, model)?;
    let readings = record.measurements.iter().filter_map(|one| match &one.reading {
        Reading::Cone { half_angle_deg, relative_sd, .. } => Some((*half_angle_deg, *relative_sd)),
        _ => None,
    });
    Some(readings.fold(prior, |known, (value, relative_sd)| known.updated(value, relative_sd)))
}

/// The figure a word measures with the readings of a record.
fn known(word: &str, record: &CanRecord, sealer: &Sealer, model: &ModelFigures) -> Option<LogNormal> {
    match word {
        "can" => Joint::known(record, sealer, model).map(|known| known.rate()),
        "cone" => cone(record, sealer, model),
        "transfer" => Joint::known(record, sealer, model).map(|known| known.stays()),
        _ => None,
    }
}

fn count(word: &str, record: &CanRecord) -> usize {
    record.measurements.iter().filter(|one| one.reading.word() == word).count()
}

/// What a reading was to be expected to show, from the profile and the readings before it. `None` for what has no
/// expectation.
pub fn expected(reading: &Reading, record: &CanRecord, sealer: &Sealer, model: &ModelFigures) -> Option<LogNormal> {
    match reading {
        Reading::Transfer { rate_g_s, solids_sd, .. } => {
            Some(Joint::known(record, sealer, model)?.shown_by_a_card(*rate_g_s, *solids_sd))
        }
        Reading::Drying { .. } => Some(Drying::expected(reading, record, model)),
        _ => known(reading.word(), record, sealer, model),
    }
}

/// Every figure that was measured, before and now.
pub fn posteriors(record: &CanRecord, sealer: &Sealer, model: &ModelFigures) -> Vec<Known> {
    let plain = [("can", "discharge_g_s"), ("cone", "cone_half_angle_deg"), ("transfer", "transfer_at_15cm")];
    let mut all: Vec<Known> = plain
        .into_iter()
        .filter_map(|(word, figure)| {
            let readings = count(word, record);
            let before = prior_of(word, sealer, model).filter(|_| readings > 0)?.quantiles();
            Some(Known { figure, readings, before, now: known(word, record, sealer, model)?.quantiles() })
        })
        .collect();
    if let Some(drying) = Drying::known(record, model) {
        let (before, now) = (drying.before().quantiles(), drying.now().quantiles());
        all.push(Known { figure: "drying_factor", readings: count("drying", record), before, now });
    }
    all
}

/// The sealer as measured. A share stays at most one.
#[must_use]
pub fn tune(sealer: &Sealer, record: &CanRecord, model: &ModelFigures) -> Sealer {
    let mut tuned = sealer.clone();
    if !record.measurements.is_empty() {
        tuned.unmeasured = Some(Box::new(sealer.clone()));
    }
    let measured = |word: &str| {
        (count(word, record) > 0).then(|| known(word, record, sealer, model)).flatten().map(LogNormal::triangle)
    };
    let rate = measured("can");
    if let Some(rate) = rate {
        tuned.discharge_g_s = rate;
        tuned.can.discharge_g_s = Some(rate);
        tuned.grounds.own.insert("discharge_g_s".to_owned(), Grounds::plain(Basis::Measured));
    }
    tuned.can.cone_half_angle_deg = measured("cone").or(sealer.can.cone_half_angle_deg);
    let share = measured("transfer")
        .and_then(|share| Triple::new(share.low().min(1.0), share.mode().min(1.0), share.high().min(1.0)));
    if let (Some(_), Some(_), Some(joint)) = (rate, share, Joint::known(record, sealer, model)) {
        tuned.can.rate_with_transfer = joint.correlation();
    }
    tuned.can.transfer_at_15cm = share.or(sealer.can.transfer_at_15cm);
    if let Some(drying) = Drying::known(record, model) {
        tuned.can.drying = Some(MeasuredDrying { factor: drying.factor(), narrowing: drying.narrowing() });
    }
    for measurement in &record.measurements {
        let Reading::Scrap { medium, wet_um, held, over_mist, .. } = &measurement.reading else { continue };
        let borne: &mut Borne = tuned.can.bears.entry(medium.clone()).or_default();
        let least = |known: Option<f64>| Some(known.map_or(*wet_um, |least| least.min(*wet_um)));
        match (held, over_mist) {
            (true, false) => borne.held_um = Some(borne.held_um.map_or(*wet_um, |most| most.max(*wet_um))),
            // A build that held says nothing of a first coat, and builds are not made wetter for it.
            (true, true) => {}
            (false, false) => borne.failed_um = least(borne.failed_um),
            (false, true) => borne.failed_over_mist_um = least(borne.failed_over_mist_um),
        }
    }
    tuned
}
