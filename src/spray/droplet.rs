//! A droplet on its way: which of its liquids leave, and how fast.

use crate::catalog::{SolventClass, Substance};
use crate::vapour::{GAS_CONSTANT_J_MOL_K, MoistAir, VapourCurve, ZERO_CELSIUS_K};

/// Specific heat of air, J/(kg K) (handbooks).
const AIR_HEAT_J_KG_K: f64 = 1006.0;

/// Molar mass of dry air, g/mol (handbooks).
const AIR_MOLAR_MASS_G_MOL: f64 = 28.966;

/// Temperature and pressure at which diffusivities are given, K and Pa.
const DIFFUSIVITY_REFERENCE_K: f64 = 298.15;
const DIFFUSIVITY_REFERENCE_PA: f64 = 101_325.0;

/// How far below the air a droplet is looked for, K: pure acetone at 60 °C falls by 62 K.
const DEEPEST_K: f64 = 95.0;

/// Largest mass share of vapour at the surface: keeps the transfer number finite above a boiling point.
const FULLEST_VAPOUR: f64 = 0.98;

/// Slowest evaporation that is told from none, µm²/s.
const SLOWEST_UM2_S: f64 = 1e-3;

/// One liquid of a droplet.
#[derive(Debug, Clone, Copy)]
struct Liquid {
    curve: VapourCurve,
    molar_mass_g_mol: f64,
    density_kg_m3: f64,
    latent_j_kg: f64,
    diffusivity_m2_s: f64,
    /// Its vapour in the air already, Pa.
    in_the_air_pa: f64,
}

/// A droplet's liquids in the air they fly through.
#[derive(Debug, Clone)]
pub struct Mixture {
    liquids: Vec<Liquid>,
    temperature_k: f64,
    pressure_pa: f64,
}

/// How a droplet of one composition evaporates at its wet-bulb temperature.
#[derive(Debug, Clone)]
pub(super) struct Evaporating {
    temperature_k: f64,
    constant_um2_s: f64,
    /// Share of each liquid in the mass that leaves.
    leaving: Vec<f64>,
}

impl Mixture {
    /// Liquids in the air at the bench.
    pub fn new(substances: &[&Substance], air: &MoistAir) -> Self {
        let liquids = substances
            .iter()
            .map(|substance| Liquid {
                curve: VapourCurve::of(substance),
                molar_mass_g_mol: substance.molar_mass_g_mol,
                density_kg_m3: substance.density_kg_m3,
                latent_j_kg: substance.heat_of_vaporisation_kj_mol * 1e6 / substance.molar_mass_g_mol,
                diffusivity_m2_s: substance.diffusivity_m2_s,
                in_the_air_pa: if substance.class == SolventClass::Water { air.vapour_pressure_pa() } else { 0.0 },
            })
            .collect();
        Self { liquids, temperature_k: air.temperature_c + ZERO_CELSIUS_K, pressure_pa: air.pressure_pa }
    }

    /// Transfer number at a droplet temperature, its excess over the heat balance, and what leaves.
    fn balance(&self, moles: &[f64], temperature_k: f64, leaving: &mut [f64]) -> (f64, f64) {
        let total: f64 = moles.iter().sum();
        let (mut at_surface, mut away, mut pressure) = (0.0, 0.0, 0.0);
        for ((liquid, mole), out) in self.liquids.iter().zip(moles).zip(leaving.iter_mut()) {
            let partial = mole / total * liquid.curve.pressure_pa(temperature_k);
            pressure += partial;
            at_surface += partial * liquid.molar_mass_g_mol;
            away += liquid.in_the_air_pa * liquid.molar_mass_g_mol;
            let driving = (partial - liquid.in_the_air_pa).max(0.0);
            *out = if *mole > 0.0 { driving * liquid.molar_mass_g_mol } else { 0.0 };
        }
        let dry = (self.pressure_pa - pressure).max(0.0) * AIR_MOLAR_MASS_G_MOL;
        let surface_share = (at_surface / (at_surface + dry)).min(FULLEST_VAPOUR);
        let away_share = away / (self.pressure_pa * AIR_MOLAR_MASS_G_MOL);
        let sum: f64 = leaving.iter().sum();
        if sum <= 0.0 {
            return (0.0, -1.0);
        }
        let mut latent = 0.0;
        for (liquid, out) in self.liquids.iter().zip(leaving.iter_mut()) {
            *out /= sum;
            latent += *out * liquid.latent_j_kg;
        }
        let by_mass = (surface_share - away_share) / (1.0 - surface_share);
        let by_heat = AIR_HEAT_J_KG_K * (self.temperature_k - temperature_k) / latent;
        (by_mass, by_mass - by_heat)
    }

    /// Wet-bulb state of a droplet: the temperature at which the heat that arrives carries off what evaporates
    /// (transfer numbers of mass and heat equal, Lewis number one), by a bracketed secant. `warmer_than_k` is a
    /// temperature the droplet is known not to be below.
    pub(super) fn wet_bulb(&self, moles: &[f64], warmer_than_k: f64) -> Evaporating {
        let mut leaving = vec![0.0; moles.len()];
        let mut low = (self.temperature_k - DEEPEST_K).max(warmer_than_k - 1.0);
        let mut high = self.temperature_k;
        let mut at_low = self.balance(moles, low, &mut leaving).1;
        let mut at_high = self.balance(moles, high, &mut leaving).1;
        let mut middle = high;
        for _ in 0..60 {
            if at_low >= 0.0 || at_high <= 0.0 {
                middle = if at_low >= 0.0 { low } else { high };
                break;
            }
            middle = (low * at_high - high * at_low) / (at_high - at_low);
            let value = self.balance(moles, middle, &mut leaving).1;
            if libm::fabs(value) < 1e-7 || high - low < 1e-4 {
                break;
            }
            if value > 0.0 {
                (high, at_high, at_low) = (middle, value, at_low * 0.5);
            } else {
                (low, at_low, at_high) = (middle, value, at_high * 0.5);
            }
        }
        let transfer = self.balance(moles, middle, &mut leaving).0;
        Evaporating { temperature_k: middle, constant_um2_s: self.constant(middle, transfer, &leaving), leaving }
    }

    /// `K = 8 ρ_g D_v ln(1 + B) / ρ_l`, µm²/s, gas properties at the mean of droplet and air; `D_v` grows as `T^1.75/P`
    /// (Fuller's method).
    fn constant(&self, droplet_k: f64, transfer: f64, leaving: &[f64]) -> f64 {
        let mean_k = f64::midpoint(droplet_k, self.temperature_k);
        let gas_density = self.pressure_pa * AIR_MOLAR_MASS_G_MOL * 1e-3 / (GAS_CONSTANT_J_MOL_K * mean_k);
        let (mut diffusivity, mut volume) = (0.0, 0.0);
        for (liquid, share) in self.liquids.iter().zip(leaving) {
            diffusivity += share * liquid.diffusivity_m2_s;
            volume += share / liquid.density_kg_m3;
        }
        let here = diffusivity
            * libm::pow(mean_k / DIFFUSIVITY_REFERENCE_K, 1.75)
            * (DIFFUSIVITY_REFERENCE_PA / self.pressure_pa);
        (8.0 * gas_density * here * libm::log1p(transfer.max(0.0)) * volume * 1e12).max(SLOWEST_UM2_S)
    }
}

/// Evaporation constant of a droplet of one pure liquid in still air, µm²/s: `D² = D0² − K t` with
/// `K = 8 ρ_g D_v ln(1 + B)/ρ_l` at the wet-bulb temperature of the droplet (the d² law of Godsave and Spalding, 1953).
///
/// Range 5 to 40 °C. Acetone at 22 °C about 8500 with the droplet at −17 °C; water in dry air 1450.
///
/// The Lewis number is taken as one. With the conductivity of air and the diffusivity of the vapour kept apart (same law,
/// air of a property library) acetone comes to 13 500, toluene to 5300 (here 3400), ethanol to 4800 (3500), water in dry
/// air to 1330: solvents really dry faster on the way than this says, water a little slower. The model's cloud factor
/// was set with the figures as they are.
pub fn evaporation_constant_um2_s(substance: &Substance, air: &MoistAir) -> f64 {
    Mixture::new(&[substance], air).wet_bulb(&[1.0], 0.0).constant_um2_s
}

/// How a droplet of several liquids and a solid shrinks: differential distillation at the wet-bulb temperature of what
/// is left.
///
/// Time is scaled by the square of the first diameter, so that one course serves every size: `τ = t/D0²`, s/µm².
#[derive(Debug, Clone)]
pub struct Trajectory {
    /// τ at each point, from nought, rising.
    pub(super) scaled_time: Vec<f64>,
    /// Share of each liquid still there at each point, point by point.
    pub(super) remaining: Vec<f64>,
    /// Number of liquids.
    pub(super) liquids: usize,
    /// τ at which the droplet has lost the share of its liquid from which it counts as dry.
    pub(super) dry_after: f64,
}

/// Largest part of the first liquid mass that one step removes.
const STEP_OF_ALL: f64 = 0.02;
/// Largest part of any one liquid that one step removes.
const STEP_OF_ONE: f64 = 0.4;
/// What is left, as a part of the first liquid mass, when the droplet counts as gone.
const REST: f64 = 2e-3;

impl Trajectory {
    /// The course of a droplet with these liquid masses and volume of solids.
    ///
    /// `masses` are kg of each liquid (any scale), `solids_volume_m3` the solids' volume at the same scale, `dry_loss`
    /// the share of the liquid mass whose loss makes a droplet dry. From `dV/dt = −(π/4) D K`, V the whole droplet:
    /// `dτ = −dV/V0 / (1.5 (V/V0)^⅓ K)`.
    pub fn new(mixture: &Mixture, masses: &[f64], solids_volume_m3: f64, dry_loss: f64) -> Self {
        let count = masses.len();
        let first: f64 = masses.iter().sum();
        let mut left = masses.to_vec();
        let (mut scaled_time, mut remaining) = (vec![0.0], vec![1.0; count]);
        let mut dry_after = f64::INFINITY;
        if first <= 0.0 {
            return Self { scaled_time, remaining, liquids: count, dry_after };
        }
        let volume_of = |left: &[f64]| -> f64 {
            solids_volume_m3
                + mixture.liquids.iter().zip(left).map(|(liquid, mass)| mass / liquid.density_kg_m3).sum::<f64>()
        };
        let volume_at_first = volume_of(masses);
        let (mut time, mut coldest) = (0.0, 0.0);
        let mut moles = vec![0.0; count];
        loop {
            let total: f64 = left.iter().sum();
            let gone = total <= REST * first;
            for ((mole, mass), liquid) in moles.iter_mut().zip(&left).zip(&mixture.liquids) {
                *mole = mass / liquid.molar_mass_g_mol;
            }
            let state = mixture.wet_bulb(&moles, coldest);
            coldest = state.temperature_k;
            if state.leaving.iter().all(|leaving| *leaving <= 0.0) {
                // Water in saturated air: what is left stays.
                return Self { scaled_time, remaining, liquids: count, dry_after };
            }
            let mut step = if gone { total } else { (STEP_OF_ALL * first).min(total) };
            for (mass, leaving) in left.iter().zip(&state.leaving) {
                if !gone && *leaving > 0.0 && *mass > REST * REST * first {
                    step = step.min(STEP_OF_ONE * mass / leaving);
                }
            }
            let before = volume_of(&left);
            for (mass, leaving) in left.iter_mut().zip(&state.leaving) {
                *mass = if gone { 0.0 } else { (*mass - step * leaving).max(0.0) };
            }
            let after = volume_of(&left);
            let diameter = libm::cbrt(f64::midpoint(before, after) / volume_at_first);
            let passed = (before - after) / volume_at_first / (1.5 * diameter * state.constant_um2_s);
            let lost_before = 1.0 - total / first;
            let lost_after = 1.0 - left.iter().sum::<f64>() / first;
            if dry_after.is_infinite() && lost_after >= dry_loss {
                let part =
                    ((dry_loss - lost_before) / (lost_after - lost_before).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
                dry_after = time + part * passed;
            }
            time += passed;
            scaled_time.push(time);
            remaining.extend(left.iter().zip(masses).map(|(now, then)| if *then > 0.0 { now / then } else { 0.0 }));
            if gone {
                return Self { scaled_time, remaining, liquids: count, dry_after };
            }
        }
    }

    /// Share of each liquid lost by a scaled time, by linear interpolation, added to `out` with a weight.
    pub(super) fn add_lost(&self, scaled_time: f64, weight: f64, out: &mut [f64]) {
        let next = self.scaled_time.partition_point(|time| *time <= scaled_time);
        let row = |point: usize| &self.remaining[point * self.liquids..(point + 1) * self.liquids];
        if next == self.scaled_time.len() {
            for (out, left) in out.iter_mut().zip(row(next - 1)) {
                *out += weight * (1.0 - left);
            }
            return;
        }
        let (from, until) = (self.scaled_time[next - 1], self.scaled_time[next]);
        let part = (scaled_time - from) / (until - from);
        for ((out, before), after) in out.iter_mut().zip(row(next - 1)).zip(row(next)) {
            *out += weight * (1.0 - before - part * (after - before));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vapour::samples::substance;

    #[test]
    fn thin_air_dries_a_droplet_sooner() {
        // ρ D of a gas does not hang on its pressure, so that only the transfer number is left, which rises as the air
        // gets thinner: by hand for water at 20 °C in dry air, p/P from 0.0072 to 0.0092 at the wet bulb.
        let at = |pressure_pa: f64| {
            let air = MoistAir { temperature_c: 20.0, relative_humidity: 0.0, pressure_pa };
            evaporation_constant_um2_s(&substance("water"), &air)
        };
        let ratio = at(80_000.0) / at(101_325.0);
        assert!((1.0..101_325.0 / 80_000.0).contains(&ratio), "{ratio}");
    }

    #[test]
    fn what_leaves_is_shared_by_pressure_and_weight() {
        // Raoult's law: of two liquids in dry air the masses that leave are as x p M.
        let (fast, slow) = (substance("acetone"), substance("n-butyl-acetate"));
        let air = MoistAir { temperature_c: 22.0, relative_humidity: 0.0, pressure_pa: 101_325.0 };
        let state = Mixture::new(&[&fast, &slow], &air).wet_bulb(&[2.0, 3.0], 0.0);
        let weight = |substance: &Substance, moles: f64| {
            moles * VapourCurve::of(substance).pressure_pa(state.temperature_k) * substance.molar_mass_g_mol
        };
        let ratio = state.leaving[0] / state.leaving[1];
        assert!((ratio / (weight(&fast, 2.0) / weight(&slow, 3.0)) - 1.0).abs() < 1e-9, "{ratio}");
        assert!((state.leaving.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }
}
