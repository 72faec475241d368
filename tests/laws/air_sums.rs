//! What the air's figures come to where they can be worked by hand.

use coatbell::air::{
    CoatAir, CurvePiece, Release, RespiratorKind, RoomAir, RunAir, Shape, assess, cartridge_life_h, coat_loads,
    evening_air, review,
};
use coatbell::catalog::{Catalog, Component, SolidKind};
use coatbell::estimate::Triple;
use coatbell::input::Hardener;

use crate::support::room;

fn substance(id: &str) -> Component {
    Component::Substance(id.into())
}

fn run(catalog: &Catalog, coats: Vec<CoatAir>) -> RunAir {
    let room = room("volume = \"30 m3\"\nair_changes = \"3 /h\"\ntemperature = \"21 C\"\n");
    RunAir {
        room: RoomAir::of(Some(&room), &catalog.rules.air),
        coats,
        shares: Vec::new(),
        respirator: None,
        hardener: Hardener::None,
        ignition: false,
        relative_humidity: Some(0.5),
    }
}

fn coat(start_s: f64, releases: Vec<(Component, f64, Shape)>) -> CoatAir {
    let release = |(component, mass_g, shape)| Release { component, mass_g, start_s, shape };
    CoatAir { start_s, end_s: start_s + 60.0, releases: releases.into_iter().map(release).collect() }
}

const SPRAY: Shape = Shape::Steady { duration_s: 60.0 };

fn piece(from_s: f64, to_s: f64, part: f64) -> CurvePiece {
    CurvePiece { from_s, to_s, part }
}

/// A steady source comes to G/Q' in the room, Q' the flow over the mixing factor, and to G/β more at the face, β the
/// exchange through half a ball: π r² s (Nicas 1996). A gram of solids is a thousand milligrams of mist.
#[test]
fn a_steady_mist_comes_to_its_balance() {
    let catalog = Catalog::builtin();
    let day_s = 36.0 * 3600.0;
    let resin = (Component::Solid(SolidKind::Resin), 36.0, Shape::Steady { duration_s: day_s });
    let run = run(&catalog, vec![coat(0.0, vec![resin])]);
    let flow_m3_h = run.room.flow_m3_h.low() / run.room.mixing_factor;
    let radius_m = catalog.rules.air.near_field_radius_m.get();
    let exchange_m3_h = std::f64::consts::PI * radius_m * radius_m * run.room.random_air_speed_m_min * 60.0;
    let balance = 1000.0 / flow_m3_h + 1000.0 / exchange_m3_h;
    let got = assess(&run, &catalog).exposure.mist_mg_m3;
    assert!((got / balance - 1.0).abs() < 1e-6, "{got} mg/m³, not {balance}");
}

/// A coat that gives 2 g while spraying and 3 g after it: two fifths go at once, the rest after its mean delay.
#[test]
fn a_coat_asks_for_the_air_its_parts_ask_for() {
    let catalog = Catalog::builtin();
    // Of 3 g two thirds leave between 100 and 300 s and one third between 300 and 900 s: at 333.3 s on average, 273.3 s
    // after the end of the coat.
    let curve = Shape::Curve([piece(100.0, 300.0, 2.0), piece(300.0, 900.0, 1.0)].into());
    let toluene = || substance("toluene");
    let run_of = |releases| run(&catalog, vec![coat(0.0, releases)]);
    let load = |releases| coat_loads(&run_of(releases), &catalog)[0];
    let both = load(vec![(toluene(), 2.0, SPRAY), (toluene(), 3.0, curve)]);
    assert!((both.while_spraying - 0.4).abs() < 1e-12, "{both:?}");
    assert!((both.mean_delay_s - (1000.0 / 3.0 - 60.0)).abs() < 1e-9, "{both:?}");
    // Twice the mass fills twice the air; a decaying film goes after one over its rate.
    let film = |mass_g| load(vec![(toluene(), mass_g, Shape::Decaying { rate_per_s: 0.002 })]);
    assert!((film(2.0).fills_m3 / film(1.0).fills_m3 - 2.0).abs() < 1e-12);
    assert!((film(1.0).mean_delay_s - (500.0 - 60.0)).abs() < 1e-9 && film(1.0).while_spraying == 0.0);
    assert_eq!(load(Vec::new()).while_spraying, 1.0);
}

/// The room of an evening is as full as its fullest limit: what a mask holds over its factor, what it does not hold, and
/// the explosive share over its hold.
#[test]
fn an_evening_is_as_full_as_its_fullest_limit() {
    let catalog = Catalog::builtin();
    for (id, mass_g) in [("toluene", 2.0), ("acetone", 2.0), ("propane", 20.0)] {
        let coats = (0..3).map(|n| coat(f64::from(n) * 600.0, vec![(substance(id), mass_g, SPRAY)])).collect();
        let run = run(&catalog, coats);
        let (evening, exposure) = (evening_air(&run, &catalog), assess(&run, &catalog).exposure);
        let rules = &catalog.rules.air;
        let factor = RespiratorKind::HalfApr.protection_factor();
        let solvents = review(&run, &catalog).review.solvents;
        let index = solvents[0].room_peak_ppm / solvents[0].limit_8h_ppm.expect("a limit");
        let held = if id == "toluene" { index / (rules.masked_hold.get() * factor) } else { 0.0 };
        let unheld = if id == "toluene" { 0.0 } else { index / rules.index_care.get() };
        let explosive = exposure.room_explosive / rules.room_lel_hold.get();
        let worked = held.max(unheld).max(explosive);
        assert!((evening.fullness_peak / worked - 1.0).abs() < 1e-9, "{id}: {} not {worked}", evening.fullness_peak);
        assert!((evening.lel_near_pct - 100.0 * exposure.near_explosive).abs() < 1e-9, "{id}");
        assert!((evening.lel_room_pct - 100.0 * exposure.room_explosive).abs() < 1e-9, "{id}");
        assert!((evening.index_15min - exposure.index_15min).abs() < 1e-9 * exposure.index_15min, "{id}");
    }
}

/// Cartridges last as long as what they hold and the rule of thumb covers allows; a low boiler beside it does not count,
/// neither in their life nor in the highest use of the mask, whatever its limit.
#[test]
fn a_mask_is_told_by_what_it_holds() {
    let mut catalog = Catalog::builtin();
    catalog.substances.get_mut("acetone").expect("built in").limits.lowest_twa_ppm = Some(0.5);
    let mixed = vec![(substance("acetone"), 5.0, SPRAY), (substance("toluene"), 0.2, SPRAY)];
    let reviewed = review(&run(&catalog, vec![coat(0.0, mixed)]), &catalog).review;
    let toluene = reviewed.solvents.iter().find(|solvent| solvent.id == "toluene").expect("it was sprayed");
    let rules = &catalog.rules.air;
    let rule =
        cartridge_life_h(rules.cartridge_base_h.get(), rules.cartridge_base_ppm.get(), toluene.mean_15min_ppm, 50.0);
    let life = reviewed.respirator.cartridge_life_h.expect("toluene fills a cartridge");
    assert!((life / rule.min(rules.cartridge_longest_h.get()) - 1.0).abs() < 1e-9, "{life} h, not {rule}");
    let highest = 10.0 * toluene.limit_8h_ppm.expect("a limit");
    assert_eq!(reviewed.respirator.max_use_ppm, Some(highest.min(rules.cartridge_cap_ppm.get())));
    assert_eq!(reviewed.respirator.not_held.len(), 1);
    let acetone = vec![coat(0.0, vec![(substance("acetone"), 5.0, SPRAY)])];
    assert_eq!(review(&run(&catalog, acetone), &catalog).review.respirator.cartridge_life_h, None);
}

/// The curve runs evenly from the beginning to when the room is clear for others, with both ends of every coat.
#[test]
fn the_curve_runs_to_where_the_room_is_clear() {
    let catalog = Catalog::builtin();
    let coats = vec![
        coat(0.0, vec![(substance("toluene"), 2.0, SPRAY)]),
        coat(1800.0, vec![(substance("toluene"), 2.0, SPRAY)]),
    ];
    let reviewed = review(&run(&catalog, coats), &catalog).review;
    let clear_min = f64::from(reviewed.clear_others_min.expect("it clears within a day"));
    let (first, last) = (reviewed.series.first().expect("a curve"), reviewed.series.last().expect("a curve"));
    assert_eq!(first.t_min, 0.0);
    assert!((last.t_min - (31.0 + clear_min.max(30.0))).abs() < 1e-9, "{} and {clear_min}", last.t_min);
    assert!(last.room_index <= catalog.rules.air.others_share.get() + 1e-9);
    for minute in [1.0, 30.0, 31.0] {
        assert!(reviewed.series.iter().any(|point| (point.t_min - minute).abs() < 1e-9), "{minute} min");
    }
    let widest = reviewed.series.windows(2).map(|pair| pair[1].t_min - pair[0].t_min).fold(0.0, f64::max);
    assert!(widest <= last.t_min / 180.0 + 1e-9, "{widest}");
}

/// A piece of a curve without length or with a negative part is no release, and the rest is as without it.
#[test]
fn an_empty_piece_of_a_curve_changes_nothing() {
    let catalog = Catalog::builtin();
    let clean = vec![piece(60.0, 300.0, 2.0), piece(300.0, 900.0, 1.0)];
    let assessed = |pieces: Vec<CurvePiece>| {
        let releases = vec![(substance("toluene"), 3.0, Shape::Curve(pieces.into()))];
        assess(&run(&catalog, vec![coat(0.0, releases)]), &catalog).exposure
    };
    let plain = assessed(clean.clone());
    for odd in [piece(60.0, 60.0, 5.0), piece(900.0, 1200.0, -1.0), piece(900.0, 700.0, 1.0)] {
        let with = [clean.clone(), vec![odd]].concat();
        let got = assessed(with);
        assert!((got.index_15min / plain.index_15min - 1.0).abs() < 1e-12, "{odd:?}: {}", got.index_15min);
    }
}

/// A limit says where it comes from: the published one, this project's own below it, and how a short-term one was made.
#[test]
fn a_limit_says_whose_it_is() {
    let source = |change: fn(&mut coatbell::catalog::ExposureLimits)| {
        let mut catalog = Catalog::builtin();
        change(&mut catalog.substances.get_mut("toluene").expect("built in").limits);
        let coats = vec![coat(0.0, vec![(substance("toluene"), 1.0, SPRAY)])];
        review(&run(&catalog, coats), &catalog).review.solvents[0].limit_source.clone()
    };
    let published = source(|limits| {
        (limits.default_twa_ppm, limits.source) = (None, "a table".into());
    });
    assert!(published.starts_with("a table") && !published.contains("own"), "{published}");
    let below = source(|limits| {
        (limits.lowest_twa_ppm, limits.default_twa_ppm, limits.source) = (Some(20.0), Some(5.0), "a table".into());
    });
    assert!(below.contains("own cautious default, below a table"), "{below}");
    let unnamed = source(|limits| {
        (limits.lowest_twa_ppm, limits.default_twa_ppm, limits.source) = (Some(20.0), Some(5.0), String::new());
    });
    assert!(unnamed.contains("own cautious default") && !unnamed.contains("below"), "{unnamed}");
    let none = source(|limits| {
        (limits.lowest_twa_ppm, limits.default_twa_ppm, limits.source) = (None, None, "a table".into());
    });
    assert!(none.contains("no limit found; 25 ppm assumed") && !none.contains("below"), "{none}");
}

/// A low boiler is one that boils at the threshold or below it: at 65 °C a cartridge is not counted on.
#[test]
fn a_cartridge_is_counted_on_above_its_threshold_alone() {
    let held = |boiling_point_c: f64| {
        let mut catalog = Catalog::builtin();
        catalog.rules.air.not_held_boiling_c.value = Triple::exact(65.0);
        catalog.substances.get_mut("toluene").expect("built in").boiling_point_c = boiling_point_c;
        let coats = vec![coat(0.0, vec![(substance("toluene"), 1.0, SPRAY)])];
        review(&run(&catalog, coats), &catalog).review.respirator.not_held.is_empty()
    };
    assert_eq!([held(64.9), held(65.0), held(65.1)], [false, false, true]);
}
