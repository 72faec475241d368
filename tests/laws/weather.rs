//! Laws of the hours of a forecast.

use coatbell::catalog::Catalog;
use coatbell::conditions::level;
use coatbell::finding::Level;
use coatbell::input::{Follows, LabelInput};
use coatbell::vapour::MoistAir;
use coatbell::weather::{limits_at, strictest_level};
use proptest::prelude::*;

use crate::reference::weather::{room, starts, year};

#[test]
fn damper_or_windier_weather_never_adds_a_start() {
    let outdoors = Catalog::builtin().room("outdoors").expect("a room").clone();
    let heated = room("volume = \"40 m3\"\nairflow = \"cross-draught\"\ntemperature = \"20 C\"\n");
    for (room, follows) in [(&outdoors, Follows::Outdoors), (&heated, Follows::Heated)] {
        let before = starts(&year(room, follows, |_| ()));
        let damper = starts(&year(room, follows, |forecast| {
            for hour in &mut forecast.hours {
                hour.relative_humidity = hour.relative_humidity.map(|share| (share * 1.1).min(1.0));
            }
        }));
        let windier = starts(&year(room, follows, |forecast| {
            for hour in &mut forecast.hours {
                hour.wind_m_s = hour.wind_m_s.map(|wind| wind + 1.0);
            }
        }));
        assert!(before.len() > 300, "{}", before.len());
        assert!(damper.len() < before.len() && damper.iter().all(|row| before.contains(row)));
        assert!(windier.iter().all(|row| before.contains(row)));
        assert_eq!(windier.len() < before.len(), follows == Follows::Outdoors);
    }
}

proptest! {
    /// The margins say the level that the conditions of a plan say.
    #[test]
    fn margins_and_conditions_agree(
        tenths in -50_i32..450,
        humidity in 0_u32..=100,
        label_c in proptest::option::of(5_i32..30),
        label_humidity in proptest::option::of(40_u32..90),
    ) {
        let rules = Catalog::builtin().rules;
        let air = MoistAir {
            temperature_c: f64::from(tenths) / 10.0,
            relative_humidity: f64::from(humidity) / 100.0,
            pressure_pa: 101_325.0,
        };
        let label = LabelInput {
            min_temperature_c: label_c.map(f64::from),
            max_humidity: label_humidity.map(|percent| f64::from(percent) / 100.0),
            ..LabelInput::default()
        };
        let ours = strictest_level(&limits_at(&air, None, None, &label, &rules));
        let theirs = level(&air, &label, None, &rules);
        prop_assert_eq!(ours, theirs.max(Level::Go));
    }
}
