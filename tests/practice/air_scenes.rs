//! Rooms of the trade: what a plain person would say of them (common practice, no source).

use coatbell::air::{AirOutcome, CoatAir, CurvePiece, Hardener, Release, RoomAir, RunAir, Shape, review};
use coatbell::catalog::{Catalog, Component};
use coatbell::diagnostic::SourceText;
use coatbell::finding::Level;
use coatbell::input::read_room;

/// Coats of a can, a quarter of an hour apart: a third of the liquid is spray that misses or flashes off, the rest dries
/// from the film within an hour.
pub(crate) fn coats(
    sealer: &str,
    grams: f64,
    count: usize,
    every_s: f64,
) -> (Vec<CoatAir>, Vec<coatbell::catalog::Part>) {
    let catalog = Catalog::builtin();
    let sealer = &catalog.sealers[sealer];
    let coats = (0..count)
        .map(|number| {
            let start_s = number as f64 * every_s;
            let mut releases = Vec::new();
            for (component, share) in sealer.composition.at_mode() {
                let mass_g = grams * share;
                let mut add = |mass_g: f64, shape: Shape| {
                    releases.push(Release { component: component.clone(), mass_g, start_s, shape });
                };
                match component {
                    Component::Substance(id) if catalog.substances[id].is_propellant() => {
                        add(mass_g, Shape::Steady { duration_s: 8.0 });
                    }
                    Component::Substance(_) | Component::Unknown { .. } => {
                        add(mass_g * 0.4, Shape::Steady { duration_s: 8.0 });
                        let piece = |from_s, to_s, part| CurvePiece { from_s, to_s, part };
                        let pieces = vec![piece(8.0, 60.0, 5.0), piece(60.0, 600.0, 3.0), piece(600.0, 3600.0, 2.0)];
                        add(mass_g * 0.6, Shape::Curve(pieces));
                    }
                    Component::Solid(_) => add(mass_g * 0.3, Shape::Steady { duration_s: 8.0 }),
                    Component::Undeclared => {}
                }
            }
            CoatAir { start_s, end_s: start_s + 8.0, releases }
        })
        .collect();
    (coats, sealer.composition.parts.clone())
}

fn outcome(room: &str, sealer: &str, grams: f64, count: usize) -> AirOutcome {
    let catalog = Catalog::builtin();
    let room = read_room(&SourceText::new("room.toml", room)).expect("the room is well written");
    let (coats, shares) = coats(sealer, grams, count, 900.0);
    let run = RunAir {
        room: RoomAir::of(Some(&room), &catalog.rules.air),
        coats,
        shares,
        respirator: None,
        hardener: Hardener::None,
        ignition: false,
        relative_humidity: Some(0.5),
    };
    review(&run, &catalog)
}

fn codes(outcome: &AirOutcome) -> Vec<(&'static str, Level)> {
    outcome.findings.iter().map(|finding| (finding.code, finding.level)).collect()
}

const BATHROOM: &str = "volume = \"6 m3\"\ntemperature = \"21 C\"\nhumidity = \"50 %\"\nairflow = \"closed\"";

#[test]
fn a_closed_bathroom_is_no_place_for_four_coats() {
    let outcome = outcome(BATHROOM, "acrylic-gloss", 8.0, 4);
    assert_eq!(outcome.review.verdict, Level::Hold, "{:?}", codes(&outcome));
    assert_eq!(outcome.review.clear_others_min, None);
}

#[test]
fn the_same_outdoors_in_a_breeze_is_fine() {
    let room = "airflow = \"outdoors\"\nwind = \"1 m/s\"\ntemperature = \"21 C\"\nhumidity = \"50 %\"";
    let outcome = outcome(room, "acrylic-gloss", 8.0, 4);
    assert!(outcome.review.verdict < Level::Hold, "{:?}", codes(&outcome));
    assert!(outcome.review.clear_others_min.is_some_and(|minutes| minutes <= 120));
}
