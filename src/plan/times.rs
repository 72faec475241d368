//! How each coat dries: sampled times, blush, and what the film gives to the air.

use super::bench::Bench;
use crate::catalog::Sealer;
use crate::conditions::BlushIndex;
use crate::estimate::{PointSet, Quantiles, normal_from_uniform};
use crate::film::{
    DriedBy, Landed, ReleaseCurve, SampledDrying, blush_index, dried_by, reference_build, sampled_drying,
    scaled_to_wet_um,
};
use crate::solve::PlannedCoat;
use crate::vapour::MoistAir;

/// Points the drying of a coat is sampled at.
const SAMPLES: usize = 64;

/// z of the 90 % point of the standard normal.
const Z_90: f64 = 1.281_551_565_5;

/// One coat drying.
#[derive(Debug, Clone)]
pub(super) struct CoatDrying<'a> {
    /// Sampled times; absent where the film model does not apply.
    pub(super) sampled: Option<SampledDrying>,
    /// What the film gives to the air, at the most likely.
    pub(super) released: ReleaseCurve<'a>,
}

/// Dries every coat over those before it. Coats alike in kind share what lands but not what lies below.
pub(super) fn dry_coats<'a>(
    bench: &Bench<'a>,
    sealer: &Sealer,
    coats: &'a [PlannedCoat<'a>],
    seed: u64,
) -> Vec<CoatDrying<'a>> {
    let modelled = dried_by(sealer) == DriedBy::Solvent;
    let mut below_um = 0.0;
    let tasks: Vec<(&PlannedCoat<'a>, f64)> = coats
        .iter()
        .map(|coat| {
            let task = (coat, below_um);
            below_um += coat.dry_um.p50;
            task
        })
        .collect();
    tasks.into_iter().map(|(coat, below_um)| dry_coat(bench, coat, below_um, modelled, seed)).collect()
}

fn dry_coat<'a>(
    bench: &Bench<'a>,
    coat: &'a PlannedCoat<'a>,
    below_um: f64,
    modelled: bool,
    seed: u64,
) -> CoatDrying<'a> {
    let landed = &coat.deposit.landed;
    let released = bench.drier(bench.air.air).dry(landed, below_um).released;
    let sampled = modelled.then(|| {
        let films = films(coat, seed);
        sampled_drying(&bench.sampled(), SAMPLES, seed, |n| (scaled_to_wet_um(landed, films[n]), below_um))
    });
    CoatDrying { sampled, released }
}

/// Wet films, µm, spread as the sampled film is: log-normal through its 50 % point with the width of its outer ones.
fn films(coat: &PlannedCoat<'_>, seed: u64) -> Vec<f64> {
    let Quantiles { p10, p50, p90 } = coat.wet_um;
    let spread = if p10 > 0.0 { libm::log(p90 / p10) / (2.0 * Z_90) } else { 0.0 };
    // A dimension of its own: a different seed than the drying constants' points.
    let points = PointSet::mirrored(1, SAMPLES, seed ^ 0x5EED);
    (0..SAMPLES).map(|n| p50 * libm::exp(spread * normal_from_uniform(points.coordinate(n, 0)))).collect()
}

/// The blush indices in some air, with every constant most likely: of the planned builds (the mists, if there is no
/// build) and of the reference build. `None` where the film model does not apply.
pub(super) fn blush_in(
    bench: &Bench<'_>,
    sealer: &Sealer,
    coats: &[PlannedCoat<'_>],
    air: MoistAir,
) -> Option<BlushIndex> {
    if dried_by(sealer) == DriedBy::Water {
        return None;
    }
    let heaviest = heaviest(coats)?;
    let floor = bench.catalog.rules.conditions.blush_solids_floor_g_m2.get();
    let drier = bench.drier(air);
    let index =
        |landed: &Landed<'_>| blush_index(drier.times(landed, 0.0).peak_condensed_g_m2, landed.solids_g_m2, floor);
    let landed = &heaviest.deposit.landed;
    Some(BlushIndex { planned: index(landed), reference: index(&reference_build(landed, &bench.catalog.rules)) })
}

/// The coat with the thickest wet film.
fn heaviest<'p, 'a>(coats: &'p [PlannedCoat<'a>]) -> Option<&'p PlannedCoat<'a>> {
    coats.iter().max_by(|a, b| a.wet_um.p50.total_cmp(&b.wet_um.p50))
}
