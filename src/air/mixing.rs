//! Closed forms of a well-mixed room and of two zones with a constant source, in the units their sources use.

use super::release::{Sources, Step};
use super::timeline::Timeline;
use super::zone::{Place, Zones};

/// Time to remove a share of what is in the air once nothing more is released, min:
/// t = K ln(1/(1 − removal))/n, n air changes per hour, K mixing factor (1 ideal to 10). Source: CDC 2003, Guidelines
/// for Environmental Infection Control, appendix B, table B.1; CDC 1994, MMWR 43(RR-13), table S3-1.
pub fn purge_time_min(air_changes_per_h: f64, removal: f64, mixing_factor: f64) -> f64 {
    -libm::log1p(-removal) / air_changes_per_h * mixing_factor * 60.0
}

/// Volume fraction in a room after a time with a steady gas source: (q/(n V)) (1 − e^(−n t)). q source m³/h, V room m³,
/// n air changes per hour, t min. Source: mass balance; table of an engineering reference site, see the check file.
pub fn room_fraction_constant_source(source_m3_h: f64, volume_m3: f64, air_changes_per_h: f64, time_min: f64) -> f64 {
    -libm::expm1(-air_changes_per_h * time_min / 60.0) * source_m3_h / (air_changes_per_h * volume_m3)
}

/// Concentration in a room with an exponentially drying film, mg/m³: (M k/(V (n − k))) (e^(−kt) − e^(−nt)), and
/// (M k t/V) e^(−kt) where n = k. M mg, k and n 1/h, V m³, t h. Source: mass balance, checked against an integration.
pub fn room_concentration_decaying_source_mg_m3(
    mass_mg: f64,
    decay_per_h: f64,
    air_changes_per_h: f64,
    volume_m3: f64,
    time_h: f64,
) -> f64 {
    let apart = (air_changes_per_h - decay_per_h).abs();
    let slower = libm::exp(-air_changes_per_h.min(decay_per_h) * time_h);
    let share = if apart * time_h < 1e-12 { time_h } else { -libm::expm1(-apart * time_h) / apart };
    mass_mg * decay_per_h / volume_m3 * slower * share
}

/// A room with a near field and a constant source, from clean air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantSource {
    /// Release, mg/min.
    pub release_mg_min: f64,
    /// Air flow, m³/min.
    pub flow_m3_min: f64,
    /// Exchange between the zones, m³/min.
    pub exchange_m3_min: f64,
    /// Volume of the near field, m³.
    pub near_m3: f64,
    /// Volume of the far field, m³.
    pub far_m3: f64,
}

impl ConstantSource {
    fn at(&self, place: Place, time_min: f64) -> f64 {
        let zones =
            Zones::near_and_far(self.near_m3, self.far_m3, self.exchange_m3_min / 60.0, self.flow_m3_min / 60.0);
        let rate = self.release_mg_min / 60.0;
        let step = Step { from_s: 0.0, to_s: time_min * 60.0 + 1.0, rate };
        Timeline::new(zones, &Sources::from_parts(vec![step], Vec::new())).at(place, time_min * 60.0)
    }
}

/// Near-field concentration after a time of constant release, mg/m³; see [`Zones::near_and_far`].
pub fn two_zone_near_field_mg_m3(source: &ConstantSource, time_min: f64) -> f64 {
    source.at(Place::NearField, time_min)
}

/// Far-field concentration after a time of constant release, mg/m³; see [`Zones::near_and_far`].
pub fn two_zone_far_field_mg_m3(source: &ConstantSource, time_min: f64) -> f64 {
    source.at(Place::Room, time_min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::{assert_abs_diff_eq, assert_relative_eq};

    #[test]
    fn purge_tables() {
        // CDC 2003 appendix B table B.1 and CDC 1994 MMWR 43(RR-13) table S3-1, whole minutes.
        for (ach, removal, minutes) in [
            (2.0, 0.99, 138.0),
            (4.0, 0.99, 69.0),
            (4.0, 0.999, 104.0),
            (6.0, 0.99, 46.0),
            (6.0, 0.999, 69.0),
            (8.0, 0.99, 35.0),
            (8.0, 0.999, 52.0),
            (10.0, 0.99, 28.0),
            (10.0, 0.999, 41.0),
            (12.0, 0.999, 35.0),
            (15.0, 0.999, 28.0),
            (20.0, 0.999, 21.0),
            (50.0, 0.99, 6.0),
            (50.0, 0.999, 8.0),
            (1.0, 0.9, 138.0),
            (3.0, 0.9, 46.0),
            (3.0, 0.99, 92.0),
            (5.0, 0.999, 83.0),
            (16.0, 0.999, 26.0),
            (25.0, 0.999, 17.0),
            (40.0, 0.999, 10.0),
        ] {
            assert!((purge_time_min(ach, removal, 1.0) - minutes).abs() <= 0.5, "{ach} {removal}");
        }
        // Design Guide for Heating, Ventilating and Air Conditioning Systems (rev. 2006), p. 106: 6.65 min.
        assert_relative_eq!(purge_time_min(120.0, 0.93, 5.0), 6.65, max_relative = 0.005);
    }

    #[test]
    fn constant_source_table() {
        // Room pollution concentration table of an engineering reference site (q = 1, V = 1), to a unit of the last place.
        for (ach, minutes, fraction) in
            [(0.5, 80.0, 0.9732), (1.0, 20.0, 0.2835), (1.0, 80.0, 0.7364), (2.0, 40.0, 0.3682), (8.0, 10.0, 0.0921)]
        {
            assert_abs_diff_eq!(room_fraction_constant_source(1.0, 1.0, ach, minutes), fraction, epsilon = 1e-4);
        }
    }

    #[test]
    fn drying_film_against_an_integration() {
        // Independent ODE integration (scipy): 224.0819 mg/m³.
        let got = room_concentration_decaying_source_mg_m3(10_000.0, 4.0, 0.5, 30.0, 1.0);
        assert_relative_eq!(got, 224.0819, max_relative = 0.001);
    }

    #[test]
    fn two_zones_against_an_integration() {
        // Independent Runge–Kutta integration (scipy).
        let quiet = ConstantSource {
            release_mg_min: 100.0,
            flow_m3_min: 0.25,
            exchange_m3_min: 9.42,
            near_m3: 2.09,
            far_m3: 27.91,
        };
        let brisk = ConstantSource {
            release_mg_min: 1000.0,
            flow_m3_min: 2.0,
            exchange_m3_min: 5.0,
            near_m3: 1.0,
            far_m3: 40.0,
        };
        assert_relative_eq!(two_zone_near_field_mg_m3(&quiet, 1.0), 12.44325, max_relative = 1e-3);
        assert_relative_eq!(two_zone_near_field_mg_m3(&quiet, 15.0), 56.34825, max_relative = 1e-3);
        assert_relative_eq!(two_zone_near_field_mg_m3(&brisk, 240.0), 699.99579, max_relative = 1e-3);
        assert_relative_eq!(two_zone_far_field_mg_m3(&quiet, 1.0), 2.64115, max_relative = 1e-3);
        assert_relative_eq!(two_zone_far_field_mg_m3(&quiet, 15.0), 46.38746, max_relative = 1e-3);
        assert_relative_eq!(two_zone_far_field_mg_m3(&brisk, 5.0), 104.43174, max_relative = 1e-3);
    }
}
