//! What is known after measurements, against sums of prior times likelihood by scipy (`measure_updates.py` beside this
//! file): 20 invented cans.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::estimate::Triple;
use coatbell::record::{CanRecord, Measurement, Reading, posteriors, tune};

use crate::support::say;

/// The numbers of a cell, with one sign between them.
fn numbers(cell: &str, between: char) -> Vec<f64> {
    cell.split(between).filter(|part| !part.is_empty()).map(|part| part.parse().expect("a number")).collect()
}

fn triple(cell: &str) -> Option<Triple> {
    let [low, mode, high] = numbers(cell, ' ')[..] else { return None };
    Triple::new(low, mode, high)
}

fn pairs(cell: &str) -> Vec<(f64, f64)> {
    let pair = |text: &str| match numbers(text, ':')[..] {
        [value, sd] => (value, sd),
        _ => panic!("value:error, not `{text}`"),
    };
    cell.split_whitespace().map(pair).collect()
}

fn weighing((rate_g_s, relative_sd): (f64, f64)) -> Reading {
    Reading::Can {
        before_g: 300.0,
        after_g: 290.0,
        seconds: 10.0,
        scale_g: 1.0,
        temperature_c: 22.0,
        rate_g_s,
        relative_sd,
    }
}

struct Case {
    catalog: Catalog,
    sealer: Sealer,
    word: String,
    readings: Vec<Reading>,
    expected: [f64; 3],
}

fn case(row: &csv::StringRecord) -> Case {
    let mut catalog = Catalog::builtin();
    let mut sealer = catalog.sealers["acrylic-gloss"].clone();
    sealer.can.discharge_g_s = triple(&row[2]);
    let other_sd: f64 = row[4].parse().unwrap_or(0.0);
    let first = pairs(&row[5]);
    let readings: Vec<Reading> = match &row[1] {
        "can" => first.into_iter().map(weighing).collect(),
        "cone" => {
            catalog.model.spray.cone_half_angle_deg.value = triple(&row[3]).expect("a prior");
            let cone = |(half_angle_deg, relative_sd)| Reading::Cone {
                distance_cm: 30.0,
                width_cm: 13.0,
                half_angle_deg,
                relative_sd,
            };
            first.into_iter().map(cone).collect()
        }
        "transfer" => {
            catalog.model.spray.transfer_at_15cm.value = triple(&row[3]).expect("a prior");
            // A card's product, however it is shared out between the rate taken and the share.
            let card = |(product, relative_sd)| Reading::Transfer {
                gained_g: 0.2,
                seconds: 8.0,
                distance_cm: 20.0,
                rate_g_s: 0.9,
                share_at_15cm: product / 0.9,
                relative_sd,
                solids_sd: other_sd,
            };
            first.into_iter().map(weighing).chain(pairs(&row[6]).into_iter().map(card)).collect()
        }
        "drying" => {
            catalog.model.measure.coat_variation.value = Triple::exact(other_sd);
            let [low, middle, high] = numbers(&row[3], ' ')[..] else { panic!("three times") };
            let thumb = |(minutes, relative_sd)| Reading::Drying {
                of: "a page, coat 2".to_owned(),
                minutes,
                modelled_p10_min: low,
                modelled_p50_min: middle,
                modelled_p90_min: high,
                relative_sd,
            };
            first.into_iter().map(thumb).collect()
        }
        other => panic!("{other}"),
    };
    let expected = [7, 8, 9].map(|place| row[place].parse().expect("a number"));
    Case { catalog, sealer, word: row[1].to_owned(), readings, expected }
}

#[test]
fn twenty_cans_are_known_as_scipy_knows_them() {
    let text = include_str!("measure_updates.csv");
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let (mut count, mut most) = (0, 0.0_f64);
    for row in table.records() {
        let row = row.expect("a row");
        let Case { catalog, sealer, word, readings, expected } = case(&row);
        let measurements = readings.into_iter().map(|reading| Measurement {
            at: "2026-11-25T18:00:00+00:00".to_owned(),
            insisted: false,
            reading,
        });
        let record = CanRecord { measurements: measurements.collect(), ..CanRecord::new(&sealer.id) };
        let figure = match &*word {
            "can" => "discharge_g_s",
            "cone" => "cone_half_angle_deg",
            "transfer" => "transfer_at_15cm",
            _ => "drying_factor",
        };
        let all = posteriors(&record, &sealer, &catalog.model);
        let now = all.iter().find(|known| known.figure == figure).expect("it was measured").now;
        for (got, wanted) in [now.p10, now.p50, now.p90].into_iter().zip(expected) {
            let off = (got / wanted - 1.0).abs();
            assert!(off < 1e-3, "case {}: {got} for {wanted}", &row[0]);
            most = most.max(off);
        }
        // What a plan samples is a triangle with the same outer points.
        if word == "can" {
            let taken = tune(&sealer, &record, &catalog.model).discharge_at_22c_g_s();
            for (share, wanted) in [(0.1, expected[0]), (0.9, expected[2])] {
                assert!((taken.at(share) / wanted - 1.0).abs() < 1e-3, "case {}: {taken:?}", &row[0]);
            }
        }
        count += 1;
    }
    assert_eq!(count, 20);
    say(&format!("20 updates against scipy: the largest difference is {:.5} %", 100.0 * most));
}
