//! Drying with the uncertain constants sampled.

use super::drying::WATCHED_S;
use super::{Drier, DryMargins, FilmConstants, Landed, SheetThermal, blush_index};
use crate::catalog::FilmFigures;
use crate::estimate::{PointSet, Quantiles, Triple};
use crate::vapour::MoistAir;

/// What stays the same over all samples of one coat.
#[derive(Debug, Clone, Copy)]
pub struct SampledBench<'a> {
    /// The sheet.
    pub sheet: SheetThermal,
    /// The air.
    pub air: MoistAir,
    /// The uncertain constants.
    pub figures: &'a FilmFigures,
    /// Band of the gas-film coefficient in this room, m/s.
    pub gas_film: Triple,
    /// When a film counts as dry.
    pub margins: &'a DryMargins,
    /// Least solids the blush index is taken over, g/m².
    pub blush_floor_g_m2: f64,
}

impl<'a> SampledBench<'a> {
    /// The drier of one point.
    pub fn drier(&self, points: &PointSet, n: usize) -> Drier<'a> {
        let constants = FilmConstants::at_point(self.figures, self.gas_film, points, n);
        Drier { sheet: self.sheet, air: self.air, constants, margins: self.margins }
    }
}

/// Drying of one coat as quantiles over the samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SampledDrying {
    /// Touch-dry, min; a sample that takes longer than a week counts as a week.
    pub touch_min: Quantiles,
    /// Fit to be handled or recoated, min; likewise.
    pub handle_min: Quantiles,
    /// Blush index, share.
    pub blush_index: Quantiles,
    /// Coldest the film got, °C.
    pub coldest_film_c: Quantiles,
}

/// Figures of one sample: touch-dry and handle in min, blush index, coldest film in °C.
pub type DryingRow = [f64; 4];

/// The points a coat's drying is sampled at: mirrored pairs over the uncertain constants. A seed gives the same points
/// every time.
pub fn drying_points(count: usize, seed: u64) -> PointSet {
    PointSet::mirrored(FilmConstants::DIMENSIONS, count, seed)
}

/// Dries one coat at some of the points, so that the work can be shared out; the rows are in the order of the points.
///
/// `coat` gives what landed in sample `n` and the dry film below it, µm; it may be the same every time.
pub fn drying_rows<'c>(
    bench: &SampledBench<'_>,
    points: &PointSet,
    range: std::ops::Range<usize>,
    mut coat: impl FnMut(usize) -> (Landed<'c>, f64),
) -> Vec<DryingRow> {
    range
        .map(|n| {
            let (landed, below_dry_um) = coat(n);
            let drier = bench.drier(points, n);
            let times = drier.times(&landed, below_dry_um);
            let index = blush_index(times.peak_condensed_g_m2, landed.solids_g_m2, bench.blush_floor_g_m2);
            let minutes = |seconds: Option<f64>| seconds.unwrap_or(WATCHED_S) / 60.0;
            [minutes(times.touch_s), minutes(times.handle_s), index, times.coldest_film_c]
        })
        .collect()
}

impl SampledDrying {
    /// The quantiles of the rows of all points.
    pub fn of(rows: &[DryingRow]) -> Self {
        let columns: [Vec<f64>; 4] = std::array::from_fn(|k| rows.iter().map(|row| row[k]).collect());
        let [touch_min, handle_min, blush_index, coldest_film_c] = columns.map(|mut column| Quantiles::of(&mut column));
        Self { touch_min, handle_min, blush_index, coldest_film_c }
    }
}

impl SampledDrying {
    /// The same with times known from a thumb: medians times a factor, widths (as ratios) to the power of `narrowing`.
    #[must_use]
    pub fn measured(self, factor: f64, narrowing: f64) -> Self {
        let known = |times: Quantiles| {
            let end = |value: f64| {
                if times.p50 > 0.0 { factor * times.p50 * libm::pow(value / times.p50, narrowing) } else { value }
            };
            Quantiles { p10: end(times.p10), p50: factor * times.p50, p90: end(times.p90) }
        };
        Self { touch_min: known(self.touch_min), handle_min: known(self.handle_min), ..self }
    }
}

/// Samples the drying of one coat at `count` points: 64 to 128 are enough for the median within 2 %.
pub fn sampled_drying<'c>(
    bench: &SampledBench<'_>,
    count: usize,
    seed: u64,
    coat: impl FnMut(usize) -> (Landed<'c>, f64),
) -> SampledDrying {
    SampledDrying::of(&drying_rows(bench, &drying_points(count, seed), 0..count, coat))
}
