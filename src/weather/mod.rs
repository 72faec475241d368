//! A page against a forecast: from which hours on the whole run of coats, first coat to handle-dry, stays within the
//! rules.
//!
//! [`review`] turns every row of a forecast into the air at the bench ([`BenchWeather`]), holds that against the limits of
//! the conditions, and takes as a start every row after which no row of the whole run is on hold or missing. The run is
//! as long as it would be in the coldest and dampest air allowed, so that no better hour is taken as too short. Only the
//! best starts are planned in full.

mod air;
mod best;
mod document;
mod limits;
mod starts;

pub use air::BenchWeather;
pub use document::{LimitCount, Weather, WeatherHour, WeatherWindow};
pub use limits::{LimitKind, limits_at, strictest_level};

use jiff::ZonedDateTime;

use crate::catalog::{Catalog, Sealer};
use crate::finding::Level;
use crate::input::{Follows, Forecast, RoomInput};
use crate::page::Sheet;
use crate::plan::{Prospect, Request};
use crate::vapour::MoistAir;

/// What a review is asked for.
#[derive(Debug, Clone, Copy)]
pub struct WeatherRequest<'a> {
    /// The page.
    pub sheet: &'a Sheet<'a>,
    /// The sealer; `None` takes the best-ranked one.
    pub sealer: Option<&'a Sealer>,
    /// The room; its temperature counts only where it is heated.
    pub room: &'a RoomInput,
    /// How the room goes with the weather.
    pub follows: Follows,
    /// The forecast.
    pub forecast: &'a Forecast,
    /// Hours of the day, local, within which a run may begin: from the first up to, not including, the second.
    pub between_h: (i8, i8),
    /// The moment the review is made at: nothing begins before it.
    pub now: &'a ZonedDateTime,
    /// Seed of the sampling.
    pub seed: u64,
}

/// Reviews a forecast for a page. The same request gives the same answer.
pub fn review(request: &WeatherRequest<'_>, catalog: &Catalog) -> Weather {
    let conditions = &catalog.rules.conditions;
    // The longest run that the rules allow: the coldest and dampest air.
    let worst = RoomInput {
        temperature_c: match request.follows {
            Follows::Heated => request.room.temperature_c,
            Follows::Outdoors | Follows::Garage => Some(conditions.cold_hold_c.get()),
        },
        relative_humidity: Some(conditions.humidity_hold.get()),
        ..request.room.clone()
    };
    let plan_request = Request {
        sheet: request.sheet,
        sealer: request.sealer,
        room: Some(&worst),
        room_named: true,
        respirator: None,
        start: request.now,
        now: request.now,
        seed: request.seed,
        why: false,
    };
    let prospect = Prospect::of(&plan_request, catalog);
    let bench = BenchWeather::of(request.forecast, request.follows, request.room, conditions);
    let judged = limits::judge(&bench, &prospect, &catalog.rules);
    let page = Readiness::of(request, catalog);
    let earliest = page.ready_at.as_ref().filter(|ready| *ready > request.now).unwrap_or(request.now);
    let starts = starts::starts(request, &judged, prospect.run_min, earliest);
    let windows = best::windows(&starts);
    let planned = best::planned(request, prospect.sealer, &windows, &bench, catalog);
    document::document(request, &page, &prospect, &bench, &judged, &starts, planned, catalog)
}

/// When the page itself is ready.
#[derive(Debug, Clone)]
struct Readiness {
    /// When; `None` while a layer is still to be laid, or if nothing has to dry.
    ready_at: Option<ZonedDateTime>,
    /// Whether every layer is laid.
    all_laid: bool,
}

impl Readiness {
    /// The page waits indoors, in the air that waits are stated for, wherever it is sprayed later.
    fn of(request: &WeatherRequest<'_>, catalog: &Catalog) -> Self {
        let rules = &catalog.rules.ready;
        let indoors = MoistAir {
            temperature_c: rules.reference_temperature_c.get(),
            relative_humidity: rules.reference_humidity.get(),
            pressure_pa: request.room.pressure_pa,
        };
        let review = crate::page::review(request.sheet, catalog, &indoors, request.now);
        Self {
            ready_at: review.ready.ready_at.clone(),
            all_laid: request.sheet.layers.iter().all(|layer| layer.finished.is_some()),
        }
    }
}

/// A start: its level, how far it stays from the nearest limit, and which limit that is.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Start {
    /// The row it begins at.
    row: usize,
    /// The most severe level of its rows.
    level: Level,
    /// The smallest margin of its rows.
    margin: f64,
    /// The limit nearest.
    nearest: LimitKind,
}
