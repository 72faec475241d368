//! How long a coat takes until it is touch-dry, after three thumbs.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::estimate::{PointSet, Quantiles};
use coatbell::film::{Drier, DryMargins, FilmConstants, Landed, SampledDrying, SheetThermal, scaled_to_wet_um};
use coatbell::page::Sheet;
use coatbell::plan::{Plan, SEED, make};
use coatbell::record::{Reading, ThumbReading, read_thumb, tune};
use coatbell::solve::{PlannedCoat, plan_coats};

use super::film::AIR;
use super::user::{normal, record};
use super::{PAGE, Tally, people, width};
use crate::support::{CATALOG, Numbers, REFERENCE_ROOM, now, page, request, room};

/// The coat that is touched: the first build.
const COAT: usize = 1;

/// Draught of the day over that of the bench, standard deviation of the logarithm: with the hand's 15 % it makes the
/// 20 % by which one coat differs from the next.
const DRAUGHT_OF_THE_DAY: f64 = 0.13;

/// z between the outer points of a range.
const OUTER: f64 = 2.0 * 1.281_551_565_5;

/// A person's bench and can: what stays the same on every evening.
struct Bench<'c> {
    catalog: &'c Catalog,
    constants: FilmConstants,
    margins: DryMargins,
    sheet: SheetThermal,
    landed: Landed<'c>,
    below_um: f64,
    /// The film this can lays at the planned setting by a hand that is not fast and not slow, µm.
    film_um: f64,
}

impl<'c> Bench<'c> {
    fn new(coats: &[PlannedCoat<'c>], grammage_g_m2: f64, catalog: &'c Catalog, numbers: &mut Numbers) -> Self {
        let film = &catalog.model.film;
        let drawn = PointSet::new(FilmConstants::DIMENSIONS, 1, numbers.next());
        let (coat, hand) = (&coats[COAT], catalog.model.spray.hand_speed_variation.get());
        let all = width(coat.wet_um) / OUTER;
        let can_alone = libm::sqrt(all * all - hand * hand);
        Self {
            catalog,
            constants: FilmConstants::at_point(film, film.gas_film_m_s.value, &drawn, 0),
            margins: DryMargins::of(&catalog.rules),
            sheet: SheetThermal {
                heat_capacity_j_m2_k: film.paper_heat_capacity_kj_kg_k.get() * grammage_g_m2,
                back_w_m2_k: film.back_w_m2_k.get(),
            },
            landed: coat.deposit.landed.clone(),
            below_um: coats[..COAT].iter().map(|coat| coat.dry_um.p50).sum(),
            film_um: coat.wet_um.p50 * libm::exp(can_alone * normal(numbers)),
        }
    }

    /// When a coat of one evening is touch-dry, min.
    fn touch_dry_min(&self, numbers: &mut Numbers) -> f64 {
        let hand = self.catalog.model.spray.hand_speed_variation.get();
        let film_um = self.film_um * libm::exp(hand * normal(numbers));
        let mut constants = self.constants;
        constants.gas_film_m_s *= libm::exp(DRAUGHT_OF_THE_DAY * normal(numbers));
        let drier = Drier { sheet: self.sheet, air: AIR, constants, margins: &self.margins };
        drier.times(&scaled_to_wet_um(&self.landed, film_um), self.below_um).touch_s.expect("it dries") / 60.0
    }
}

fn planned(sealer: &Sealer, catalog: &Catalog) -> Plan {
    let (source, input) = page(PAGE);
    let sheet = Sheet::resolve(&input, &source, catalog).expect("a page");
    let (room, now) = (room(REFERENCE_ROOM), now());
    make(&request(&sheet, Some(sealer), &room, &now), catalog)
}

/// A thumb and a clock with a step of so many minutes.
fn thumb(truth_min: f64, step_min: f64, modelled: Quantiles, numbers: &mut Numbers) -> Reading {
    let figures = &CATALOG.model.measure;
    let felt_min = truth_min * libm::exp(figures.thumb_variation.get() * normal(numbers));
    let sprayed_min = (numbers.next() % 1_000_000) as f64 * 1e-3;
    let on_the_clock = |moment: f64| (moment / step_min).floor() * step_min;
    let minutes = (on_the_clock(sprayed_min + felt_min) - on_the_clock(sprayed_min)).max(step_min);
    let reading = ThumbReading { of: "Lantern, coat 2".to_owned(), minutes, clock_step_min: step_min, modelled };
    read_thumb(&reading, figures).expect("a clock that can tell")
}

/// What people learn from three thumbs on three evenings about the coat of a fourth.
fn learn(id: &str, step_min: f64, count: u64) -> [Tally; 2] {
    let catalog = &*CATALOG;
    let sealer = &catalog.sealers[id];
    let before = planned(sealer, catalog).coats[COAT].touch_dry_min.expect("a modelled time");
    let (source, input) = page(PAGE);
    let sheet = Sheet::resolve(&input, &source, catalog).expect("a page");
    let coats = plan_coats(&sheet, sealer, &AIR, catalog, SEED).coats;
    let [mut nothing, mut three] = [Tally::default(), Tally::default()];
    for place in 0..count {
        let mut numbers = Numbers(0xD2F1 ^ (place << 18));
        let bench = Bench::new(&coats, sheet.grammage_g_m2, catalog, &mut numbers);
        let readings: Vec<Reading> =
            (0..3).map(|_| thumb(bench.touch_dry_min(&mut numbers), step_min, before, &mut numbers)).collect();
        let truth = bench.touch_dry_min(&mut numbers);
        let tuned = tune(sealer, &record(sealer, &readings), &catalog.model);
        nothing.add(before, before, truth);
        three.add(before, measured(before, &tuned), truth);
        if place < 3 {
            // The plan itself says the same.
            let planned = planned(&tuned, catalog).coats[COAT].touch_dry_min.expect("a modelled time");
            assert!((planned.p10 / measured(before, &tuned).p10 - 1.0).abs() < 1e-9, "{planned:?}");
            assert!((planned.p90 / measured(before, &tuned).p90 - 1.0).abs() < 1e-9, "{planned:?}");
        }
    }
    [nothing, three]
}

/// A range with what the thumbs of a can taught.
fn measured(range: Quantiles, tuned: &Sealer) -> Quantiles {
    let known = tuned.can.drying.expect("thumbs");
    let rest = Quantiles { p10: 0.0, p50: 0.0, p90: 0.0 };
    let all = SampledDrying { touch_min: range, handle_min: range, blush_index: rest, coldest_film_c: rest };
    all.measured(known.factor, known.narrowing).touch_min
}

#[test]
fn three_thumbs_narrow_the_drying_time_and_hold_the_truth() {
    // A fast sealer by a clock with seconds, a slow one by a clock without.
    for (id, step_min) in [("acrylic-gloss", 1.0 / 60.0), ("acrylic-gloss", 1.0), ("acrylic-spirit", 1.0)] {
        let [nothing, three] = learn(id, step_min, people(1000));
        nothing.say(&format!("touch-dry, {id}, clock of {step_min:.2} min: nothing"));
        three.say(&format!("touch-dry, {id}, clock of {step_min:.2} min: three thumbs"));
        assert!(three.median() >= 0.3, "{}", three.median());
        for tally in [nothing, three] {
            let held = tally.share_held();
            assert!((0.76..=0.84).contains(&held), "{id}: {held}");
        }
    }
}
