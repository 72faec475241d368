//! Rooms of the trade: what a plain person would say of them (common practice, no source).

use coatbell::air::{AirOutcome, CoatAir, CurvePiece, Release, RoomAir, RunAir, Shape, review};
use coatbell::catalog::{Catalog, Component};
use coatbell::diagnostic::SourceText;
use coatbell::finding::Level;
use coatbell::input::Hardener;
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
                        add(mass_g * 0.6, Shape::Curve(pieces.into()));
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

/// What a hardener says of itself, and what it needs: only supplied air holds isocyanates (practice).
#[test]
fn a_hardener_is_named_and_needs_supplied_air() {
    use coatbell::air::RespiratorKind;
    use coatbell::catalog::Part;
    use coatbell::estimate::{Basis, Grounds, Triple};
    let catalog = Catalog::builtin();
    let isocyanate = Part {
        component: Component::Unknown { cas: "822-06-0".to_owned() },
        share: Triple::exact(0.05),
        grounds: Grounds::plain(Basis::Label),
    };
    let said = |hardener: Hardener, listed: bool, respirator: Option<RespiratorKind>| {
        let input = read_room(&SourceText::new("room.toml", BATHROOM)).expect("the room is well written");
        let (coats, mut shares) = coats("acrylic-gloss", 0.01, 1, 900.0);
        shares.extend(listed.then(|| isocyanate.clone()));
        let room = RoomAir::of(Some(&input), &catalog.rules.air);
        let run = RunAir { room, coats, shares, respirator, hardener, ignition: false, relative_humidity: Some(0.5) };
        let findings = review(&run, &catalog).findings;
        findings.into_iter().find(|finding| finding.code == "hardener").map(|finding| (finding.level, finding.text))
    };
    assert_eq!(said(Hardener::None, false, None), None);
    for (hardener, listed, word) in [
        (Hardener::Unknown, false, "not known"),
        (Hardener::Unknown, true, "asthma"),
        (Hardener::Isocyanate, false, "asthma"),
        (Hardener::None, true, "asthma"),
    ] {
        for (respirator, level) in [(None, Level::Hold), (Some(RespiratorKind::SarContFull), Level::Care)] {
            let (found, text) = said(hardener, listed, respirator).expect("a hardener is told");
            assert!(found == level && text.contains(word), "{hardener:?} {listed}: {found:?} {text}");
        }
    }
}

/// The air that is asked for is enough, and four fifths of it is not; so with the longer wait.
#[test]
fn what_the_advice_asks_for_is_enough_and_not_much_more() {
    use coatbell::air::assess;
    use coatbell::estimate::Triple;
    let catalog = Catalog::builtin();
    let run = |every_s: f64, grams: f64| {
        let text = "volume = \"30 m3\"\ntemperature = \"21 C\"\nhumidity = \"50 %\"\nairflow = \"window-open\"";
        let input = read_room(&SourceText::new("room.toml", text)).expect("the room is well written");
        // One liquid without hazards that count by share, so that air and time decide.
        let coat = |number: u32| {
            let start_s = f64::from(number) * every_s;
            let component = Component::Substance("n-butyl-acetate".to_owned());
            let shape = Shape::Steady { duration_s: 8.0 };
            let releases = vec![Release { component, mass_g: grams, start_s, shape }];
            CoatAir { start_s, end_s: start_s + 8.0, releases }
        };
        RunAir {
            room: RoomAir::of(Some(&input), &catalog.rules.air),
            coats: (0..3).map(coat).collect(),
            shares: Vec::new(),
            respirator: None,
            hardener: Hardener::None,
            ignition: false,
            relative_humidity: Some(0.5),
        }
    };
    let (mut flows, mut waits) = (0, 0);
    for grams in [0.02, 0.05, 0.1, 0.2, 0.4, 0.8, 1.5, 3.0, 6.0] {
        let run_now = run(900.0, grams);
        let outcome = review(&run_now, &catalog);
        let indices = [outcome.exposure.index_15min, outcome.exposure.index_short_term, outcome.exposure.index_8h];
        for (code, index) in ["air-15min", "air-short-term", "air-8h"].into_iter().zip(indices) {
            let told = outcome.findings.iter().any(|finding| finding.code == code);
            assert_eq!(told, index >= 1.0, "{grams} g: {code} at {index}");
        }
        let advice = outcome.advice;
        let now = assess(&run_now, &catalog).verdict;
        let at = |flow: f64| {
            let mut aired = run_now.clone();
            aired.room.flow_m3_h = Triple::exact(flow);
            aired.room.findings.clear();
            assess(&aired, &catalog).verdict
        };
        for (wanted, flow) in [(Level::Go, advice.airflow_for_go_m3_h), (Level::Care, advice.airflow_for_care_m3_h)] {
            let Some(flow) = flow else { continue };
            assert!(at(flow) <= wanted && at(0.8 * flow) > wanted, "{grams} g: {flow} m³/h for {wanted:?}");
            flows += 1;
        }
        if let Some(minutes) = advice.extra_wait_min {
            let after = |minutes: f64| assess(&run(900.0 + 60.0 * minutes, grams), &catalog).verdict;
            let (enough, less) = (f64::from(minutes), f64::from(minutes) - 5.0);
            assert!(after(enough) < now && after(less) >= now, "{grams} g: {minutes} min");
            assert_eq!(advice.level_after_wait, Some(after(enough)));
            waits += 1;
        }
    }
    assert!(flows > 0 && waits > 0, "{flows} flows, {waits} waits");
}

/// What a can does not declare is counted once: as listed, or as the rest (rule).
#[test]
fn what_is_not_declared_is_counted_once() {
    use coatbell::air::shares_of;
    let catalog = Catalog::builtin();
    let of = |parts: &[coatbell::catalog::Part]| -> f64 {
        parts.iter().filter(|part| part.component == Component::Undeclared).map(|part| part.share.mode()).sum()
    };
    let mut seen = [false; 2];
    for sealer in catalog.sealers.values() {
        let mut composition = sealer.composition.clone();
        let declared: f64 = composition.parts.iter().map(|part| part.share.mode()).sum();
        let listed = of(&composition.parts);
        let counted = of(&shares_of(&composition));
        let rest = if composition.complete || listed > 0.0 { listed } else { (1.0 - declared).max(0.0) };
        assert!((counted - rest).abs() < 1e-9, "{}: {counted}, not {rest}", sealer.id);
        composition.parts.truncate(1);
        for complete in [true, false] {
            composition.complete = complete;
            let first = of(&composition.parts);
            let rest = if complete || first > 0.0 { first } else { 1.0 - composition.parts[0].share.mode() };
            let counted = of(&shares_of(&composition));
            assert!((counted - rest).abs() < 1e-9, "{}, complete {complete}: {counted}, not {rest}", sealer.id);
            seen[usize::from(complete)] = true;
        }
    }
    assert_eq!(seen, [true; 2]);
}

/// A substance without a short-term limit gets three times its 8-hour one (rule).
#[test]
fn a_missing_short_term_limit_is_three_times_the_other() {
    use coatbell::air::UsedLimits;
    let catalog = Catalog::builtin();
    let missing = catalog.substances.values().filter(|substance| {
        substance.limits.lowest_short_term_ppm.is_none() && substance.limits.default_short_term_ppm.is_none()
    });
    let ratios: Vec<f64> = missing
        .filter_map(|substance| UsedLimits::of(substance, &catalog.rules.air))
        .map(|limits| limits.short_term_ppm / limits.eight_hour_ppm)
        .collect();
    assert!(!ratios.is_empty() && ratios.iter().all(|ratio| (ratio - 3.0).abs() < 1e-12), "{ratios:?}");
}

/// A constant source fills the room at first as if nothing left, and in the end to source over flow (mass balance).
#[test]
fn a_constant_source_fills_a_room() {
    use coatbell::air::room_fraction_constant_source;
    let (source_m3_h, changes, volume_m3) = (0.06, 2.5, 30.0);
    let after = |minutes: f64| room_fraction_constant_source(source_m3_h, volume_m3, changes, minutes);
    let first = source_m3_h * (0.1 / 60.0) / volume_m3;
    assert!((after(0.1) / first - 1.0).abs() < 0.003, "{} {first}", after(0.1));
    let last = source_m3_h / (changes * volume_m3);
    assert!((after(1e4) / last - 1.0).abs() < 1e-9);
    assert!((after(60.0 / changes) / last - 0.632_120_6).abs() < 1e-6, "one air change: 1 - 1/e");
}
