//! The wet film of a coat at the planned settings.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::estimate::{Quantiles, Triple};
use coatbell::page::Sheet;
use coatbell::plan::{SEED, make};
use coatbell::record::tune;
use coatbell::solve::SAMPLES;
use coatbell::spray::{Samples, Setting, Spray};
use coatbell::vapour::MoistAir;

use super::user::{User, record};
use super::{PAGE, Tally, people};
use crate::support::{CATALOG, REFERENCE_ROOM, now, page, plan, request, room};

/// The air of the reference room.
pub(super) const AIR: MoistAir = MoistAir { temperature_c: 21.0, relative_humidity: 0.48, pressure_pa: 101_325.0 };

/// Settings of the mist and of a build of the page, as planned with nothing measured.
fn planned(sealer: &str) -> [Setting; 2] {
    let plan = plan(PAGE, REFERENCE_ROOM, Some(sealer));
    let coat = |place: usize| {
        let coat = &plan.coats[place];
        Setting { distance_cm: coat.distance_cm, speed_cm_s: coat.pass_speed_cm_s, step_cm: coat.step_over_cm }
    };
    [coat(0), coat(1)]
}

/// The wet film at a setting, in the way a plan samples it.
pub(super) fn film(sealer: &Sealer, setting: &Setting, catalog: &Catalog, count: usize, seed: u64) -> Quantiles {
    let spray = Spray::new(sealer, &AIR, catalog);
    let samples = Samples::new(&spray, count, seed);
    samples.film(&samples.at(setting.distance_cm), setting, 0).wet_quantiles()
}

/// What the people learn at one setting: after the can alone, and after can, cone and card.
fn learn(id: &str, setting: &Setting, catalog: &Catalog, count: u64) -> [Tally; 3] {
    let sealer = &catalog.sealers[id];
    let before = film(sealer, setting, catalog, SAMPLES, SEED);
    let [mut nothing, mut one, mut all] = [Tally::default(), Tally::default(), Tally::default()];
    for place in 0..count {
        let mut user = User::new(place, sealer, catalog);
        // One place of one coat of this can by this hand: a sample of one.
        let truth = film(&user.real, setting, catalog, 1, user.numbers.next()).p50;
        let mut readings = vec![user.weigh_can(catalog)];
        let weighed = tune(sealer, &record(sealer, &readings), &catalog.model);
        let after_can = film(&weighed, setting, catalog, SAMPLES, SEED);
        readings.push(user.measure_cone(catalog));
        readings.push(user.weigh_card(sealer, &readings, catalog));
        let measured = tune(sealer, &record(sealer, &readings), &catalog.model);
        let after_all = film(&measured, setting, catalog, SAMPLES, SEED);
        nothing.add(before, before, truth);
        one.add(before, after_can, truth);
        all.add(before, after_all, truth);
    }
    [nothing, one, all]
}

/// The same hand every time.
fn fixed_hand() -> Catalog {
    let mut catalog = Catalog::builtin();
    catalog.model.spray.hand_speed_variation.value = Triple::exact(0.0);
    catalog
}

/// One in a thousand of honest samples of a thousand lies outside.
fn assert_holds(tally: &Tally) {
    let held = tally.share_held();
    assert!((0.76..=0.84).contains(&held), "{held}");
}

/// The requirement, on the coat with that place: ranges as lengths, as a plan prints them.
fn one_weighing_is_worth_it(place: usize) {
    let fixed = fixed_hand();
    for (hand, catalog, least) in [("the hand's variation in it", &*CATALOG, 0.15), ("fixed hand", &fixed, 0.30)] {
        let [nothing, one, all] = learn("acrylic-gloss", &planned("acrylic-gloss")[place], catalog, people(1000));
        let what = format!("wet film of coat {}, {hand}", place + 1);
        nothing.say(&format!("{what}: nothing measured"));
        one.say(&format!("{what}: one weighing"));
        all.say(&format!("{what}: can, cone and card"));
        assert!(one.median_um() >= least, "{}", one.median_um());
        assert!(all.median_um() > one.median_um(), "a card narrows it further");
        for tally in [nothing, one, all] {
            assert_holds(&tally);
        }
    }
}

#[test]
fn one_weighing_narrows_the_mist_and_the_truth_is_in_it() {
    one_weighing_is_worth_it(0);
}

#[test]
fn one_weighing_narrows_the_build_and_the_truth_is_in_it() {
    one_weighing_is_worth_it(1);
}

#[test]
fn one_weighing_narrows_other_sealers_as_well() {
    let fixed = fixed_hand();
    let count = people(40);
    for id in ["acrylic-matte", "acrylic-spirit", "final-fixative"] {
        for (hand, catalog, least) in [("the hand's variation in it", &*CATALOG, 0.15), ("fixed hand", &fixed, 0.30)] {
            let [nothing, one, all] = learn(id, &planned(id)[1], catalog, count);
            nothing.say(&format!("wet film of a build of {id}, {hand}: nothing measured"));
            one.say(&format!("wet film of a build of {id}, {hand}: one weighing"));
            all.say(&format!("wet film of a build of {id}, {hand}: can, cone and card"));
            let narrower = if count >= 1000 { one.median_um() } else { one.median() };
            assert!(narrower >= least, "{id} {narrower}");
            // A plan loses in flight what its likely composition loses; a can of acrylic-spirit with more of the fast
            // solvents loses more of them, so that the truth lies inside a little oftener than the range says.
            if count >= 1000 {
                let held = [one.share_held(), all.share_held()];
                assert!(held.iter().all(|held| (0.76..=0.86).contains(held)), "{id} {held:?}");
            }
        }
    }
}

#[test]
fn the_films_of_these_tests_are_the_plans_own() {
    let sealer = &CATALOG.sealers["acrylic-gloss"];
    let (source, input) = page(PAGE);
    let sheet = Sheet::resolve(&input, &source, &CATALOG).expect("a page");
    let (room, now) = (room(REFERENCE_ROOM), now());
    for place in 0..6 {
        let mut user = User::new(place, sealer, &CATALOG);
        let mut readings = vec![user.weigh_can(&CATALOG), user.measure_cone(&CATALOG)];
        readings.push(user.weigh_card(sealer, &readings, &CATALOG));
        let tuned = tune(sealer, &record(sealer, &readings[..=(place as usize % 3)]), &CATALOG.model);
        let plan = make(&request(&sheet, Some(&tuned), &room, &now), &CATALOG);
        assert_eq!(plan.coats.len(), 3);
        for coat in &plan.coats {
            let setting =
                Setting { distance_cm: coat.distance_cm, speed_cm_s: coat.pass_speed_cm_s, step_cm: coat.step_over_cm };
            assert_eq!(film(&tuned, &setting, &CATALOG, SAMPLES, SEED), coat.wet_film_um, "coat {}", coat.number);
        }
    }
}
