//! What a room's description means for its air (thresholds and words of the rules; windows by published formulas).

use coatbell::air::{
    AirOutcome, Assessment, Release, RespiratorKind, RoomAir, RunAir, Shape, assess, review, shares_of,
};
use coatbell::catalog::{Catalog, Component, Part};
use coatbell::diagnostic::SourceText;
use coatbell::estimate::{Basis, Grounds, Triple};
use coatbell::finding::Level;
use coatbell::input::{Hardener, read_room, read_sealer};
use coatbell::plan::{Amount, safety_of_amount};

use super::air_scenes::coats;
use crate::support::level_of;

fn room(text: &str) -> RoomAir {
    let text = format!("temperature = \"21 C\"\nhumidity = \"50 %\"\n{text}");
    let input = read_room(&SourceText::new("room.toml", &text)).expect("the room is well written");
    RoomAir::of(Some(&input), &Catalog::builtin().rules.air)
}

#[test]
fn no_room_is_a_small_closed_one() {
    let air = RoomAir::of(None, &Catalog::builtin().rules.air);
    assert_eq!((air.volume_m3, air.flow_m3_h.low()), (20.0, 4.0));
    assert_eq!(level_of(&air.findings, "room-unknown"), Some(Level::Care));
}

#[test]
fn words_are_air_changes() {
    for (word, low, speed) in
        [("closed", 8.0, 3.6), ("window-ajar", 20.0, 3.6), ("window-open", 80.0, 6.0), ("cross-draught", 200.0, 6.0)]
    {
        let air = room(&format!("volume = \"40 m3\"\nairflow = \"{word}\""));
        assert!((air.flow_m3_h.low() - low).abs() < 1e-9, "{word}: {}", air.flow_m3_h.low());
        assert_eq!((air.random_air_speed_m_min, air.mixing_factor), (speed, 3.0), "{word}");
    }
    assert_eq!(level_of(&room("volume = \"40 m3\"").findings, "airflow-unknown"), Some(Level::Care));
}

#[test]
fn a_window_in_still_air() {
    // De Gids and Phaff 1982: 0.05 m³/s a square metre in still air without a temperature difference.
    let air = room("volume = \"30 m3\"\nwindow = { area = \"0.5 m2\", height = \"1 m\" }");
    assert!((air.flow_m3_h.low() - 90.0).abs() < 1e-6);
    // 2 m/s and 10 K: 199 m³/h; the more careful BS 5925 wind figure is below it.
    let windy = room(
        "volume = \"30 m3\"\nwindow = { area = \"0.5 m2\", height = \"1 m\" }\nwind = \"2 m/s\"\n\
         outdoor_temperature = \"11 C\"",
    );
    assert!((windy.flow_m3_h.mode() - 199.2).abs() < 0.5, "{}", windy.flow_m3_h.mode());
    assert!(windy.flow_m3_h.low() <= windy.flow_m3_h.mode() && windy.flow_m3_h.low() >= 90.0);
    // A window that is shut still leaves the leaks.
    let shut = room("volume = \"30 m3\"\nwindow = { area = \"0 m2\", height = \"1 m\" }");
    assert!((shut.flow_m3_h.low() - 6.0).abs() < 1e-9);
    assert_eq!(shut.random_air_speed_m_min, 3.6);
}

#[test]
fn a_fan_is_worth_what_its_opening_passes() {
    let lone = room("volume = \"30 m3\"\nfan = \"1000 m3/h\"\nsealed = true");
    assert_eq!(level_of(&lone.findings, "fan-no-inlet"), Some(Level::Care));
    assert!(lone.flow_m3_h.low() <= 150.0);
    let sealed = room(
        "volume = \"30 m3\"\nfan = \"1000 m3/h\"\nsealed = true\nwindow = { area = \"0.5 m2\", height = \"1 m\" }",
    );
    assert!((sealed.flow_m3_h.low() - 500.0).abs() < 1e-9 && sealed.findings.is_empty());
    let loose = room("volume = \"30 m3\"\nfan = \"1000 m3/h\"\nwindow = { area = \"0.5 m2\", height = \"1 m\" }");
    assert!(loose.flow_m3_h.low() < sealed.flow_m3_h.low());
    let choked = room(
        "volume = \"30 m3\"\nfan = \"3000 m3/h\"\nsealed = true\nwindow = { area = \"0.05 m2\", height = \"0.2 m\" }",
    );
    assert_eq!(level_of(&choked.findings, "fan-beats-opening"), Some(Level::Care));
    assert!(choked.flow_m3_h.low() < 400.0);
}

#[test]
fn outdoors_is_wind_through_a_cross_section() {
    // 1 m/s through 2 m × 1.5 m: 3 m³/s.
    let breeze = room("airflow = \"outdoors\"\nwind = \"1 m/s\"");
    assert!((breeze.flow_m3_h.low() - 10_800.0).abs() < 1e-6);
    assert_eq!((breeze.random_air_speed_m_min, breeze.mixing_factor, breeze.outdoors), (60.0, 1.0, true));
    let unknown = room("airflow = \"outdoors\"");
    assert_eq!(unknown.wind_m_s, Some(0.3));
    assert_eq!(level_of(&unknown.findings, "wind-unknown"), Some(Level::Note));
    let calm = room("airflow = \"outdoors\"\nwind = \"0 m/s\"");
    assert_eq!(level_of(&calm.findings, "calm-outdoors"), Some(Level::Care));
}

/// A run in a well-aired room.
fn run(sealer: &str) -> RunAir {
    let (coats, _) = coats(sealer, 2.0, 2, 1800.0);
    RunAir {
        room: room("airflow = \"outdoors\"\nwind = \"1 m/s\""),
        coats,
        shares: shares_of(&Catalog::builtin().sealers[sealer].composition),
        respirator: None,
        hardener: Hardener::None,
        ignition: false,
        relative_humidity: Some(0.5),
    }
}

fn assessed(run: &RunAir) -> Assessment {
    assess(run, &Catalog::builtin())
}

fn reviewed(run: &RunAir) -> AirOutcome {
    review(run, &Catalog::builtin())
}

fn part(component: Component, low: f64, high: f64) -> Part {
    let share = Triple::from_range(low, high).expect("the range runs forwards");
    Part { component, share, grounds: Grounds::plain(Basis::Label) }
}

fn substance(id: &str) -> Component {
    Component::Substance(id.to_owned())
}

#[test]
fn ignition_is_a_hold_indoors_and_a_care_outdoors() {
    let mut outside = run("acrylic-gloss");
    outside.ignition = true;
    assert_eq!(level_of(&assessed(&outside).findings, "ignition"), Some(Level::Care));
    outside.room = room("volume = \"40 m3\"\nairflow = \"cross-draught\"\nignition = true");
    outside.ignition = false;
    assert_eq!(level_of(&assessed(&outside).findings, "ignition"), Some(Level::Hold));
}

#[test]
fn hardeners_need_supplied_air() {
    let mut run = run("acrylic-gloss");
    run.hardener = Hardener::Unknown;
    assert_eq!(assessed(&run).verdict, Level::Hold);
    run.respirator = Some(RespiratorKind::PaprFull);
    assert_eq!(assessed(&run).verdict, Level::Hold);
    run.respirator = Some(RespiratorKind::SarContHalf);
    assert_eq!(level_of(&assessed(&run).findings, "hardener"), Some(Level::Care));
    run.hardener = Hardener::None;
    run.respirator = None;
    // Hexamethylene diisocyanate, found by its number.
    run.shares.push(part(Component::Unknown { cas: "822-06-0".to_owned() }, 0.0, 0.001));
    assert_eq!(level_of(&assessed(&run).findings, "hardener"), Some(Level::Hold));
}

/// A can that says it has a hardener is held whatever its list leaves out, and so is a can that builds on it, unless that
/// one says there is none.
#[test]
fn a_hardener_on_the_label_is_warned_of() {
    let catalog = Catalog::builtin();
    let shelf = |text: &str| {
        let materials = SourceText::new("mine.toml", text);
        catalog.with_overlays(&[materials]).expect("the material is well written")
    };
    let held = |label: &str| {
        let text = format!("[sealer.two-part]\nextends = \"acrylic-gloss\"\n[sealer.two-part.label]\n{label}");
        let own = SourceText::new("own.toml", "extends = \"two-part\"\n[label]\nrecoat = \"15 min\"\n");
        let shelf = shelf(&text);
        let own = shelf.own_sealer(&read_sealer(&own).expect("a can")).expect("a can on the shelf's");
        [&shelf.sealers["two-part"], &own].map(|sealer| {
            let amount = Amount {
                sealer,
                grams: 5.0,
                coats: 1,
                every_min: 0.0,
                room: None,
                room_named: false,
                respirator: None,
            };
            level_of(&safety_of_amount(&amount, &shelf).findings, "hardener")
        })
    };
    assert_eq!(held("hardener = \"isocyanate\"\n"), [Some(Level::Hold); 2]);
    assert_eq!(held("hardener = \"unknown\"\n"), [Some(Level::Hold); 2]);
    assert_eq!(held("hardener = \"none\"\n"), [None; 2]);
    assert_eq!(held("touch_dry = \"10 min\"\n"), [None; 2]);
    let refused = SourceText::new("own.toml", "extends = \"acrylic-gloss\"\n[label]\nhardener = \"isocyanat\"\n");
    let problems = read_sealer(&refused).expect_err("no such word");
    assert!(problems.list.iter().any(|problem| problem.code == "unknown-word"), "{problems:?}");
}

/// The list is the catalog's, so that a number a user adds counts as well; and a hardener stays one where the user's own
/// materials describe it as a substance.
#[test]
fn every_isocyanate_of_the_catalog_is_a_hardener() {
    let mut catalog = Catalog::builtin();
    // 1,5-naphthylene diisocyanate (number from memory), which is not built in.
    catalog.isocyanates.push("3173-72-6".to_owned());
    let mut described = catalog.substances["acetone"].clone();
    (described.id, described.cas) = ("my-hardener".to_owned(), "822-06-0".to_owned());
    catalog.substances.insert(described.id.clone(), described);
    let numbers = catalog.isocyanates.iter().map(|cas| Component::Unknown { cas: cas.clone() });
    let components: Vec<Component> = numbers.chain([substance("my-hardener")]).collect();
    assert!(components.len() > 12);
    for component in components {
        let mut run = run("acrylic-gloss");
        assert_eq!(level_of(&assess(&run, &catalog).findings, "hardener"), None);
        run.shares.push(part(component.clone(), 0.0, 0.001));
        assert_eq!(level_of(&assess(&run, &catalog).findings, "hardener"), Some(Level::Hold), "{component:?}");
    }
}

#[test]
fn hazards_count_by_the_high_end_of_their_share() {
    for (id, high, level) in [
        ("toluene", 0.03, Level::Care),
        ("toluene", 0.029, Level::Note),
        ("xylene", 0.1, Level::Care),
        ("n-methyl-pyrrolidone", 0.003, Level::Care),
        ("n-methyl-pyrrolidone", 0.002, Level::Note),
    ] {
        let mut run = run("acrylic-gloss");
        run.shares = vec![part(substance(id), 0.0, high)];
        assert_eq!(level_of(&assessed(&run).findings, "hazard-share"), Some(level), "{id} {high}");
    }
}

#[test]
fn a_blank_limit_is_never_no_limit() {
    let mut run = run("acrylic-gloss");
    run.coats.truncate(1);
    let release = |component: Component| Release {
        component,
        mass_g: 0.5,
        start_s: 0.0,
        shape: Shape::Steady { duration_s: 8.0 },
    };
    // No published limit; the default of the catalog is used, with a care.
    run.coats[0].releases = vec![release(substance("dimethyl-carbonate")), release(substance("water"))];
    let outcome = reviewed(&run);
    assert_eq!(level_of(&outcome.findings, "no-limit"), Some(Level::Care));
    let limit = |id: &str| outcome.review.solvents.iter().find(|solvent| solvent.id == id).map(|s| s.limit_8h_ppm);
    assert_eq!(limit("dimethyl-carbonate"), Some(Some(50.0)));
    assert_eq!(limit("water"), Some(None));
    // Unknown: 25 ppm, a care, and no credit for a mask.
    run.coats[0].releases = vec![release(Component::Unknown { cas: "9999-99-9".to_owned() })];
    let outcome = reviewed(&run);
    assert_eq!(level_of(&outcome.findings, "unknown-substance"), Some(Level::Care));
    let unknown = &outcome.review.solvents[0];
    assert_eq!((unknown.limit_8h_ppm, unknown.limit_15min_ppm), (Some(25.0), Some(75.0)));
    assert!(outcome.review.respirator.not_held.iter().any(|name| name.contains("9999-99-9")));
    assert!(outcome.exposure.index_unmasked_only > 0.0 && outcome.exposure.index_masked < outcome.exposure.index_15min);
}

#[test]
fn the_lowest_published_limit_counts_and_is_named() {
    let outcome = reviewed(&run("acrylic-gloss-aromatic"));
    let of = |id: &str| outcome.review.solvents.iter().find(|solvent| solvent.id == id).expect("it is released");
    // Toluene: 10 ppm (California, the page of the US authority), short-term 100 (EU indicative limit). Acetone: 250 ppm (US
    // NIOSH), short-term 500 (ACGIH, as haz-map quotes it). Butyl acetate: 50 (EU), short-term 124 (Germany, twice 62).
    for (id, eight_hour, short_term, named) in [
        ("toluene", 10.0, 100.0, "California"),
        ("acetone", 250.0, 500.0, "ACGIH"),
        ("n-butyl-acetate", 50.0, 124.0, "Germany"),
    ] {
        let solvent = of(id);
        assert_eq!((solvent.limit_8h_ppm, solvent.limit_15min_ppm), (Some(eight_hour), Some(short_term)), "{id}");
        assert!(solvent.limit_source.contains(named), "{id}: {}", solvent.limit_source);
    }
    for gas in ["acetone", "propane"] {
        let name = &Catalog::builtin().substances[gas].name;
        assert!(outcome.review.respirator.not_held.contains(name), "{gas}");
    }
}

#[test]
fn what_is_not_declared_is_a_care_and_never_more() {
    let mut run = run("acrylic-gloss");
    run.shares = vec![part(substance("toluene"), 0.0, 0.01), part(Component::Undeclared, 0.2, 0.4)];
    run.coats[0].releases = vec![Release {
        component: Component::Undeclared,
        mass_g: 200.0,
        start_s: 0.0,
        shape: Shape::Steady { duration_s: 8.0 },
    }];
    run.coats.truncate(1);
    run.room = room("volume = \"10 m3\"\nairflow = \"closed\"");
    let assessment = assessed(&run);
    assert_eq!(level_of(&assessment.findings, "undeclared-share"), Some(Level::Care));
    assert!(assessment.exposure.index_15min > 1.0);
    assert_eq!(assessment.verdict, Level::Care);
}

#[test]
fn a_better_mask_counts_and_a_worse_one_does_not() {
    let mut run = run("acrylic-gloss");
    let held = |run: &RunAir| assessed(run).exposure.index_masked;
    let half = held(&run);
    run.respirator = Some(RespiratorKind::QuarterApr);
    assert_eq!(held(&run), half);
    run.respirator = Some(RespiratorKind::FullApr);
    assert!((held(&run) / half - 0.2).abs() < 1e-9);
    run.respirator = Some(RespiratorKind::ScbaPdFull);
    assert_eq!(assessed(&run).exposure.index_unmasked_only, 0.0);
    assert!(reviewed(&run).review.respirator.not_held.is_empty());
}

#[test]
fn a_film_that_goes_on_drying_moves_the_last_crossing() {
    // Little is sprayed; what matters comes from the film an hour later.
    let mut run = run("acrylic-gloss");
    run.room = room("volume = \"20 m3\"\nairflow = \"window-open\"");
    run.coats.truncate(1);
    let late = coatbell::air::CurvePiece { from_s: 3600.0, to_s: 5400.0, part: 1.0 };
    run.coats[0].releases = vec![Release {
        component: substance("toluene"),
        mass_g: 6.0,
        start_s: 0.0,
        shape: Shape::Curve([late].into()),
    }];
    let times = assessed(&run).after_coats[0];
    assert!(times.clear_unmasked_min.is_none_or(|minutes| minutes > 60), "{times:?}");
    assert!(times.return_masked_min <= times.clear_unmasked_min || times.clear_unmasked_min.is_none());
}

#[test]
fn people_are_warned_for_a_strong_can_even_if_theirs_is_weak() {
    // The rule of this project, common practice, no source: a measurement makes the plan surer and never the warning
    // milder.
    let catalog = Catalog::builtin();
    let profile = &catalog.sealers["acrylic-gloss"];
    let weak = SourceText::new("weak.toml", "extends = \"acrylic-gloss\"\n[can]\ndischarge = \"0.5 g/s\"\n");
    let strong = SourceText::new("strong.toml", "extends = \"acrylic-gloss\"\n[can]\ndischarge = \"2 g/s\"\n");
    let own = |source: &SourceText| catalog.own_sealer(&read_sealer(source).expect("a can")).expect("a can");
    let rate = |sealer: &coatbell::catalog::Sealer| sealer.strength_for_warnings() * sealer.discharge_g_s.mode();
    assert!((rate(profile) - profile.discharge_g_s.at(0.9)).abs() < 1e-12);
    assert!((rate(&own(&weak)) - profile.discharge_g_s.at(0.9)).abs() < 1e-12, "{}", rate(&own(&weak)));
    assert!((rate(&own(&strong)) - 2.0).abs() < 1e-12, "{}", rate(&own(&strong)));
}
