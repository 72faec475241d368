//! One coat drying.

use super::release::ReleaseCurve;
use super::transition::Threshold;
use super::{DryMargins, FilmConstants, Landed, SheetThermal};
use crate::catalog::SolventClass;
use crate::vapour::{
    Condensing, Layer, LayerPart, LayerSolids, MoistAir, Step, StopReason, VapourCurve, ZERO_CELSIUS_K, evaporate,
    gas_film_m_s, lewis_heat_w_m2_k,
};

/// Heat capacity of liquid water, J/(g K) (standard tables).
const WATER_HEAT_CAPACITY_J_G_K: f64 = 4.2;

/// How long a coat is followed, s: a week. Later the model has nothing to say.
pub const WATCHED_S: f64 = 604_800.0;

/// How one coat dries, as far as it decides about coats and blush.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingTimes {
    /// Touch-dry after, s; `None` if not within [`WATCHED_S`].
    pub touch_s: Option<f64>,
    /// Fit to be handled or recoated after, s; `None` if not within [`WATCHED_S`].
    pub handle_s: Option<f64>,
    /// Most water that settled on the film at once, g/m².
    pub peak_condensed_g_m2: f64,
    /// Coldest the film got, °C.
    pub coldest_film_c: f64,
}

/// How one coat dries, with what it gives to the air.
#[derive(Debug, Clone, PartialEq)]
pub struct Drying<'c> {
    /// Times and condensed water.
    pub times: DryingTimes,
    /// What is left of each substance over time.
    pub released: ReleaseCurve<'c>,
}

/// A coat on its sheet in its air.
#[derive(Debug, Clone, Copy)]
pub struct Drier<'a> {
    /// The sheet.
    pub sheet: SheetThermal,
    /// The air.
    pub air: MoistAir,
    /// The constants.
    pub constants: FilmConstants,
    /// When it counts as dry.
    pub margins: &'a DryMargins,
}

impl Drier<'_> {
    /// Follows a coat until it can be handled.
    ///
    /// `below_dry_um` is the dry film of earlier coats, through which solvent diffuses as well. Touch-dry and handle are
    /// the moments when the film's own glass transition (Fox) has risen to within the margins of a fixed temperature.
    /// Valid for resins that set by losing solvent, at 5 to 40 °C.
    pub fn times(&self, landed: &Landed<'_>, below_dry_um: f64) -> DryingTimes {
        self.follow(landed, below_dry_um, |_, handled| !handled).0
    }

    /// Whether a coat can be handled within a time, s: the same as by [`Drier::times`], but the film is not followed for
    /// longer.
    pub fn handled_within(&self, landed: &Landed<'_>, below_dry_um: f64, seconds: f64) -> bool {
        let more = |step: &Step<'_>, handled: bool| !handled && step.begin_s + step.length_s < seconds;
        self.follow(landed, below_dry_um, more).0.handle_s.is_some_and(|handled| handled <= seconds)
    }

    /// Most water that settles on a coat at once, g/m²: the same as of [`Drier::times`], but the film is followed only
    /// until it warms again with nothing settling on it any more. It never cools a second time: what evaporates fastest
    /// goes first.
    pub fn condensed_g_m2(&self, landed: &Landed<'_>, below_dry_um: f64) -> f64 {
        let cooling = |step: &Step<'_>, _| step.temperature_k(1.0) <= step.temperature_k(0.0);
        self.follow(landed, below_dry_um, cooling).0.peak_condensed_g_m2
    }

    /// Follows a coat until its solvent has gone, or for a week.
    pub fn dry<'c>(&self, landed: &Landed<'c>, below_dry_um: f64) -> Drying<'c> {
        let substances = landed.parts.iter().map(|part| part.substance.id.as_str()).collect();
        let laid: Vec<f64> = landed.parts.iter().map(|part| part.mass_g_m2.max(0.0)).collect();
        let mut left = laid.clone();
        let mut released = ReleaseCurve::new(substances, laid);
        let (times, end_s, at_end) = self.follow(landed, below_dry_um, |step, _| {
            left.fill(0.0);
            for (place, mass) in step.masses(1.0) {
                left[place] = mass;
            }
            released.add(step.begin_s + step.length_s, &left, false);
            true
        });
        released.add(end_s, &at_end, true);
        Drying { times, released }
    }

    /// What is left of each liquid after a time, g/m², in the order they landed.
    pub fn masses_g_m2(&self, landed: &Landed<'_>, below_dry_um: f64, seconds: f64) -> Vec<f64> {
        evaporate(&self.layer(landed, below_dry_um), seconds, |_| true).masses_g_m2
    }

    /// Runs the layer; `more` says after each step, knowing whether the film can be handled, if it shall go on.
    /// Returns the times, the end and what is left then.
    fn follow(
        &self,
        landed: &Landed<'_>,
        below_dry_um: f64,
        mut more: impl FnMut(&Step<'_>, bool) -> bool,
    ) -> (DryingTimes, f64, Vec<f64>) {
        let layer = self.layer(landed, below_dry_um);
        let mut condensing = Condensing::new(&self.air, self.constants.gas_film_m_s, layer.start_k);
        let target = |margin_k: f64| {
            let transitions = layer.parts.iter().map(|part| part.glass_transition_k);
            let threshold = self.margins.reference_k - margin_k;
            Threshold::new(threshold, transitions, landed.solids_g_m2.max(0.0), landed.resin_tg_k)
        };
        let mut touch = Crossing::new(target(self.margins.touch_k), &layer);
        let mut handle = Crossing::new(target(self.margins.handle_k), &layer);
        let run = evaporate(&layer, WATCHED_S, |step| {
            condensing.watch(step);
            touch.watch(step);
            handle.watch(step);
            more(step, handle.at_s.is_some()) || condensing.is_settling()
        });
        let bare_end = (layer.solids.is_none() && run.reason == StopReason::Dry).then_some(run.seconds);
        let times = DryingTimes {
            touch_s: touch.at_s.or(bare_end),
            handle_s: handle.at_s.or(bare_end),
            peak_condensed_g_m2: condensing.peak_g_m2(),
            coldest_film_c: condensing.coldest_k() - ZERO_CELSIUS_K,
        };
        (times, run.seconds, run.masses_g_m2)
    }

    /// The coat as an evaporating layer.
    ///
    /// Water does not dissolve the resin. Where it is the smaller part of the liquid its cooling is left out, so that
    /// drier air never dries a film later for being colder; where it is the larger part it cools as a wash does.
    fn layer(&self, landed: &Landed<'_>, below_dry_um: f64) -> Layer {
        let constants = &self.constants;
        let air_k = self.air.temperature_c + ZERO_CELSIUS_K;
        let liquid: f64 = landed.parts.iter().map(|part| part.mass_g_m2).sum();
        let water: f64 = landed
            .parts
            .iter()
            .filter(|part| part.substance.class == SolventClass::Water)
            .map(|part| part.mass_g_m2)
            .sum();
        let water_cools = water > 0.5 * liquid;
        let parts: Vec<LayerPart> = landed
            .parts
            .iter()
            .map(|part| {
                let substance = part.substance;
                let is_water = substance.class == SolventClass::Water;
                let curve = VapourCurve::of(substance);
                let latent_j_g = substance.heat_of_vaporisation_kj_mol * 1000.0 / substance.molar_mass_g_mol;
                LayerPart {
                    mass_g_m2: part.mass_g_m2,
                    molar_mass_g_mol: substance.molar_mass_g_mol,
                    curve,
                    gas_film_m_s: gas_film_m_s(constants.gas_film_m_s, substance.diffusivity_m2_s),
                    latent_j_g: if is_water && !water_cools { 0.0 } else { latent_j_g },
                    density_kg_m3: substance.density_kg_m3,
                    glass_transition_k: if is_water { constants.water_tg_k } else { constants.solvent_tg_k },
                    heat_capacity_j_g_k: if is_water {
                        WATER_HEAT_CAPACITY_J_G_K
                    } else {
                        constants.liquid_heat_capacity_j_g_k
                    },
                    far_pressure_pa: if is_water { curve.pressure_pa(air_k) * self.air.relative_humidity } else { 0.0 },
                    dissolves: !is_water,
                }
            })
            .collect();
        let solids = (landed.solids_g_m2 > 0.0).then(|| LayerSolids {
            mass_g_m2: landed.solids_g_m2,
            density_kg_m3: landed.solids_density_kg_m3,
            glass_transition_k: landed.resin_tg_k,
            interaction: constants.interaction,
            path_m: (below_dry_um + landed.dry_um()) * 1e-6,
            diffusivity_at_tg_m2_s: constants.diffusivity_at_tg_m2_s,
            diffusivity_coupling: constants.diffusivity_coupling,
        });
        let solids_capacity = landed.solids_g_m2.max(0.0) * constants.liquid_heat_capacity_j_g_k;
        let landed_capacity =
            parts.iter().map(|part| part.mass_g_m2 * part.heat_capacity_j_g_k).sum::<f64>() + solids_capacity;
        let sheet = self.sheet.heat_capacity_j_m2_k;
        Layer {
            parts,
            solids,
            dry_heat_capacity_j_m2_k: sheet + solids_capacity,
            heat_w_m2_k: lewis_heat_w_m2_k(constants.gas_film_m_s, self.air.temperature_c, self.air.pressure_pa)
                + constants.radiation_w_m2_k
                + self.sheet.back_w_m2_k,
            start_k: air_k - constants.landing_drop_k * landed_capacity / (landed_capacity + sheet),
            air_k,
            pressure_pa: self.air.pressure_pa,
        }
    }
}

/// The moment a film crosses a threshold, found inside the step by bisection.
struct Crossing {
    threshold: Threshold,
    at_s: Option<f64>,
}

impl Crossing {
    /// A film that lands beyond the threshold crosses it at once.
    fn new(threshold: Threshold, layer: &Layer) -> Self {
        let start = threshold.softness(layer.parts.iter().map(|part| part.mass_g_m2).enumerate());
        Self { at_s: (layer.solids.is_some() && start <= 0.0).then_some(0.0), threshold }
    }

    fn watch(&mut self, step: &Step<'_>) {
        if self.at_s.is_some() || self.threshold.softness(step.masses(1.0)) > 0.0 {
            return;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..14 {
            let middle = f64::midpoint(low, high);
            if self.threshold.softness(step.masses(middle)) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.at_s = Some(step.begin_s + step.length_s * high);
    }
}
