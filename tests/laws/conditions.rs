//! Laws of the air at the bench.

use coatbell::conditions::{BlushIndex, level};
use coatbell::input::LabelInput;
use coatbell::vapour::MoistAir;
use proptest::prelude::*;

use crate::support::CATALOG;

proptest! {
    /// More humid, at the same temperature: never milder.
    #[test]
    fn more_humid_is_never_milder(t in 5.0..40.0_f64, a in 0.05..1.0_f64, b in 0.05..1.0_f64, blush in 0.0..0.1_f64, more in 0.0..0.1_f64) {
        let air = |humidity| MoistAir { temperature_c: t, relative_humidity: humidity, pressure_pa: 101_325.0 };
        let index = |planned| Some(BlushIndex { planned, reference: planned });
        let label = LabelInput::default();
        // The blush index itself never falls with humidity: a law of the film.
        let drier = level(&air(a.min(b)), &label, index(blush), &CATALOG.rules);
        let damper = level(&air(a.max(b)), &label, index(blush + more), &CATALOG.rules);
        prop_assert!(damper >= drier);
    }

    /// A stricter label: never milder.
    #[test]
    fn a_stricter_label_is_never_milder(t in 5.0..40.0_f64, humidity in 0.05..1.0_f64, low in 5.0..25.0_f64, most in 0.3..0.9_f64) {
        let air = MoistAir { temperature_c: t, relative_humidity: humidity, pressure_pa: 101_325.0 };
        let label = LabelInput { min_temperature_c: Some(low), max_humidity: Some(most), ..LabelInput::default() };
        let bare = level(&air, &LabelInput::default(), None, &CATALOG.rules);
        prop_assert!(level(&air, &label, None, &CATALOG.rules) >= bare);
    }
}
