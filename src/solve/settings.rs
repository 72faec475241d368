//! Choosing distance, speed and step-over of the mists and of the builds.

use super::search::{Liked, Scratch, distances, speed_up, steps_from_widest, widest_step};
use super::structure::{BuildLimit, DistanceBand};
use crate::catalog::Rules;
use crate::spray::{Samples, Setting, Spray, SprayField};

/// How much a centimetre beyond the liked distance weighs against the other strains (squared halves of their ranges).
const STRAIN_PER_CM: f64 = 0.3;
/// The part of the allowed film left unused that weighs as much as half a range of speed.
const SLACK_UNIT: f64 = 0.15;
/// More strain than any setting inside its ranges.
const OUTSIDE: f64 = 1e6;

/// A chosen setting, with what every sample lays at its distance.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// The setting.
    pub setting: Setting,
    /// What every sample lays there.
    pub field: SprayField,
    /// Whether it keeps what it was asked to keep; if not, it is the gentlest there is.
    pub keeps: bool,
}

/// One setting that was tried.
struct Tried {
    strain: f64,
    setting: Setting,
    keeps: bool,
}

/// Keeps the one with less strain, the earlier one of equals.
fn keep_better(best: &mut Option<Tried>, tried: Tried) {
    if best.as_ref().is_none_or(|best| tried.strain < best.strain) {
        *best = Some(tried);
    }
}

fn chosen(best: Option<Tried>, samples: &Samples<'_, '_>, gentlest: Setting) -> Chosen {
    let tried = best.unwrap_or(Tried { strain: OUTSIDE, setting: gentlest, keeps: false });
    Chosen { setting: tried.setting, field: samples.at(tried.setting.distance_cm), keeps: tried.keeps }
}

/// The setting of the mist coats: the aimed share of samples under the cap, from as near as the band allows, as near
/// to the middle of speed and step-over as that leaves, wasting as little of the cap as may be. Where no setting keeps
/// the cap, the gentlest one: farthest, fastest, widest.
pub fn choose_mist(
    spray: &Spray<'_>,
    samples: &Samples<'_, '_>,
    cap_um: f64,
    band: &DistanceBand,
    rules: &Rules,
) -> Chosen {
    let coats = &rules.coats;
    let speed = middle(coats.mist_speed_min_m_s.get() * 100.0, coats.mist_speed_max_m_s.get() * 100.0);
    let step = middle(coats.mist_step_min_sigma.get(), coats.mist_step_max_sigma.get());
    let mut scratch = Scratch::default();
    let mut best: Option<Tried> = None;
    let mut gentlest = Setting { distance_cm: band.far_cm, speed_cm_s: speed.high, step_cm: 0.0 };
    for distance_cm in distances(band.near_cm, band.far_cm) {
        let far = STRAIN_PER_CM * (distance_cm - band.usual_cm).abs();
        if best.as_ref().is_some_and(|best| best.strain <= far) {
            break;
        }
        let field = samples.at(distance_cm);
        let sigma_cm = spray.at_mode(distance_cm / 100.0).sigma_m * 100.0;
        let (narrow, wide) = (step.low * sigma_cm, step.high * sigma_cm);
        gentlest = Setting { distance_cm, speed_cm_s: speed.high, step_cm: widest_step(wide) };
        // The widest step lays least; where one is too wet for the fastest hand, so are all narrower ones.
        for step_cm in steps_from_widest(narrow, wide) {
            let wet = scratch.wet_quantile(samples, &field, step_cm, coats.under_cap_aim.get());
            let needed = wet / cap_um * 100.0;
            let speed_cm_s = speed_up(needed).max(speed.low);
            if speed_cm_s > speed.high {
                break;
            }
            let slack = (1.0 - needed / speed_cm_s) / SLACK_UNIT;
            let (hand, spacing) = (speed.strain(speed_cm_s), step.strain(step_cm / sigma_cm));
            let strain = far + hand * hand + spacing * spacing + slack * slack;
            let setting = Setting { distance_cm, speed_cm_s, step_cm };
            keep_better(&mut best, Tried { strain, setting, keeps: true });
        }
    }
    chosen(best, samples, gentlest)
}

/// The setting of the builds: the median at or under the aimed film and the asked share of samples under the limit,
/// at the liked distance, the step about half the pattern; never faster than the mist.
pub fn choose_build(
    spray: &Spray<'_>,
    samples: &Samples<'_, '_>,
    limit: &BuildLimit,
    band: &DistanceBand,
    mist_speed_cm_s: f64,
    rules: &Rules,
) -> Chosen {
    let coats = &rules.coats;
    let usual = middle(coats.build_speed_min_m_s.get() * 100.0, coats.build_speed_max_m_s.get() * 100.0);
    let fastest = (coats.build_speed_limit_m_s.get() * 100.0).min(mist_speed_cm_s);
    let step = middle(coats.build_step_min_sigma.get(), coats.build_step_max_sigma.get());
    let mut scratch = Scratch::default();
    let mut best: Option<Tried> = None;
    let mut gentlest = Setting { distance_cm: band.far_cm, speed_cm_s: fastest, step_cm: 0.0 };
    for distance_cm in distances(band.near_cm, band.far_cm) {
        let far = STRAIN_PER_CM * (distance_cm - band.usual_cm).abs();
        let field = samples.at(distance_cm);
        let sigma_cm = spray.at_mode(distance_cm / 100.0).sigma_m * 100.0;
        let (narrow, wide) = (step.low * sigma_cm, step.high * sigma_cm);
        gentlest = Setting { distance_cm, speed_cm_s: fastest, step_cm: widest_step(wide) };
        // The widest step lays least; where one is too wet for the fastest hand, so are all narrower ones.
        for step_cm in steps_from_widest(narrow, wide) {
            let wet = scratch.wet_quantile(samples, &field, step_cm, coats.build_under_limit.get());
            let needed = (wet / limit.limit_um).max(scratch.upper_median() / coats.build_median_um.get()) * 100.0;
            let speed_cm_s = speed_up(needed).max(usual.low.min(fastest));
            if speed_cm_s > fastest {
                break;
            }
            let slack = (1.0 - needed / speed_cm_s) / SLACK_UNIT;
            let (hand, spacing) = (usual.strain(speed_cm_s), step.strain(step_cm / sigma_cm));
            let strain = far + hand * hand + spacing * spacing + slack * slack;
            let setting = Setting { distance_cm, speed_cm_s, step_cm };
            keep_better(&mut best, Tried { strain, setting, keeps: true });
        }
    }
    chosen(best, samples, gentlest)
}

/// A range liked best in its middle.
fn middle(low: f64, high: f64) -> Liked {
    Liked { low, high, best: f64::midpoint(low, high) }
}
