//! How each coat dries: sampled times, blush, and what the film gives to the air.

use std::sync::atomic::{AtomicUsize, Ordering};

use super::bench::Bench;
use crate::both::both;
use crate::catalog::Sealer;
use crate::conditions::BlushIndex;
use crate::estimate::{PointSet, Quantiles, normal_from_uniform};
use crate::film::{
    DriedBy, DryingRow, Landed, ReleaseCurve, SampledDrying, blush_index, dried_by, drying_points, drying_rows,
    reference_build, scaled_to_wet_um,
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
    /// Touch-dry by the model alone, where the sampled times were measured.
    pub(super) modelled_touch_min: Option<Quantiles>,
    /// What the film gives to the air, at the most likely.
    pub(super) released: ReleaseCurve<'a>,
}

/// Every coat with the dry film of those before it, µm.
pub(super) fn stacked<'p, 'a>(coats: &'p [PlannedCoat<'a>]) -> Vec<(&'p PlannedCoat<'a>, f64)> {
    let mut below_um = 0.0;
    let over = |coat: &'p PlannedCoat<'a>| {
        let over = (coat, below_um);
        below_um += coat.dry_um.p50;
        over
    };
    coats.iter().map(over).collect()
}

/// Dries every coat over those before it.
pub(super) fn dry_coats<'a>(
    bench: &Bench<'a>,
    sealer: &Sealer,
    coats: &'a [PlannedCoat<'a>],
    seed: u64,
) -> Vec<CoatDrying<'a>> {
    let tasks = stacked(coats);
    let sampled = if dried_by(sealer) == DriedBy::Solvent { sample(bench, &tasks, seed) } else { Vec::new() };
    let mut sampled = sampled.into_iter();
    let drier = bench.drier(bench.air.air);
    let dried = |(coat, below_um): (&PlannedCoat<'a>, f64)| {
        let (alone, measured) = (sampled.next(), sealer.can.drying);
        CoatDrying {
            sampled: match measured {
                Some(measured) => alone.map(|alone| alone.measured(measured.factor, measured.narrowing)),
                None => alone,
            },
            modelled_touch_min: alone.filter(|_| measured.is_some()).map(|alone| alone.touch_min),
            released: drier.dry(&coat.deposit.landed, below_um).released,
        }
    };
    tasks.into_iter().map(dried).collect()
}

/// Samples every coat, half of the points at a time. The rows are put together in the order of the points.
fn sample(bench: &Bench<'_>, tasks: &[(&PlannedCoat<'_>, f64)], seed: u64) -> Vec<SampledDrying> {
    let points = drying_points(SAMPLES, seed);
    let sampled_bench = bench.sampled();
    let half_of_all = |range: std::ops::Range<usize>| -> Vec<Vec<DryingRow>> {
        let rows = |(coat, below_um): &(&PlannedCoat<'_>, f64)| {
            let films = films(coat, seed);
            let landed = &coat.deposit.landed;
            drying_rows(&sampled_bench, &points, range.clone(), |n| (scaled_to_wet_um(landed, films[n]), *below_um))
        };
        tasks.iter().map(rows).collect()
    };
    let (front, back) = both(|| half_of_all(0..SAMPLES / 2), || half_of_all(SAMPLES / 2..SAMPLES));
    front
        .into_iter()
        .zip(back)
        .map(|(mut rows, rest)| {
            rows.extend(rest);
            SampledDrying::of(&rows)
        })
        .collect()
}

/// The median time until a coat may be handled, min, as [`dry_coats`] has it, unless it is no longer than a limit: then
/// `None`, which is found without drying all samples to the end. `None` also where the film model does not apply.
pub(super) fn handled_later_than(
    bench: &Bench<'_>,
    sealer: &Sealer,
    (coat, below_um): (&PlannedCoat<'_>, f64),
    limit_min: f64,
    seed: u64,
) -> Option<f64> {
    if dried_by(sealer) != DriedBy::Solvent {
        return None;
    }
    let factor = sealer.can.drying.map_or(1.0, |measured| measured.factor);
    let limit_s = limit_min / factor * 60.0;
    let landed = &coat.deposit.landed;
    // The film at the most likely constants says how it will go; only a median that goes well is worth the short way.
    let likely = bench.drier(bench.air.air).handled_within(landed, below_um, limit_s);
    if likely && most_handled_within(bench, coat, below_um, limit_s, seed) {
        return None;
    }
    let median = sample(bench, &[(coat, below_um)], seed)[0].handle_min.p50 * factor;
    (median > limit_min).then_some(median)
}

/// Whether more than half of a coat's samples can be handled within a time, so that their median lies within it as well.
fn most_handled_within(bench: &Bench<'_>, coat: &PlannedCoat<'_>, below_um: f64, limit_s: f64, seed: u64) -> bool {
    let points = drying_points(SAMPLES, seed);
    let sampled_bench = bench.sampled();
    let films = films(coat, seed);
    let handled = AtomicUsize::new(0);
    let enough = || handled.load(Ordering::Relaxed) > SAMPLES / 2;
    let dry_half = |mut half: std::ops::Range<usize>| {
        while let Some(n) = half.next().filter(|_| !enough()) {
            let landed = scaled_to_wet_um(&coat.deposit.landed, films[n]);
            if sampled_bench.drier(&points, n).handled_within(&landed, below_um, limit_s) {
                handled.fetch_add(1, Ordering::Relaxed);
            }
        }
    };
    both(|| dry_half(0..SAMPLES / 2), || dry_half(SAMPLES / 2..SAMPLES));
    enough()
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
    let index = |landed: &Landed<'_>| blush_index(drier.condensed_g_m2(landed, 0.0), landed.solids_g_m2, floor);
    let landed = &heaviest.deposit.landed;
    Some(BlushIndex { planned: index(landed), reference: index(&reference_build(landed, &bench.catalog.rules)) })
}

/// The coat with the thickest wet film.
fn heaviest<'p, 'a>(coats: &'p [PlannedCoat<'a>]) -> Option<&'p PlannedCoat<'a>> {
    coats.iter().max_by(|a, b| a.wet_um.p50.total_cmp(&b.wet_um.p50))
}
