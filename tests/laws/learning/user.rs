//! One person with a can, and what they read.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::estimate::{Triple, normal_from_uniform};
use coatbell::record::{
    CanRecord, CanWeighing, CardWeighing, ConeReading, Measurement, Reading, read_can, read_card, read_cone,
    solids_share, tune,
};
use coatbell::spray::Spray;

use super::film::AIR;
use crate::support::Numbers;

/// How the card is sprayed: A4 in the middle of the swept area, eight seconds from 20 cm, on a scale of hundredths.
const CARD_M2: f64 = 0.210 * 0.297;
const SWEPT_M2: f64 = 0.45 * 0.35;
const CARD_S: f64 = 8.0;

pub(super) struct User {
    /// The can in hand with everything about it as it really is.
    pub(super) real: Sealer,
    pub(super) numbers: Numbers,
}

pub(super) fn uniform(numbers: &mut Numbers) -> f64 {
    (numbers.next() >> 11) as f64 / (1_u64 << 53) as f64
}

pub(super) fn normal(numbers: &mut Numbers) -> f64 {
    normal_from_uniform(uniform(numbers))
}

/// What a scale shows.
fn shown(grams: f64, step_g: f64) -> f64 {
    (grams / step_g).round() * step_g
}

impl User {
    pub(super) fn new(place: u64, sealer: &Sealer, catalog: &Catalog) -> Self {
        let mut numbers = Numbers(0xC0A7_BE11 ^ (place << 20));
        numbers.next();
        let mut real = sealer.clone();
        let mut draw = |triple: Triple| Triple::exact(triple.at(uniform(&mut numbers)));
        real.can.discharge_g_s = Some(draw(sealer.discharge_at_22c_g_s()));
        real.can.cone_half_angle_deg = Some(draw(catalog.model.spray.cone_half_angle_deg.value));
        real.can.transfer_at_15cm = Some(draw(catalog.model.spray.transfer_at_15cm.value));
        for part in &mut real.composition.parts {
            part.share = draw(part.share);
        }
        Self { real, numbers }
    }

    fn rate_g_s(&self) -> f64 {
        self.real.discharge_at_22c_g_s().mode()
    }

    /// Ten seconds between two weighings, on a kitchen scale that shows grams; the can is at 22 °C.
    pub(super) fn weigh_can(&mut self, catalog: &Catalog) -> Reading {
        let figures = &catalog.model.measure;
        let full_g = 280.0 + 40.0 * uniform(&mut self.numbers);
        let open_s = 10.0 + figures.timing_s.get() * normal(&mut self.numbers);
        let burst = libm::exp(figures.burst_variation.get() * normal(&mut self.numbers));
        let weighing = CanWeighing {
            before_g: shown(full_g, 1.0),
            after_g: shown(full_g - self.rate_g_s() * open_s * burst, 1.0),
            seconds: 10.0,
            bursts: 1,
            scale_g: 1.0,
            temperature_c: 22.0,
            discharge_factor: 1.0,
        };
        read_can(&weighing, &self.real, figures).expect("a scale that can tell")
    }

    /// A spot from 30 cm, measured across with a ruler.
    pub(super) fn measure_cone(&mut self, catalog: &Catalog) -> Reading {
        let figures = &catalog.model.measure;
        let held_cm = 30.0 + figures.distance_cm.get() * normal(&mut self.numbers);
        let half_angle = self.real.can.cone_half_angle_deg.expect("a nozzle").mode().to_radians();
        let edges_cm = figures.edge_cm.get() * normal(&mut self.numbers);
        let width_cm = (2.0 * held_cm * libm::tan(half_angle) + edges_cm).max(1.0);
        read_cone(&ConeReading { distance_cm: 30.0, width_cm }, figures).expect("a cone")
    }

    /// A card weighed before it was sprayed and dry again; the can's rate is taken as known by then.
    pub(super) fn weigh_card(&mut self, sealer: &Sealer, so_far: &[Reading], catalog: &Catalog) -> Reading {
        let (figures, spray) = (&catalog.model.measure, &catalog.model.spray);
        let solids = Spray::new(&self.real, &AIR, catalog).shares.solids;
        let open_s = CARD_S + figures.timing_s.get() * normal(&mut self.numbers);
        let burst = libm::exp(figures.burst_variation.get() * normal(&mut self.numbers));
        let evenness = libm::exp(figures.card_variation.get() * normal(&mut self.numbers));
        let at_15cm = self.real.can.transfer_at_15cm.expect("a share").mode();
        let stays = at_15cm * libm::exp(-0.05 / spray.transfer_length_m.get());
        let gained_g = self.rate_g_s() * burst * open_s * solids * stays * CARD_M2 / SWEPT_M2 * evenness;
        let empty_g = 15.0 + uniform(&mut self.numbers);
        let weighing = CardWeighing {
            before_g: shown(empty_g, 0.01),
            after_g: shown(empty_g + gained_g, 0.01),
            card_m2: CARD_M2,
            swept_m2: SWEPT_M2,
            seconds: CARD_S,
            distance_cm: 20.0,
            scale_g: 0.01,
            solids: solids_share(sealer, catalog, 1),
        };
        let rate_g_s = tune(sealer, &record(sealer, so_far), &catalog.model).discharge_at_22c_g_s().at(0.5);
        read_card(&weighing, rate_g_s, 1.0, spray, figures).expect("a card")
    }
}

/// What was read, as the file of the can keeps it.
pub(super) fn record(sealer: &Sealer, readings: &[Reading]) -> CanRecord {
    let measurements = readings.iter().map(|reading| Measurement {
        at: "2026-11-28T14:00:00Z".to_owned(),
        insisted: false,
        reading: reading.clone(),
    });
    CanRecord { measurements: measurements.collect(), ..CanRecord::new(&sealer.id) }
}
