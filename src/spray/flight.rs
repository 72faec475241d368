//! The way from the nozzle to the sheet: how long, and what a cloud of many droplet sizes loses on it.

use super::droplet::Trajectory;
use crate::estimate::{Triple, normal_from_uniform};

/// Time of flight, s, over a distance (m): `t = d² / (13.6 √(ṁ u0/ρ))`, from the axis speed of a free round jet
/// `u(x) = 6.8 √(J/ρ)/x`, `J = ṁ u0`.
///
/// `discharge_kg_s` ṁ; `exit_speed_m_s` u0; `air_density_kg_m3` ρ. Jet constant from memory. At 1 g/s and 40 m/s 9 ms
/// to 15 cm, 36 ms to 30 cm.
pub fn flight_time_s(distance_m: f64, discharge_kg_s: f64, exit_speed_m_s: f64, air_density_kg_m3: f64) -> f64 {
    distance_m * distance_m / (13.6 * libm::sqrt(discharge_kg_s * exit_speed_m_s / air_density_kg_m3))
}

/// Share of the solids in droplets so small that they have dried: those below `D = √(t/τ_dry)` of a log-normal volume
/// distribution, `Φ(ln(D/VMD)/ln GSD)`.
///
/// `cloud_time_s` is the flight time times the cloud factor, `median_um` VMD, `spread` GSD (above 1).
pub fn dry_share(trajectory: &Trajectory, cloud_time_s: f64, median_um: f64, spread: f64) -> f64 {
    if trajectory.dry_after.is_infinite() {
        return 0.0;
    }
    let largest = libm::sqrt(cloud_time_s / trajectory.dry_after);
    let z = libm::log(largest / median_um) / libm::log(spread);
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// Droplet sizes over which a cloud is averaged: equal shares of its volume.
const SIZES: usize = 48;
/// Nodes of the table over the logarithm of scaled time.
const TIMES: usize = 48;
/// Nodes of the table over the spread.
const SPREADS: usize = 5;

/// Share of each liquid lost in flight by a whole cloud, tabulated over time and spread, so that a thousand samples at
/// any distance cost next to nothing.
#[derive(Debug, Clone)]
pub struct FlightTable {
    lowest_log: f64,
    log_step: f64,
    spread_low: f64,
    spread_step: f64,
    liquids: usize,
    /// Losses by time, then spread, then liquid.
    losses: Vec<f64>,
}

/// Droplet sizes of equal shares of a cloud's volume: their `z` on the logarithm.
fn size_normals() -> impl Iterator<Item = f64> {
    (0..SIZES).map(|n| normal_from_uniform((n as f64 + 0.5) / SIZES as f64))
}

/// Share of each liquid lost in flight by a whole cloud, averaged on the spot for one time and spread: exact where the
/// table interpolates, and cheaper than the table where only a moment or two are wanted.
///
/// `scaled_time` and `spread` as for [`FlightTable::lost`].
pub(super) fn cloud_losses(trajectory: &Trajectory, scaled_time: f64, spread: f64, out: &mut [f64]) {
    let log_spread = libm::log(spread);
    out.fill(0.0);
    for z in size_normals() {
        trajectory.add_lost(scaled_time * libm::exp(-2.0 * log_spread * z), 1.0 / SIZES as f64, out);
    }
}

impl FlightTable {
    /// Averages a droplet's course over the sizes of a cloud whose spread lies in a range.
    pub fn new(trajectory: &Trajectory, spread: Triple) -> Self {
        let last = trajectory.scaled_time.last().copied().unwrap_or(0.0).max(f64::MIN_POSITIVE);
        let lowest_log = libm::log(last) - 16.0;
        let log_step = 19.0 / (TIMES - 1) as f64;
        let spread_step = (spread.high() - spread.low()) / (SPREADS - 1) as f64;
        let normals: Vec<f64> = size_normals().collect();
        let liquids = trajectory.liquids;
        // Droplets of each size class relative to the median, per spread: the same at every time.
        let smaller: Vec<Vec<f64>> = (0..SPREADS)
            .map(|n| {
                let log_spread = libm::log(spread.low() + spread_step * n as f64);
                normals.iter().map(|z| libm::exp(-2.0 * log_spread * z)).collect()
            })
            .collect();
        let mut losses = vec![0.0; TIMES * SPREADS * liquids];
        for (row, out) in losses.chunks_exact_mut(liquids.max(1)).enumerate() {
            let time = libm::exp(lowest_log + log_step * (row / SPREADS) as f64);
            for size in &smaller[row % SPREADS] {
                trajectory.add_lost(time * size, 1.0 / SIZES as f64, out);
            }
        }
        Self { lowest_log, log_step, spread_low: spread.low(), spread_step, liquids, losses }
    }

    /// Share of each liquid lost, written to `out`.
    ///
    /// `scaled_time` is flight time × cloud factor / median diameter², s/µm²; `spread` that of the droplet volume.
    pub fn lost(&self, scaled_time: f64, spread: f64, out: &mut [f64]) {
        let along = ((libm::log(scaled_time.max(f64::MIN_POSITIVE)) - self.lowest_log) / self.log_step)
            .clamp(0.0, (TIMES - 1) as f64);
        let time = (along as usize).min(TIMES - 2);
        let time_part = along - time as f64;
        let across = if self.spread_step > 0.0 { (spread - self.spread_low) / self.spread_step } else { 0.0 };
        let across = across.clamp(0.0, (SPREADS - 1) as f64);
        let wide = (across as usize).min(SPREADS - 2);
        let wide_part = across - wide as f64;
        let corner = |time: usize, wide: usize| (time * SPREADS + wide) * self.liquids;
        let (a, b) = (corner(time, wide), corner(time, wide + 1));
        let (c, d) = (corner(time + 1, wide), corner(time + 1, wide + 1));
        for (k, out) in out.iter_mut().enumerate().take(self.liquids) {
            let early = self.losses[a + k] + wide_part * (self.losses[b + k] - self.losses[a + k]);
            let late = self.losses[c + k] + wide_part * (self.losses[d + k] - self.losses[c + k]);
            *out = early + time_part * (late - early);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::droplet::{Mixture, evaporation_constant_um2_s};
    use super::*;
    use crate::vapour::MoistAir;
    use crate::vapour::samples::substance;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    fn dry_air(temperature_c: f64) -> MoistAir {
        MoistAir { temperature_c, relative_humidity: 0.0, pressure_pa: 101_325.0 }
    }

    /// 35 % fast, 15 % medium, 5 % slow, 10 % solids: the blend of the worked chain.
    fn worked_blend(temperature_c: f64) -> Trajectory {
        let blend = [substance("acetone"), substance("n-butyl-acetate"), substance("pm-acetate")];
        let mixture = Mixture::new(&[&blend[0], &blend[1], &blend[2]], &dry_air(temperature_c));
        Trajectory::new(&mixture, &[0.35, 0.15, 0.05], 0.10 / 1150.0, 0.5)
    }

    #[test]
    fn flight_times() {
        // Derived beside the model, 1 g/s at 40 m/s.
        for (distance, ms) in [(0.15, 9.0), (0.20, 16.0), (0.25, 25.0), (0.30, 36.0), (0.40, 64.0)] {
            assert_abs_diff_eq!(flight_time_s(distance, 1e-3, 40.0, 1.2) * 1e3, ms, epsilon = 0.6);
        }
    }

    #[test]
    fn droplet_constants() {
        // Derived beside the model with property libraries, µm²/s in dry air of 22 °C: their diffusivities differ from the
        // estimated ones of the catalog by 5 to 10 %.
        for (id, constant) in [("acetone", 9200.0), ("ethanol", 3500.0), ("n-butyl-acetate", 2300.0), ("water", 1500.0)]
        {
            let got = evaporation_constant_um2_s(&substance(id), &dry_air(22.0));
            assert_relative_eq!(got, constant, max_relative = 0.10);
        }
    }

    #[test]
    fn losses_and_dry_droplets_by_distance() {
        // The table derived for pure acetone leaving alone: share of the fast solvent lost, share arriving dry.
        // Here acetone leaves a mixture, where Raoult's law lowers its pressure by a fifth to a third, so that less
        // is lost: never more than the table, and at most 0.09 below it. Dry droplets agree within 0.015.
        let trajectory = worked_blend(22.0);
        let table = FlightTable::new(&trajectory, Triple::new(1.6, 1.8, 2.2).expect("ordered"));
        for (distance, fast, dry) in [
            (0.15, 0.17, 0.02),
            (0.20, 0.27, 0.05),
            (0.25, 0.37, 0.11),
            (0.30, 0.46, 0.18),
            (0.40, 0.62, 0.33),
            (0.50, 0.74, 0.48),
        ] {
            let time = 0.65 * flight_time_s(distance, 1e-3, 40.0, 1.2);
            let mut lost = [0.0; 3];
            table.lost(time / 1600.0, 1.8, &mut lost);
            assert!(lost[0] <= fast && lost[0] >= fast - 0.09, "{distance}: {lost:?}");
            assert!(lost[0] > lost[1] && lost[1] > lost[2], "{lost:?}");
            assert_abs_diff_eq!(dry_share(&trajectory, time, 40.0, 1.8), dry, epsilon = 0.015);
        }
        // Finer droplets at 30 cm: .72 | .45.
        let time = 0.65 * flight_time_s(0.30, 1e-3, 40.0, 1.2);
        let mut lost = [0.0; 3];
        table.lost(time / 625.0, 1.8, &mut lost);
        assert_abs_diff_eq!(lost[0], 0.68, epsilon = 0.05);
        assert_abs_diff_eq!(dry_share(&trajectory, time, 25.0, 1.8), 0.45, epsilon = 0.02);
    }

    #[test]
    fn warmer_air_takes_more() {
        let at = |temperature_c: f64| {
            let table = FlightTable::new(&worked_blend(temperature_c), Triple::exact(1.8));
            let mut lost = [0.0; 3];
            table.lost(0.65 * 0.036 / 1600.0, 1.8, &mut lost);
            lost[0]
        };
        // A room of 30 °C adds about 0.03 (derived).
        assert_abs_diff_eq!(at(30.0) - at(22.0), 0.03, epsilon = 0.01);
    }

    #[test]
    fn the_table_follows_the_droplets() {
        // Table against a direct sum over many droplet sizes between its nodes.
        let trajectory = worked_blend(22.0);
        let table = FlightTable::new(&trajectory, Triple::new(1.6, 1.8, 2.2).expect("ordered"));
        for (scaled, spread) in [(1.3e-6, 1.7), (1.1e-5, 1.93), (9.7e-5, 2.1), (1.1e-5, 1.6), (1.1e-5, 2.2)] {
            let mut direct = [0.0; 3];
            for n in 0..4000 {
                let z = normal_from_uniform((f64::from(n) + 0.5) / 4000.0);
                trajectory.add_lost(scaled * libm::exp(-2.0 * libm::log(spread) * z), 1.0 / 4000.0, &mut direct);
            }
            let mut tabulated = [0.0; 3];
            table.lost(scaled, spread, &mut tabulated);
            for (table, direct) in tabulated.iter().zip(&direct) {
                assert_abs_diff_eq!(table, direct, epsilon = 0.006);
            }
        }
    }

    #[test]
    fn outside_its_spreads_the_table_keeps_its_edge() {
        let table = FlightTable::new(&worked_blend(22.0), Triple::new(1.6, 1.8, 2.2).expect("ordered"));
        let lost = |spread| {
            let mut lost = [0.0; 3];
            table.lost(1.1e-5, spread, &mut lost);
            lost
        };
        assert_eq!((lost(1.2), lost(3.0)), (lost(1.6), lost(2.2)));
    }

    #[test]
    fn a_cloud_on_the_spot_is_that_of_many_sizes() {
        let trajectory = worked_blend(22.0);
        for (scaled, spread) in [(1.3e-6, 1.7), (1.1e-5, 1.93), (9.7e-5, 2.1)] {
            let (mut direct, mut spot) = ([0.0; 3], [0.0; 3]);
            for n in 0..4000 {
                let z = normal_from_uniform((f64::from(n) + 0.5) / 4000.0);
                trajectory.add_lost(scaled * libm::exp(-2.0 * libm::log(spread) * z), 1.0 / 4000.0, &mut direct);
            }
            cloud_losses(&trajectory, scaled, spread, &mut spot);
            for (spot, direct) in spot.iter().zip(&direct) {
                assert_abs_diff_eq!(spot, direct, epsilon = 0.006);
            }
        }
    }
}
