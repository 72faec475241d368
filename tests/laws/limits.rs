//! A limit that is just reached counts, and one that is just missed does not: each limit of the air's table, at its edge.

use coatbell::air::{Assessment, CoatAir, Release, RoomAir, RunAir, Shape, assess};
use coatbell::catalog::{AirRules, Catalog, Component, Figure, SolidKind};
use coatbell::estimate::Triple;
use coatbell::finding::Level;
use coatbell::input::Hardener;

use crate::support::{level_of, room};

/// Coats of acetone, which no cartridge holds, of toluene, which they hold, and of solids, in a small aired room.
fn run() -> RunAir {
    let coat = |number: u32| {
        let start_s = f64::from(number) * 900.0;
        let release = |component: Component, mass_g: f64| {
            let shape = Shape::Steady { duration_s: 60.0 };
            Release { component, mass_g, start_s, shape }
        };
        let substance = |id: &str| Component::Substance(id.into());
        let releases = vec![
            release(substance("acetone"), 4.0),
            release(substance("toluene"), 3.0),
            release(Component::Solid(SolidKind::Resin), 0.5),
        ];
        CoatAir { start_s, end_s: start_s + 60.0, releases }
    };
    let room = room("volume = \"20 m3\"\nair_changes = \"2 /h\"\ntemperature = \"21 C\"\n");
    RunAir {
        room: RoomAir::of(Some(&room), &Catalog::builtin().rules.air),
        coats: (0..3).map(coat).collect(),
        shares: Vec::new(),
        respirator: None,
        hardener: Hardener::None,
        ignition: false,
        relative_humidity: Some(0.5),
    }
}

fn level(assessed: &Assessment, code: &str) -> Option<Level> {
    level_of(&assessed.findings, code)
}

/// A limit: its code, the figure that sets it, the value held against it, and the level from it on and below it.
type Edge = (&'static str, fn(&mut AirRules) -> &mut Figure, fn(&Assessment) -> f64, Level, Option<Level>);

const EDGES: [Edge; 10] = [
    (
        "fire-in-room",
        |rules| &mut rules.room_lel_hold,
        |assessed| assessed.exposure.room_explosive,
        Level::Hold,
        Some(Level::Care),
    ),
    ("fire-in-room", |rules| &mut rules.room_lel_care, |assessed| assessed.exposure.room_explosive, Level::Care, None),
    (
        "fire-at-face",
        |rules| &mut rules.near_lel_hold,
        |assessed| assessed.exposure.near_explosive,
        Level::Hold,
        Some(Level::Care),
    ),
    ("fire-at-face", |rules| &mut rules.near_lel_care, |assessed| assessed.exposure.near_explosive, Level::Care, None),
    ("air-15min", |rules| &mut rules.index_care, |assessed| assessed.exposure.index_15min, Level::Care, None),
    ("air-short-term", |rules| &mut rules.index_care, |assessed| assessed.exposure.index_short_term, Level::Care, None),
    ("air-8h", |rules| &mut rules.index_care, |assessed| assessed.exposure.index_8h, Level::Care, None),
    (
        "mask-does-not-hold",
        |rules| &mut rules.unmasked_hold,
        |assessed| assessed.exposure.index_unmasked_only,
        Level::Hold,
        Some(Level::Care),
    ),
    ("mask-not-enough", |rules| &mut rules.masked_hold, |assessed| assessed.exposure.index_masked, Level::Hold, None),
    ("mist", |rules| &mut rules.mist_mg_m3, |assessed| assessed.exposure.mist_mg_m3, Level::Care, Some(Level::Note)),
];

#[test]
fn every_limit_of_the_air_counts_from_its_edge_on() {
    let run = run();
    for (code, figure, value, from_there, below) in EDGES {
        let mut catalog = Catalog::builtin();
        let reached = value(&assess(&run, &catalog));
        assert!(reached > 0.0, "{code}");
        // Where there is a milder step below, it is made low enough to show.
        catalog.rules.air.room_lel_care.value = Triple::exact(1e-9);
        catalog.rules.air.near_lel_care.value = Triple::exact(1e-9);
        for (edge, expected) in [(reached, Some(from_there)), (reached * (1.0 + 1e-9), below)] {
            let mut at = catalog.clone();
            if code == "mask-does-not-hold" {
                at.rules.air.index_care.value = Triple::exact(1e-9);
            }
            figure(&mut at.rules.air).value = Triple::exact(edge);
            assert_eq!(level(&assess(&run, &at), code), expected, "{code} with its edge at {edge}, reached {reached}");
        }
    }
}

/// The strongest minute a person may be in: reached, it is a hold that names the substance; just missed, nothing.
#[test]
fn what_no_one_may_breathe_counts_from_its_edge_on() {
    let run = run();
    let told = |idlh_ppm: f64| {
        let mut catalog = Catalog::builtin();
        catalog.substances.get_mut("toluene").expect("toluene is built in").limits.idlh_ppm = Some(idlh_ppm);
        let assessed = assess(&run, &catalog);
        let strong = assessed.exposure.acute.iter().find(|(name, ..)| name.to_lowercase().contains("toluene"));
        (strong.map(|(_, ppm, _)| *ppm), level(&assessed, "acute-at-face"))
    };
    let (minute_ppm, hold) = told(1.0);
    let minute_ppm = minute_ppm.expect("more than a part in a million");
    assert_eq!(hold, Some(Level::Hold));
    assert_eq!(told(minute_ppm), (Some(minute_ppm), Some(Level::Hold)));
    assert_eq!(told(minute_ppm * (1.0 + 1e-9)), (None, None));
}

/// Air that does not clear within a day is told, and air that does is not.
#[test]
fn air_that_stays_for_a_day_is_told() {
    let never = |mass_g: f64, rate_per_s: f64| {
        let mut run = run();
        run.coats.truncate(1);
        for release in &mut run.coats[0].releases {
            release.mass_g = mass_g;
            release.shape = Shape::Decaying { rate_per_s };
        }
        let assessed = assess(&run, &Catalog::builtin());
        assert_eq!(level(&assessed, "not-clear-today").is_some(), assessed.after_coats[0].clear_others_min.is_none());
        level(&assessed, "not-clear-today")
    };
    assert_eq!(never(3.0, 0.01), None);
    assert_eq!(never(300.0, 1e-6), Some(Level::Care));
    assert_eq!(never(3e6, 1e-6), Some(Level::Care));
}
