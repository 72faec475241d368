//! One sealer in one air: everything about a spray that does not depend on the coat.

use super::contents::{Contents, Shares};
use super::droplet::{Mixture, Trajectory};
use super::flight::{FlightTable, cloud_losses, dry_share, flight_time_s};
use super::{cone, discharge_factor};
use std::sync::OnceLock;

use crate::catalog::{Catalog, ModelFigures, Sealer, Substance};
use crate::estimate::Triple;
use crate::vapour::{GAS_CONSTANT_J_MOL_K, MoistAir, ZERO_CELSIUS_K};

/// Molar mass of air, kg/mol (handbooks).
const AIR_MOLAR_MASS_KG_MOL: f64 = 0.028_966;

/// A sealer in the air at the bench.
///
/// Losses in flight are computed at the most likely composition and applied to every sampled one: what a sample
/// changes is how much of each liquid there is to lose.
#[derive(Debug, Clone)]
pub struct Spray<'c> {
    /// The sealer.
    pub sealer: &'c Sealer,
    /// What is in it.
    pub contents: Contents<'c>,
    /// Most likely shares.
    pub shares: Shares,
    /// Discharge at this temperature over that at 22 °C.
    pub discharge_factor: f64,
    /// Density of the air, kg/m³.
    pub air_density_kg_m3: f64,
    pub(super) model: &'c ModelFigures,
    /// Places in `contents.volatiles` of what flies as a liquid.
    pub(super) liquids: Vec<usize>,
    trajectory: Trajectory,
    /// Made when a sample first asks for it: a spray that is only compared does without.
    table: OnceLock<FlightTable>,
}

/// A spray at one distance with every figure most likely.
#[derive(Debug, Clone, PartialEq)]
pub struct Plume {
    /// Out of the can, g/s.
    pub discharge_g_s: f64,
    /// Standard deviation of the footprint, m.
    pub sigma_m: f64,
    /// Share that stays on an endless sheet.
    pub transfer: f64,
    /// Flight time, s.
    pub flight_s: f64,
    /// Share lost in flight of each volatile part; one for a propellant.
    pub lost: Vec<f64>,
    /// Share of the solids in droplets that arrive dry.
    pub dry_share: f64,
}

/// The uncertain figures of one spray.
#[derive(Debug, Clone, Copy)]
pub(super) struct Draw {
    pub(super) discharge_g_s: f64,
    pub(super) exit_speed_m_s: f64,
    pub(super) droplet_um: f64,
    pub(super) spread: f64,
    pub(super) cloud: f64,
}

impl<'c> Spray<'c> {
    /// A sealer sprayed in this air.
    pub fn new(sealer: &'c Sealer, air: &MoistAir, catalog: &'c Catalog) -> Self {
        let contents = Contents::new(&sealer.composition, catalog);
        let shares = contents.at_mode();
        let by_mass: Vec<(&Substance, f64)> =
            contents.volatiles.iter().map(|part| part.substance).zip(shares.volatiles.iter().copied()).collect();
        let discharge_factor = discharge_factor(sealer.delivery, &by_mass, air.temperature_c);
        let liquids: Vec<usize> =
            (0..contents.volatiles.len()).filter(|place| !contents.volatiles[*place].propellant).collect();
        let substances: Vec<&Substance> = liquids.iter().map(|place| contents.volatiles[*place].substance).collect();
        let masses: Vec<f64> = liquids.iter().map(|place| shares.volatiles[*place]).collect();
        let model = &catalog.model;
        let trajectory = Trajectory::new(
            &Mixture::new(&substances, air),
            &masses,
            shares.solids / sealer.solids_density_kg_m3,
            model.spray.dry_droplet_loss.get(),
        );
        let air_density_kg_m3 =
            air.pressure_pa * AIR_MOLAR_MASS_KG_MOL / (GAS_CONSTANT_J_MOL_K * (air.temperature_c + ZERO_CELSIUS_K));
        Self {
            sealer,
            contents,
            shares,
            discharge_factor,
            air_density_kg_m3,
            model,
            liquids,
            trajectory,
            table: OnceLock::new(),
        }
    }

    /// Discharge at 22 °C, g/s: the can in hand's own, if it is known.
    pub fn discharge_at_22c(&self) -> Triple {
        self.sealer.discharge_at_22c_g_s()
    }

    /// Visible half angle of the cone, degrees: the can in hand's own, if it was measured.
    pub fn cone_half_angle_deg(&self) -> Triple {
        self.sealer.can.cone_half_angle_deg.unwrap_or(self.model.spray.cone_half_angle_deg.value)
    }

    /// Share of what arrives at 15 cm that stays: the can in hand's own, if it was measured.
    pub fn transfer_at_15cm(&self) -> Triple {
        self.sealer.can.transfer_at_15cm.unwrap_or(self.model.spray.transfer_at_15cm.value)
    }

    /// Flight time, s, at a distance.
    pub(super) fn flight_s(&self, draw: &Draw, distance_m: f64) -> f64 {
        flight_time_s(distance_m, draw.discharge_g_s * 1e-3, draw.exit_speed_m_s, self.air_density_kg_m3)
    }

    /// Share of each liquid lost in flight, in the order of `self.liquids`.
    pub(super) fn lost(&self, draw: &Draw, distance_m: f64, out: &mut [f64]) {
        let table =
            self.table.get_or_init(|| FlightTable::new(&self.trajectory, self.model.spray.droplet_spread.value));
        table.lost(self.scaled_time(draw, distance_m), draw.spread, out);
    }

    /// Share of the solids that arrives in dry droplets.
    pub(super) fn dry_share(&self, draw: &Draw, distance_m: f64) -> f64 {
        dry_share(&self.trajectory, self.flight_s(draw, distance_m) * draw.cloud, draw.droplet_um, draw.spread)
    }

    /// Flight time × cloud factor / median diameter², s/µm².
    fn scaled_time(&self, draw: &Draw, distance_m: f64) -> f64 {
        self.flight_s(draw, distance_m) * draw.cloud / (draw.droplet_um * draw.droplet_um)
    }

    /// The spray at a distance (m) with every figure most likely.
    pub fn at_mode(&self, distance_m: f64) -> Plume {
        let figures = &self.model.spray;
        let draw = Draw {
            discharge_g_s: self.discharge_at_22c().mode() * self.discharge_factor,
            exit_speed_m_s: figures.exit_speed_m_s.get(),
            droplet_um: figures.droplet_um.get(),
            spread: figures.droplet_spread.get(),
            cloud: figures.cloud_factor.get(),
        };
        let flight_s = self.flight_s(&draw, distance_m);
        let mut of_liquids = vec![0.0; self.liquids.len()];
        cloud_losses(&self.trajectory, self.scaled_time(&draw, distance_m), draw.spread, &mut of_liquids);
        let mut lost = vec![1.0; self.contents.volatiles.len()];
        for (place, share) in self.liquids.iter().zip(&of_liquids) {
            lost[*place] = *share;
        }
        Plume {
            discharge_g_s: draw.discharge_g_s,
            sigma_m: cone::sigma_m(distance_m, self.cone_half_angle_deg().mode()),
            transfer: cone::transfer_efficiency(
                distance_m,
                self.transfer_at_15cm().mode(),
                figures.transfer_length_m.get(),
            ),
            flight_s,
            lost,
            dry_share: self.dry_share(&draw, distance_m),
        }
    }
}
