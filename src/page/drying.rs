//! How long a layer waits, here: the profile's figures at 20 °C and 50 %, scaled to the room.

use super::{Laid, Layer};
use crate::catalog::{DryingKind, Family, Rules};
use crate::estimate::Triple;
use crate::input::Laydown;
use crate::vapour::MoistAir;

/// How much longer a wait is in this air than in the reference air.
///
/// Water media: [e_s(T0)(1 − φ0)] / [e_s(T)(1 − φ)], the ratio of the vapour-pressure deficits (e_s saturation
/// pressure, T0 and φ0 the reference), within the rules' bounds; air that takes no water gives the largest. Solvent
/// media: 2^((T0 − T)/step). Dry media: 1. Valid for 5 to 40 °C; an estimate, not a published law.
pub fn wait_factor(drying: DryingKind, air: &MoistAir, rules: &Rules) -> f64 {
    let rules = &rules.ready;
    let reference_c = rules.reference_temperature_c.get();
    match drying {
        DryingKind::Dry => 1.0,
        DryingKind::Solvent => libm::exp2((reference_c - air.temperature_c) / rules.solvent_doubling_k.get()),
        DryingKind::Water => {
            let reference = MoistAir {
                temperature_c: reference_c,
                relative_humidity: rules.reference_humidity.get(),
                pressure_pa: air.pressure_pa,
            };
            let (low, high) = (rules.water_wait_factor_min.get(), rules.water_wait_factor_max.get());
            let deficit = air.deficit_pa();
            if deficit > 0.0 { (reference.deficit_pa() / deficit).clamp(low, high) } else { high }
        }
    }
}

/// How a layer dries.
pub(super) fn drying_of(layer: &Layer<'_>) -> DryingKind {
    match layer.what {
        Laid::Medium(medium, _) => medium.drying,
        Laid::Sealer(sealer) if sealer.family == Family::WaterBorne => DryingKind::Water,
        Laid::Sealer(_) => DryingKind::Solvent,
    }
}

/// Hours before the first spray coat in this air; `None` never. A heavy layer takes the row of thick work where there
/// is one; a fixative or sealer already on waits until it is hard through.
pub(super) fn seal_wait_h(layer: &Layer<'_>, air: &MoistAir, rules: &Rules) -> Option<Triple> {
    let unscaled = match layer.what {
        Laid::Medium(_, technique) => {
            let thick = technique.seal_wait_thick_h.filter(|_| layer.laydown == Laydown::Heavy);
            thick.or(technique.seal_wait_h)?
        }
        Laid::Sealer(sealer) => sealer.full_cure_h,
    };
    Some(unscaled.scaled(wait_factor(drying_of(layer), air, rules)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use approx::assert_relative_eq;

    fn air(temperature_c: f64, relative_humidity: f64) -> MoistAir {
        MoistAir { temperature_c, relative_humidity, pressure_pa: 101_325.0 }
    }

    #[test]
    fn waits_scale_with_the_room() {
        // Worked examples of the design, by hand: 15 °C and 70 % 2.3 times, 25 °C and 40 % 0.61 times.
        let catalog = Catalog::builtin();
        let rules = &catalog.rules;
        assert_relative_eq!(wait_factor(DryingKind::Water, &air(15.0, 0.7), rules), 2.29, epsilon = 0.01);
        assert_relative_eq!(wait_factor(DryingKind::Water, &air(25.0, 0.4), rules), 0.615, epsilon = 0.01);
        assert_relative_eq!(wait_factor(DryingKind::Water, &air(25.0, 1.0), rules), 6.0);
        assert_relative_eq!(wait_factor(DryingKind::Water, &air(35.0, 0.05), rules), 0.4);
        assert_relative_eq!(wait_factor(DryingKind::Solvent, &air(10.0, 0.5), rules), 2.0);
        assert_relative_eq!(wait_factor(DryingKind::Dry, &air(5.0, 0.9), rules), 1.0);
    }
}
