//! The air at the bench, row by row of a forecast.

use crate::catalog::ConditionRules;
use crate::input::{Follows, Forecast, ForecastHour, RoomInput};
use crate::vapour::{MoistAir, saturation_over_liquid_pa};

/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

/// A forecast as it is at the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchWeather {
    /// The air at the bench for each row; `None` where temperature or humidity is missing.
    pub air: Vec<Option<MoistAir>>,
    /// The wind at the bench, m/s; `None` indoors, and where it is not given.
    pub wind_m_s: Vec<Option<f64>>,
    /// Rain on the bench, mm; `None` indoors, and where it is not given.
    pub rain_mm: Vec<Option<f64>>,
    /// Whether the wind is wanted and missing although the forecast has a column of it.
    pub wind_missing: Vec<bool>,
}

impl BenchWeather {
    /// Outdoors the air is the weather's. A heated room keeps its temperature and takes the weather's vapour pressure:
    /// it is aired while someone sprays in it. An unheated one lags: T' = (T_out − T)/τ with the garage lag τ, the
    /// outdoor temperature constant between rows, beginning at the first row's; its vapour pressure is the weather's.
    /// Vapour above saturation condenses on colder things and leaves the air saturated.
    pub fn of(forecast: &Forecast, follows: Follows, room: &RoomInput, rules: &ConditionRules) -> Self {
        let outdoors = follows == Follows::Outdoors;
        let lag_s = rules.garage_lag_h.get() * HOUR_S;
        let mut garage_c: Option<f64> = None;
        let mut before: Option<&ForecastHour> = None;
        let mut air = Vec::with_capacity(forecast.hours.len());
        for hour in &forecast.hours {
            if let (Some(inside), Some(last)) = (garage_c, before)
                && let Some(outside) = last.temperature_c
            {
                let seconds = (hour.at.timestamp().as_second() - last.at.timestamp().as_second()) as f64;
                garage_c = Some(outside + (inside - outside) * libm::exp(-seconds / lag_s));
            }
            garage_c = garage_c.or(hour.temperature_c);
            before = Some(hour);
            let inside_c = match follows {
                Follows::Outdoors => hour.temperature_c,
                Follows::Garage => garage_c.filter(|_| hour.temperature_c.is_some()),
                Follows::Heated => room.temperature_c,
            };
            air.push(bench_air(hour, inside_c, room.pressure_pa));
        }
        let here = |value: fn(&ForecastHour) -> Option<f64>| {
            forecast.hours.iter().map(|hour| value(hour).filter(|_| outdoors)).collect::<Vec<_>>()
        };
        let wind_m_s = here(|hour| hour.wind_m_s);
        let wanted = outdoors && forecast.has_wind;
        let wind_missing = wind_m_s.iter().map(|wind| wanted && wind.is_none()).collect();
        Self { air, rain_mm: here(|hour| hour.rain_mm), wind_m_s, wind_missing }
    }
}

/// The weather's vapour in air of another temperature.
fn bench_air(hour: &ForecastHour, inside_c: Option<f64>, pressure_pa: f64) -> Option<MoistAir> {
    let (outside_c, outside_humidity, temperature_c) = (hour.temperature_c?, hour.relative_humidity?, inside_c?);
    let relative_humidity = if (outside_c - temperature_c).abs() < 1e-12 {
        outside_humidity
    } else {
        (outside_humidity * saturation_over_liquid_pa(outside_c) / saturation_over_liquid_pa(temperature_c)).min(1.0)
    };
    Some(MoistAir { temperature_c, relative_humidity, pressure_pa })
}
