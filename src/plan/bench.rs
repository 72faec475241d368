//! What stays the same for every coat of a plan: the room, its air, the sheet as the film feels it.

use super::request::Request;
use crate::air::RoomAir;
use crate::catalog::Catalog;
use crate::conditions::BenchAir;
use crate::estimate::Triple;
use crate::film::{Drier, DryMargins, FilmConstants, SampledBench, SheetThermal};
use crate::input::RoomInput;
use crate::vapour::{MoistAir, band_at_speed};

/// The bench of a plan.
#[derive(Debug, Clone)]
pub(super) struct Bench<'c> {
    /// The catalog.
    pub(super) catalog: &'c Catalog,
    /// The air, and what of it is assumed.
    pub(super) air: BenchAir,
    /// The room as the air review sees it.
    pub(super) room: RoomAir,
    /// The sheet as the film feels it.
    pub(super) thermal: SheetThermal,
    /// Band of the gas-film coefficient at this draught, m/s.
    pub(super) gas_film: Triple,
    /// When a film counts as dry.
    pub(super) margins: DryMargins,
}

impl<'c> Bench<'c> {
    /// The bench of a request.
    pub(super) fn of(request: &Request<'_>, catalog: &'c Catalog) -> Self {
        Self::with(request.room, request.room_named, request.sheet.grammage_g_m2, catalog)
    }

    /// The bench of a room, with a sheet of so many g/m² lying on it.
    pub(super) fn with(
        room_stated: Option<&RoomInput>,
        room_named: bool,
        grammage_g_m2: f64,
        catalog: &'c Catalog,
    ) -> Self {
        let rules = &catalog.rules;
        let room = RoomAir::of(room_stated.filter(|_| room_named), &rules.air);
        let film = &catalog.model.film;
        // The band is stated for gently moving air: that of a room with a window open.
        let stated_speed_m_s = rules.air.random_air_speed_open_m_min.get() / 60.0;
        let gas_film = band_at_speed(film.gas_film_m_s.value, stated_speed_m_s, room.random_air_speed_m_min / 60.0);
        Self {
            catalog,
            air: BenchAir::from_room(room_stated, rules),
            room,
            thermal: thermal(grammage_g_m2, catalog),
            gas_film,
            margins: DryMargins::of(rules),
        }
    }

    /// A drier at the most likely constants, in any air.
    pub(super) fn drier(&self, air: MoistAir) -> Drier<'_> {
        Drier {
            sheet: self.thermal,
            air,
            constants: FilmConstants::at_mode(&self.catalog.model.film, self.gas_film),
            margins: &self.margins,
        }
    }

    /// The bench of the sampled drying.
    pub(super) fn sampled(&self) -> SampledBench<'_> {
        SampledBench {
            sheet: self.thermal,
            air: self.air.air,
            figures: &self.catalog.model.film,
            gas_film: self.gas_film,
            margins: &self.margins,
            blush_floor_g_m2: self.catalog.rules.conditions.blush_solids_floor_g_m2.get(),
        }
    }
}

/// Heat capacity and backing of a sheet: paper by its weight, lying on a board or held in the hand.
fn thermal(grammage_g_m2: f64, catalog: &Catalog) -> SheetThermal {
    let film = &catalog.model.film;
    SheetThermal {
        heat_capacity_j_m2_k: film.paper_heat_capacity_kj_kg_k.get() * grammage_g_m2,
        back_w_m2_k: film.back_w_m2_k.get(),
    }
}
