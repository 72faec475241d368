//! How much of a can is solids, as far as its composition says.

use super::LogNormal;
use crate::catalog::{Catalog, Sealer};
use crate::estimate::{PointSet, Quantiles};
use crate::spray::Contents;

/// Points the composition is sampled at.
const POINTS: usize = 256;

/// Least share that is told from none.
const LEAST: f64 = 1e-4;

/// Share of a can's content that stays as solids, from the ranges of its composition: log-normal through the median,
/// as wide as the outer points.
pub fn solids_share(sealer: &Sealer, catalog: &Catalog, seed: u64) -> LogNormal {
    let contents = Contents::new(&sealer.composition, catalog);
    let points = PointSet::new(contents.parts().max(1), POINTS, seed);
    let mut shares = contents.at_mode();
    let mut solids = Vec::with_capacity(POINTS);
    for n in 0..POINTS {
        contents.fill_sample(|part| points.coordinate(n, part), &mut shares);
        solids.push(shares.solids.max(LEAST));
    }
    LogNormal::through(Quantiles::of(&mut solids))
}
