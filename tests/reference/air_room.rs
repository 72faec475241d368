//! A room after five coats against a numerical integration (`air_room.py`, scipy).

use coatbell::air::{CurvePiece, Place, Release, Shape, Sources, Timeline, Zones};
use coatbell::catalog::{Component, SolidKind};

const COATS: [(f64, f64, f64); 5] =
    [(0.0, 14.0, 3.1), (900.0, 9.0, 4.4), (1920.0, 9.0, 4.4), (2820.0, 10.0, 4.6), (3900.0, 12.0, 5.0)];
const FILM_G: f64 = 1.2;
const PIECES: [(f64, f64, f64); 4] =
    [(14.0, 60.0, 0.50), (60.0, 300.0, 0.42), (300.0, 1500.0, 0.31), (1500.0, 9000.0, 0.12)];

fn sources() -> Sources {
    let mut sources = Sources::default();
    // What it is does not matter here; the currency is grams.
    let component = Component::Solid(SolidKind::Resin);
    let mut add = |mass_g: f64, start_s: f64, shape: Shape| {
        sources.add(&Release { component: component.clone(), mass_g, start_s, shape }, 1.0);
    };
    for (start, duration_s, mass) in COATS {
        add(mass, start, Shape::Steady { duration_s });
        add(FILM_G, start + duration_s, Shape::Decaying { rate_per_s: 1.0 / 210.0 });
        let pieces = PIECES.map(|(from_s, to_s, part)| CurvePiece { from_s, to_s, part }).to_vec();
        add(PIECES.iter().map(|piece| piece.2).sum(), start, Shape::Curve(pieces.into()));
    }
    sources
}

fn zones() -> Zones {
    Zones::around_bench(22.8, 68.4 / 3.0 / 3600.0, 0.8, 6.0)
}

#[test]
fn five_coats_within_half_a_per_cent() {
    let line = Timeline::new(zones(), &sources());
    let mut points = 0;
    for row in include_str!("air_room.csv").lines().skip(1) {
        let figures: Vec<f64> = row.split(',').map(|figure| figure.parse().unwrap()).collect();
        let [t, near, room] = figures[..] else { panic!("three figures a row: {row}") };
        for (place, expected) in [(Place::NearField, near), (Place::Room, room)] {
            let got = line.at(place, t);
            assert!((got / expected - 1.0).abs() < 0.005, "{place:?} at {t} s: {got} and not {expected}");
        }
        points += 1;
    }
    assert_eq!(points, 200);
}

#[test]
fn what_was_released_left_with_the_air() {
    let line = Timeline::new(zones(), &sources());
    let released: f64 =
        COATS.iter().map(|coat| coat.2 + FILM_G + PIECES.iter().map(|piece| piece.2).sum::<f64>()).sum();
    let left = line.integral(Place::Room, 2e6) * zones().flow_m3_s();
    assert!((left / released - 1.0).abs() < 0.001, "{left} of {released}");
}
