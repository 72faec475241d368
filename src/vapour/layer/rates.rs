//! How fast each liquid leaves a layer, how fast its temperature changes, and the derivatives of both.

use super::Layer;
use super::matrix::Matrix;
use crate::vapour::exponential::exp;
use crate::vapour::pressure::GAS_CONSTANT_J_MOL_K;
use crate::vapour::surface::BOILING_SHARE;

/// Slope of the universal Williams–Landel–Ferry equation: 17.44 (T − Tg)/(51.6 K + T − Tg) decades (from memory; the
/// constants are quoted in every text on polymers).
const WLF_DECADES: f64 = 17.44;
const WLF_K: f64 = 51.6;

/// One liquid at one moment.
#[derive(Debug, Clone, Copy, Default)]
struct Moment {
    /// Mass, g/m².
    mass: f64,
    /// Share of the liquids by moles.
    moles_share: f64,
    /// Share of the liquids by volume.
    volume_share: f64,
    /// Evaporation relative to what is there, N/m, 1/s.
    evaporation: f64,
    /// Evaporation and diffusion in series, 1/s.
    rate: f64,
    /// Derivative of the evaporation by its own logarithmic vapour pressure at the surface.
    push: f64,
    /// d ln p / dT, 1/K.
    log_slope: f64,
}

/// The physics of a layer with the liquids that are still there.
#[derive(Debug)]
pub(super) struct Rates<'l> {
    layer: &'l Layer,
    /// Places of the liquids that are still there.
    pub(super) active: Vec<usize>,
    moments: Vec<Moment>,
    /// Volume share of the liquids in the whole film.
    liquid_share: f64,
    /// Heat capacity, J/(m² K).
    capacity: f64,
    /// Diffusion time τ, s, and its derivative by temperature over τ.
    delay: f64,
    delay_log_slope: f64,
    /// Glass transition, K, and mass of the film, g/m².
    transition: f64,
    film_mass: f64,
    /// Temperature of the film, K.
    temperature: f64,
    /// Share of the air's pressure that vapour takes far away, per liquid, as ln(1 − share).
    far_logs: Vec<f64>,
    /// k M P/R per liquid, g K/(m² s).
    coefficients: Vec<f64>,
    /// Derivatives of the heat taken along, a buffer.
    heat_row: Vec<f64>,
    /// What each liquid does to the others, a buffer.
    columns: Vec<Column>,
}

/// What more of one liquid, by its logarithm, does to every liquid.
#[derive(Debug, Clone, Copy)]
struct Column {
    /// To the logarithm of the activity, as one of more liquids.
    dilution: f64,
    /// To the logarithm of the activity of those that dissolve the resin, by swelling it.
    swelling: f64,
    /// To the logarithm of the diffusion time.
    softening: f64,
}

impl<'l> Rates<'l> {
    /// The rates of a layer with the liquids of the given places.
    pub(super) fn new(layer: &'l Layer, active: Vec<usize>) -> Self {
        let far_logs = layer.parts.iter().map(|part| libm::log1p(-part.far_pressure_pa / layer.pressure_pa)).collect();
        let coefficients = layer
            .parts
            .iter()
            .map(|part| part.gas_film_m_s * part.molar_mass_g_mol * layer.pressure_pa / GAS_CONSTANT_J_MOL_K)
            .collect();
        Self {
            layer,
            moments: vec![Moment::default(); active.len()],
            active,
            liquid_share: 1.0,
            capacity: 0.0,
            delay: 0.0,
            delay_log_slope: 0.0,
            transition: 0.0,
            film_mass: 0.0,
            temperature: 0.0,
            far_logs,
            coefficients,
            heat_row: Vec::new(),
            columns: Vec::new(),
        }
    }

    /// Masses of the liquids that are still there at the state of the last [`Rates::evaluate`], g/m².
    pub(super) fn masses(&self) -> impl Iterator<Item = f64> {
        self.moments.iter().map(|moment| moment.mass)
    }

    /// Forgets the liquid at a place among those still there.
    pub(super) fn forget(&mut self, place: usize) {
        self.active.remove(place);
        self.moments.pop();
    }

    /// Slope of the unknowns at `state`, into `slope`.
    ///
    /// Activity by Flory–Huggins: a_i = x_i φ exp((1 − φ) + χ (1 − φ)²), x_i share by moles among the liquids, φ
    /// their share by volume in the film; a liquid that does not dissolve the resin has a_i = x_i. Flux by Stefan:
    /// N_i = k_i M_i P/(R T_m) ln((P − p∞)/(P − a_i p_i)), never negative. Diffusion: τ = 4 h²/(π² D), log10 D =
    /// log10 D_g + ξ 17.44 (T − Tg)/(51.6 + T − Tg) above the glass transition, D_g below it (the equation does not
    /// hold there), Tg of the film by Fox: 1/Tg = Σ w_i/Tg_i.
    pub(super) fn evaluate(&mut self, state: &[f64], slope: &mut [f64]) {
        let layer = self.layer;
        let temperature = state[self.active.len()];
        let (mut moles, mut volume, mut mass, mut per_transition) = (0.0, 0.0, 0.0, 0.0);
        self.capacity = layer.dry_heat_capacity_j_m2_k;
        for ((moment, &place), log_mass) in self.moments.iter_mut().zip(&self.active).zip(state) {
            let part = &layer.parts[place];
            moment.mass = exp(*log_mass);
            moment.moles_share = moment.mass / part.molar_mass_g_mol;
            moment.volume_share = moment.mass / part.density_kg_m3;
            moles += moment.moles_share;
            volume += moment.volume_share;
            mass += moment.mass;
            per_transition += moment.mass / part.glass_transition_k;
            self.capacity += moment.mass * part.heat_capacity_j_g_k;
        }
        let (mut dissolved, mut share) = (1.0, 1.0);
        self.delay = 0.0;
        self.delay_log_slope = 0.0;
        if let Some(solids) = &layer.solids {
            share = volume / (volume + solids.mass_g_m2 / solids.density_kg_m3);
            let rest = 1.0 - share;
            dissolved = share * exp(rest + solids.interaction * rest * rest);
            self.film_mass = mass + solids.mass_g_m2;
            self.transition = self.film_mass / (per_transition + solids.mass_g_m2 / solids.glass_transition_k);
            let margin = (temperature - self.transition).max(0.0);
            let decades = WLF_DECADES * solids.diffusivity_coupling * std::f64::consts::LN_10;
            let diffusivity = solids.diffusivity_at_tg_m2_s * exp(decades * margin / (WLF_K + margin));
            let path = solids.path_m;
            self.delay = 4.0 * path * path / (std::f64::consts::PI * std::f64::consts::PI * diffusivity);
            if margin > 0.0 {
                self.delay_log_slope = -decades * WLF_K / ((WLF_K + margin) * (WLF_K + margin));
            }
        }
        self.liquid_share = share;
        self.temperature = temperature;
        let per_mean = 2.0 / (temperature + layer.air_k);
        let mut cooling = 0.0;
        for ((moment, &place), slope) in self.moments.iter_mut().zip(&self.active).zip(slope.iter_mut()) {
            let part = &layer.parts[place];
            moment.moles_share /= moles;
            moment.volume_share /= volume;
            moment.log_slope = part.curve.log_slope_per_k(temperature);
            let activity = if part.dissolves { moment.moles_share * dissolved } else { moment.moles_share };
            let near = activity * part.curve.pressure_pa(temperature) / layer.pressure_pa;
            let boils = near >= BOILING_SHARE;
            let near = near.min(BOILING_SHARE);
            let per_mass = self.coefficients[place] * per_mean / moment.mass;
            let evaporation = per_mass * (self.far_logs[place] - libm::log1p(-near));
            if evaporation > 0.0 {
                moment.evaporation = evaporation;
                moment.push = if boils { 0.0 } else { per_mass * near / (1.0 - near) };
                moment.rate = evaporation / (1.0 + evaporation * self.delay);
            } else {
                moment.evaporation = 0.0;
                moment.push = 0.0;
                moment.rate = 0.0;
            }
            *slope = -moment.rate;
            cooling += moment.mass * moment.rate * part.latent_j_g;
        }
        let last = self.active.len();
        slope[last] = (layer.heat_w_m2_k * (layer.air_k - temperature) - cooling) / self.capacity;
    }

    /// Derivatives of the slope by the unknowns, at the state of the last [`Rates::evaluate`], whose temperature
    /// slope is handed in.
    pub(super) fn derivatives(&mut self, temperature_slope: f64, jacobian: &mut Matrix) {
        let layer = self.layer;
        let count = self.active.len();
        jacobian.reset(count + 1);
        let rest = 1.0 - self.liquid_share;
        let interaction = layer.solids.as_ref().map_or(0.0, |solids| solids.interaction);
        // d ln(dissolved) / d ln(volume of the liquids).
        let swell = rest * rest * (1.0 - 2.0 * interaction * self.liquid_share);
        let per_mean = 1.0 / (self.temperature + layer.air_k);
        self.heat_row.clear();
        self.heat_row.resize(count + 1, 0.0);
        let heat_row = &mut self.heat_row;
        // What one liquid does to the activity of all, and to the diffusion, is the same for every row.
        self.columns.clear();
        let softens = self.delay_log_slope != 0.0;
        self.columns.extend(self.moments.iter().zip(&self.active).map(|(moment, &place)| {
            let transition = layer.parts[place].glass_transition_k;
            let softening = if softens {
                let by_mass = self.transition * moment.mass / self.film_mass * (1.0 - self.transition / transition);
                self.delay_log_slope * by_mass
            } else {
                0.0
            };
            Column { dilution: -moment.moles_share, swelling: swell * moment.volume_share, softening }
        }));
        for (i, (moment, &place)) in self.moments.iter().zip(&self.active).enumerate() {
            let part = &layer.parts[place];
            let damping = 1.0 / (1.0 + moment.evaporation * self.delay);
            let direct = damping * damping;
            let delayed = moment.rate * moment.rate * self.delay;
            let heat = moment.mass * part.latent_j_g;
            let (pushed, dissolves) = (direct * moment.push, if part.dissolves { 1.0 } else { 0.0 });
            let row = jacobian.row_mut(i);
            let entries = row.iter_mut().zip(heat_row.iter_mut());
            for ((entry, heat_entry), column) in entries.zip(&self.columns) {
                let rate = pushed * (column.dilution + dissolves * column.swelling) + delayed * column.softening;
                *entry = -rate;
                *heat_entry += heat * rate;
            }
            let own = direct * (moment.push - moment.evaporation);
            row[i] -= own;
            heat_row[i] += heat * (own + moment.rate);
            let evaporation = moment.push * moment.log_slope - moment.evaporation * per_mean;
            let rate = evaporation * direct - delayed * self.delay_log_slope;
            row[count] = -rate;
            heat_row[count] += heat * rate;
        }
        let row = jacobian.row_mut(count);
        for (j, (moment, &place)) in self.moments.iter().zip(&self.active).enumerate() {
            let capacity = moment.mass * layer.parts[place].heat_capacity_j_g_k;
            row[j] = -(heat_row[j] + temperature_slope * capacity) / self.capacity;
        }
        row[count] = -(heat_row[count] + layer.heat_w_m2_k) / self.capacity;
    }

    /// How much more heat the layer gives off per kelvin it is warmer: to the surroundings and by faster evaporation,
    /// W/(m² K), at the state of the last [`Rates::evaluate`].
    pub(super) fn stiffness_w_m2_k(&self) -> f64 {
        let latent: f64 = self
            .moments
            .iter()
            .zip(&self.active)
            .map(|(moment, &place)| {
                let damping = 1.0 / (1.0 + moment.evaporation * self.delay);
                moment.mass * self.layer.parts[place].latent_j_g * moment.push * moment.log_slope * damping * damping
            })
            .sum();
        self.layer.heat_w_m2_k + latent
    }

    /// Heat capacity at the state of the last [`Rates::evaluate`], J/(m² K).
    pub(super) fn capacity_j_m2_k(&self) -> f64 {
        self.capacity
    }
}
