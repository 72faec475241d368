//! What the air at the bench is warned of: fire, what is breathed, what a mask does and does not hold.

use coatbell::air::{CoatAir, Release, RespiratorKind, RoomAir, RunAir, Shape, assess, review};
use coatbell::catalog::{Component, Part, SolidKind};
use coatbell::estimate::{Basis, Grounds, Triple};
use coatbell::finding::{Finding, Level};
use coatbell::input::Hardener;

use super::{Warning, seen_and_missed};
use crate::support::{CATALOG, room};

/// A small room with a window open, and the open air in a breeze.
const ROOM: &str = "volume = \"20 m3\"\nair_changes = \"3 /h\"\ntemperature = \"21 C\"\nhumidity = \"50 %\"\n";
const GARDEN: &str = "airflow = \"outdoors\"\nwind = \"2 m/s\"\ntemperature = \"21 C\"\nhumidity = \"50 %\"\n";

fn substance(id: &str) -> Component {
    Component::Substance(id.to_owned())
}

fn resin() -> Component {
    Component::Solid(SolidKind::Resin)
}

fn unknown() -> Component {
    Component::Unknown { cas: "9999-99-9".to_owned() }
}

/// One coat of a minute that gives so many grams of each.
fn run(keys: &str, released: Vec<(Component, f64)>) -> RunAir {
    let release =
        |(component, mass_g)| Release { component, mass_g, start_s: 0.0, shape: Shape::Steady { duration_s: 60.0 } };
    RunAir {
        room: RoomAir::of(Some(&room(keys)), &CATALOG.rules.air),
        coats: vec![CoatAir { start_s: 0.0, end_s: 60.0, releases: released.into_iter().map(release).collect() }],
        shares: Vec::new(),
        respirator: None,
        hardener: Hardener::None,
        ignition: false,
        relative_humidity: Some(0.5),
    }
}

fn told(run: &RunAir) -> Vec<Finding> {
    assess(run, &CATALOG).findings
}

fn of(keys: &str, component: Component, mass_g: f64) -> Vec<Finding> {
    told(&run(keys, vec![(component, mass_g)]))
}

/// A can with so much of something, of which hardly anything is sprayed.
fn with_share(component: Component, high: f64) -> Vec<Finding> {
    let share = Triple::from_range(0.0, high).expect("it runs forwards");
    let part = Part { component, share, grounds: Grounds::plain(Basis::Label) };
    told(&RunAir { shares: vec![part], ..run(GARDEN, vec![(substance("acetone"), 0.01)]) })
}

/// The review of a coat behind a mask.
fn behind(mask: RespiratorKind) -> Vec<Finding> {
    let run = RunAir { respirator: Some(mask), ..run(GARDEN, vec![(substance("acetone"), 0.1)]) };
    review(&run, &CATALOG).findings
}

pub(super) const WARNINGS: [Warning; 25] = [
    Warning {
        code: "fire-at-face",
        level: Level::Hold,
        called_for: || of(ROOM, substance("acetone"), 200.0),
        not_called_for: Some(|| of(ROOM, substance("acetone"), 1.0)),
    },
    Warning {
        code: "fire-in-room",
        level: Level::Hold,
        called_for: || of(ROOM, substance("propane"), 120.0),
        not_called_for: Some(|| of(ROOM, substance("propane"), 10.0)),
    },
    Warning {
        code: "acute-at-face",
        level: Level::Hold,
        called_for: || of(ROOM, substance("toluene"), 30.0),
        not_called_for: Some(|| of(ROOM, substance("toluene"), 0.3)),
    },
    Warning {
        code: "ignition",
        level: Level::Hold,
        called_for: || told(&RunAir { ignition: true, ..run(ROOM, Vec::new()) }),
        not_called_for: Some(|| told(&run(ROOM, Vec::new()))),
    },
    Warning {
        code: "ignition",
        level: Level::Hold,
        called_for: || told(&run(&format!("{ROOM}ignition = true\n"), Vec::new())),
        not_called_for: Some(|| told(&run(&format!("{ROOM}ignition = false\n"), Vec::new()))),
    },
    Warning {
        code: "ignition",
        level: Level::Care,
        called_for: || told(&run(&format!("{GARDEN}ignition = true\n"), Vec::new())),
        not_called_for: Some(|| told(&run(GARDEN, Vec::new()))),
    },
    Warning {
        code: "air-15min",
        level: Level::Care,
        called_for: || of(ROOM, substance("toluene"), 3.0),
        not_called_for: Some(|| of(ROOM, substance("toluene"), 0.03)),
    },
    Warning {
        code: "air-short-term",
        level: Level::Care,
        called_for: || of(ROOM, substance("toluene"), 10.0),
        not_called_for: Some(|| of(ROOM, substance("toluene"), 0.1)),
    },
    Warning {
        code: "air-8h",
        level: Level::Care,
        called_for: || of(ROOM, substance("toluene"), 30.0),
        not_called_for: Some(|| of(ROOM, substance("toluene"), 0.3)),
    },
    // As much of what a cartridge holds and of what it does not.
    Warning {
        code: "mask-does-not-hold",
        level: Level::Hold,
        called_for: || of(ROOM, substance("acetone"), 40.0),
        not_called_for: Some(|| of(ROOM, substance("n-butyl-acetate"), 40.0)),
    },
    Warning {
        code: "mask-not-enough",
        level: Level::Hold,
        called_for: || of(ROOM, substance("toluene"), 40.0),
        not_called_for: Some(|| of(ROOM, substance("toluene"), 1.0)),
    },
    // A half mask is counted on: less does not do, more does.
    Warning {
        code: "mask-too-weak",
        level: Level::Care,
        called_for: || behind(RespiratorKind::QuarterApr),
        not_called_for: Some(|| behind(RespiratorKind::FullApr)),
    },
    Warning {
        code: "hardener",
        level: Level::Hold,
        called_for: || told(&RunAir { hardener: Hardener::Isocyanate, ..run(GARDEN, Vec::new()) }),
        not_called_for: Some(|| told(&run(GARDEN, Vec::new()))),
    },
    Warning {
        code: "hardener",
        level: Level::Hold,
        called_for: || told(&RunAir { hardener: Hardener::Unknown, ..run(GARDEN, Vec::new()) }),
        not_called_for: Some(|| with_share(substance("acetone"), 0.5)),
    },
    // Toluene is suspected of harming the unborn child, N-methylpyrrolidone is known to; acetone is neither.
    Warning {
        code: "hazard-share",
        level: Level::Care,
        called_for: || with_share(substance("toluene"), 0.03),
        not_called_for: Some(|| with_share(substance("acetone"), 0.9)),
    },
    Warning {
        code: "hazard-share",
        level: Level::Care,
        called_for: || with_share(substance("n-methyl-pyrrolidone"), 0.003),
        not_called_for: Some(|| with_share(substance("n-butyl-acetate"), 0.9)),
    },
    Warning {
        code: "hazard-share",
        level: Level::Note,
        called_for: || with_share(substance("toluene"), 0.029),
        not_called_for: Some(|| with_share(substance("toluene"), 0.0)),
    },
    Warning {
        code: "undeclared-share",
        level: Level::Note,
        called_for: || with_share(Component::Undeclared, 0.2),
        not_called_for: Some(|| with_share(resin(), 0.2)),
    },
    Warning {
        code: "no-limit",
        level: Level::Care,
        called_for: || of(GARDEN, substance("dimethyl-carbonate"), 0.1),
        not_called_for: Some(|| of(GARDEN, substance("ethyl-acetate"), 0.1)),
    },
    Warning {
        code: "unknown-substance",
        level: Level::Care,
        called_for: || of(GARDEN, unknown(), 0.1),
        not_called_for: Some(|| of(GARDEN, substance("ethyl-acetate"), 0.1)),
    },
    // It is told as well where nothing of it is left when the coat is on.
    Warning {
        code: "unknown-substance",
        level: Level::Care,
        called_for: || with_share(unknown(), 0.05),
        not_called_for: Some(|| with_share(substance("ethyl-acetate"), 0.05)),
    },
    Warning {
        code: "mist",
        level: Level::Care,
        called_for: || of(ROOM, resin(), 5.0),
        not_called_for: Some(|| of(ROOM, substance("acetone"), 5.0)),
    },
    Warning {
        code: "mist",
        level: Level::Note,
        called_for: || of(GARDEN, resin(), 0.001),
        not_called_for: Some(|| of(GARDEN, substance("acetone"), 0.001)),
    },
    Warning {
        code: "not-clear-today",
        level: Level::Care,
        called_for: || of("volume = \"20 m3\"\nair_changes = \"0.05 /h\"\n", substance("toluene"), 20.0),
        not_called_for: Some(|| of("volume = \"20 m3\"\nair_changes = \"3 /h\"\n", substance("toluene"), 20.0)),
    },
    Warning {
        code: "room-unknown",
        level: Level::Care,
        called_for: || told(&RunAir { room: RoomAir::of(None, &CATALOG.rules.air), ..run(ROOM, Vec::new()) }),
        not_called_for: Some(|| told(&run(ROOM, Vec::new()))),
    },
];

#[test]
fn what_is_breathed_and_what_burns() {
    seen_and_missed(&WARNINGS);
}
