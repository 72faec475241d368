//! Humid air: saturation pressure, dew point, wet bulb, humidity ratio.

use super::exponential::exp;

/// Ratio of the molar masses of water and dry air.
const MASS_RATIO: f64 = 0.621_945;

/// Magnus coefficients over water (World Meteorological Organization), for the slope of the dew point search only.
const MAGNUS_A: f64 = 17.62;
const MAGNUS_B_C: f64 = 243.12;

/// The air at the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistAir {
    /// Dry-bulb temperature, °C.
    pub temperature_c: f64,
    /// Relative humidity, 0 to 1.
    pub relative_humidity: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
}

impl MoistAir {
    /// Dew point, °C.
    pub fn dew_point_c(&self) -> f64 {
        dew_point_c(self.temperature_c, self.relative_humidity)
    }

    /// How far the air is from saturation, Pa.
    pub fn deficit_pa(&self) -> f64 {
        saturation_pressure_pa(self.temperature_c) * (1.0 - self.relative_humidity)
    }

    /// Partial pressure of water, Pa.
    pub fn vapour_pressure_pa(&self) -> f64 {
        saturation_pressure_pa(self.temperature_c) * self.relative_humidity
    }

    /// The same moisture (dew point) at another temperature; humidity is capped at saturation.
    #[must_use]
    pub fn at_temperature(&self, temperature_c: f64) -> Self {
        let humidity = self.vapour_pressure_pa() / saturation_pressure_pa(temperature_c);
        Self { temperature_c, relative_humidity: humidity.min(1.0), ..*self }
    }
}

/// Saturation pressure of water over liquid (ice below 0 °C), Pa, for −40 to 60 °C.
///
/// Hyland and Wexler 1983 as printed in the ASHRAE Handbook of Fundamentals, chapter 1, equations 5 and 6
/// (coefficients from memory, checked against psychrolib values in the check file).
pub fn saturation_pressure_pa(temperature_c: f64) -> f64 {
    let t = temperature_c + 273.15;
    let log = if temperature_c < 0.01 {
        -5.6745359e3 / t + 6.3925247 - 9.677843e-3 * t + 6.2215701e-7 * t * t + 2.0747825e-9 * t * t * t
            - 9.484024e-13 * t * t * t * t
            + 4.1635019 * libm::log(t)
    } else {
        return saturation_over_liquid_pa(temperature_c);
    };
    exp(log)
}

/// Saturation pressure over liquid water, also below 0 °C, Pa, for −40 to 60 °C: what the relative humidity of a weather
/// service refers to (WMO-No. 8, chapter 4, from memory). Source as [`saturation_pressure_pa`], equation 6.
pub fn saturation_over_liquid_pa(temperature_c: f64) -> f64 {
    let t = temperature_c + 273.15;
    let log = -5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t * t - 1.4452093e-8 * t * t * t
        + 6.5459673 * libm::log(t);
    exp(log)
}

/// Dew point, °C, of air at a temperature (°C) and relative humidity (0 to 1): the temperature at which it would be
/// saturated, by Newton steps on ln [`saturation_pressure_pa`] with the slope of the Magnus formula, which is within a
/// few per cent of the true one: each step leaves that part of the error. Perfectly dry air gives −100 °C.
pub fn dew_point_c(temperature_c: f64, relative_humidity: f64) -> f64 {
    const DRIEST_C: f64 = -100.0;
    let humidity = relative_humidity.clamp(0.0, 1.0);
    if humidity <= 0.0 {
        return DRIEST_C;
    }
    let target = libm::log(saturation_pressure_pa(temperature_c) * humidity);
    let mut dew = temperature_c;
    for _ in 0..24 {
        let slope = MAGNUS_A * MAGNUS_B_C / ((MAGNUS_B_C + dew) * (MAGNUS_B_C + dew));
        let step = (target - libm::log(saturation_pressure_pa(dew))) / slope;
        dew = (dew + step).clamp(DRIEST_C, temperature_c);
        if libm::fabs(step) < 1e-10 {
            break;
        }
    }
    dew
}

/// Humidity ratio, kg water per kg dry air: w = 0.621945 p_w / (p − p_w) (ASHRAE Fundamentals, chapter 1).
pub fn humidity_ratio(air: &MoistAir) -> f64 {
    let water = air.vapour_pressure_pa();
    MASS_RATIO * water / (air.pressure_pa - water)
}

/// Thermodynamic wet-bulb temperature, °C, by bisection on the energy balance of ASHRAE Fundamentals, chapter 1,
/// equations 33 and 35.
pub fn wet_bulb_c(air: &MoistAir) -> f64 {
    let ratio = humidity_ratio(air);
    let t = air.temperature_c;
    let at = |wet: f64| {
        let water = saturation_pressure_pa(wet);
        let saturated = MASS_RATIO * water / (air.pressure_pa - water);
        if wet >= 0.0 {
            ((2501.0 - 2.326 * wet) * saturated - 1.006 * (t - wet)) / (2501.0 + 1.86 * t - 4.186 * wet)
        } else {
            ((2830.0 - 0.24 * wet) * saturated - 1.006 * (t - wet)) / (2830.0 + 1.86 * t - 2.1 * wet)
        }
    };
    bisect(air.dew_point_c(), t, |wet| at(wet) - ratio)
}

/// Root of a rising function between two bounds.
fn bisect(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if rising(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
