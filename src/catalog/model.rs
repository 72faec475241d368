//! Uncertain constants of the spray and film models, from `profiles/model.toml`.

use super::figures::figure_table;

figure_table!(
    /// Constants of the can, the flight and the pass.
    SprayFigures {
        /// Visible half angle of the cone, degrees.
        cone_half_angle_deg,
        /// Exit speed of the jet, m/s.
        exit_speed_m_s,
        /// Volume median diameter of the droplets, µm.
        droplet_um,
        /// Geometric standard deviation of the droplet volume distribution.
        droplet_spread,
        /// Share of what arrives at 15 cm that stays on an endless sheet.
        transfer_at_15cm,
        /// Distance over which that share falls by a factor e, m.
        transfer_length_m,
        /// Part of the single-droplet evaporation that happens inside the cloud.
        cloud_factor,
        /// Share of its liquid that a droplet has lost when it counts as arriving dry.
        dry_droplet_loss,
        /// Share of what a data sheet does not declare that counts as resin; the rest counts as water.
        undeclared_resin_share,
        /// Relative variation of the hand's speed (standard deviation of its logarithm).
        hand_speed_variation,
        /// Share of a can's content that can be sprayed.
        usable_share,
    }
);

figure_table!(
    /// Constants of evaporation and drying.
    FilmFigures {
        /// Gas-film coefficient of a vapour of 1e-5 m²/s in still to gently moving air, m/s; sampled log-triangular.
        gas_film_m_s,
        /// Radiative heat coefficient, W/(m² K).
        radiation_w_m2_k,
        /// Heat coefficient to the board under the sheet, W/(m² K).
        back_w_m2_k,
        /// Diffusivity of a solvent in the resin at its glass transition, m²/s; sampled log-triangular.
        diffusivity_at_tg_m2_s,
        /// Coupling of diffusivity to viscosity, 0 to 1.
        diffusivity_coupling,
        /// Flory–Huggins interaction.
        interaction,
        /// How much colder than the air droplets land, K.
        landing_drop_k,
        /// Glass transition of every solvent, K.
        solvent_tg_k,
        /// Glass transition of water, K.
        water_tg_k,
        /// Heat capacity of a liquid solvent, kJ/(kg K).
        liquid_heat_capacity_kj_kg_k,
        /// Heat capacity of paper, kJ/(kg K).
        paper_heat_capacity_kj_kg_k,
    }
);

figure_table!(
    /// How well a person measures, and when a measurement is asked about again.
    MeasureFigures {
        /// Start and end of a burst by the clock, standard deviation, s.
        timing_s,
        /// One burst against the next of the same can, relative standard deviation.
        burst_variation,
        /// Reading the edge of a sprayed spot, standard deviation, cm.
        edge_cm,
        /// Holding a distance, standard deviation, cm.
        distance_cm,
        /// What a card got against what its share of the swept area would get, relative standard deviation.
        card_variation,
        /// Touch-dry by the thumb, relative standard deviation.
        thumb_variation,
        /// How long one coat takes against the next in the same air, relative standard deviation.
        coat_variation,
        /// Step of a clock that shows no seconds, min.
        clock_step_min,
        /// Relative standard deviation from which a reading tells nothing.
        cannot_tell,
        /// Standard deviations from the expected from which a reading is questioned.
        question_at,
    }
);

/// All uncertain model constants.
#[derive(Debug, Clone, PartialEq)]
pub struct ModelFigures {
    /// Can, flight, pass.
    pub spray: SprayFigures,
    /// Evaporation and drying.
    pub film: FilmFigures,
    /// A person with a scale, a ruler and a thumb.
    pub measure: MeasureFigures,
}

impl ModelFigures {
    /// Reads `model.toml`.
    pub(crate) fn read(root: &crate::input::TableReader<'_>) -> Option<Self> {
        let section = |key: &'static str| {
            root.require(key, "{ … }");
            root.table(key)
        };
        let spray = section("spray").and_then(|reader| {
            let figures = SprayFigures::read(&reader);
            reader.finish();
            figures
        });
        let film = section("film").and_then(|reader| {
            let figures = FilmFigures::read(&reader);
            reader.finish();
            figures
        });
        let measure = section("measure").and_then(|reader| {
            let figures = MeasureFigures::read(&reader);
            reader.finish();
            figures
        });
        Some(Self { spray: spray?, film: film?, measure: measure? })
    }
}
