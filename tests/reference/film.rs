//! The evaporating film against an independent solution of the same equations.
//!
//! `film_reference.py` beside this file wrote `film_cases.csv` (scipy solve_ivp, LSODA, relative tolerance 1e-8).

use std::collections::HashMap;
use std::time::Instant;

use coatbell::catalog::{Catalog, Substance};
use coatbell::film::{Drier, DryMargins, FilmConstants, Landed, LandedPart, SheetThermal};
use coatbell::vapour::MoistAir;

/// Margins and reference temperature of the rules.
pub(crate) const MARGINS: DryMargins = DryMargins { touch_k: 54.0, handle_k: 21.0, reference_k: 294.15 };

/// The substances of the reference cases, with the data the cases were solved with.
pub(crate) fn substances() -> Vec<Substance> {
    let mut reader = csv::Reader::from_reader(include_str!("film_substances.csv").as_bytes());
    let catalog = Catalog::builtin();
    reader.records().map(|record| substance(&catalog, &record.expect("a well-formed file"))).collect()
}

fn substance(catalog: &Catalog, record: &csv::StringRecord) -> Substance {
    let number = |column: usize| record[column].parse::<f64>().expect("a number");
    let mut substance = catalog.substances[&record[0]].clone();
    substance.molar_mass_g_mol = number(1);
    substance.antoine = Some([number(2), number(3), number(4)]);
    substance.density_kg_m3 = number(5);
    substance.heat_of_vaporisation_kj_mol = number(6);
    substance.diffusivity_m2_s = number(7);
    substance
}

/// One row of the case file by column.
struct Case(HashMap<String, f64>);

impl Case {
    fn all() -> Vec<Self> {
        let mut reader = csv::Reader::from_reader(include_str!("film_cases.csv").as_bytes());
        let names: Vec<String> = reader.headers().expect("a header").iter().map(str::to_owned).collect();
        reader
            .records()
            .map(|record| {
                let values = record.expect("a well-formed file");
                let numbers = values.iter().map(|value| value.parse().expect("a number"));
                Self(names.iter().cloned().zip(numbers).collect())
            })
            .collect()
    }

    fn get(&self, name: &str) -> f64 {
        self.0[name]
    }

    fn landed<'c>(&self, substances: &'c [Substance]) -> Landed<'c> {
        let part = |substance: &'c Substance| LandedPart { substance, mass_g_m2: self.get(&substance.id) };
        Landed {
            parts: substances.iter().map(part).filter(|part| part.mass_g_m2 > 0.0).collect(),
            solids_g_m2: self.get("solids_g_m2"),
            solids_density_kg_m3: self.get("solids_kg_m3"),
            resin_tg_k: self.get("resin_tg_k"),
            dry_share: 0.0,
        }
    }

    fn drier(&self) -> Drier<'static> {
        Drier {
            sheet: SheetThermal {
                heat_capacity_j_m2_k: self.get("sheet_j_m2_k"),
                back_w_m2_k: self.get("back_w_m2_k"),
            },
            air: MoistAir { temperature_c: self.get("t_c"), relative_humidity: self.get("rh"), pressure_pa: 101_325.0 },
            constants: FilmConstants {
                gas_film_m_s: self.get("gas_film_m_s"),
                radiation_w_m2_k: self.get("radiation_w_m2_k"),
                diffusivity_at_tg_m2_s: self.get("diffusivity_m2_s"),
                diffusivity_coupling: self.get("coupling"),
                interaction: self.get("interaction"),
                landing_drop_k: self.get("drop_k"),
                solvent_tg_k: self.get("solvent_tg_k"),
                water_tg_k: self.get("water_tg_k"),
                liquid_heat_capacity_j_g_k: self.get("liquid_j_g_k"),
            },
            margins: &MARGINS,
        }
    }
}

#[test]
fn fifty_films_agree_with_another_solver() {
    let substances = substances();
    let cases = Case::all();
    assert_eq!(cases.len(), 50);
    for (number, case) in cases.iter().enumerate() {
        let landed = case.landed(&substances);
        let drier = case.drier();
        let times = drier.times(&landed, case.get("below_um"));
        let close = |what: &str, got: f64, expected: f64, allowed: f64| {
            assert!((got - expected).abs() <= allowed, "case {number}, {what}: {got} instead of {expected}");
        };
        for (what, seconds) in [("touch_s", times.touch_s), ("handle_s", times.handle_s)] {
            let expected = case.get(what);
            close(what, seconds.expect("every case dries"), expected, 0.01 * expected);
        }
        close("coldest_c", times.coldest_film_c, case.get("coldest_c"), 0.1);
        // The condensed water is a sum over the steps of the film: 3 % or 10 mg/m², far below any threshold.
        let condensed = case.get("condensed_g_m2");
        close("condensed_g_m2", times.peak_condensed_g_m2, condensed, (0.03 * condensed).max(0.01));
        let masses = drier.masses_g_m2(&landed, case.get("below_um"), case.get("touch_s"));
        let laid: f64 = landed.parts.iter().map(|part| part.mass_g_m2).sum();
        for (part, mass) in landed.parts.iter().zip(masses) {
            close(&part.substance.id, mass, case.get(&format!("touch_{}", part.substance.id)), 0.01 * laid);
        }
    }
}

#[test]
#[expect(clippy::print_stdout, reason = "`film_reference.py --time` reads it")]
fn a_film_is_solved_much_faster_than_by_the_reference() {
    // The reference takes 25 ms a film (`film_reference.py --time`), this 0.04 ms on a free core; the bound leaves room
    // for a loaded machine.
    let substances = substances();
    let coats: Vec<_> = Case::all().into_iter().map(|case| (case.landed(&substances), case)).collect();
    let begin = Instant::now();
    for (landed, case) in &coats {
        std::hint::black_box(case.drier().times(landed, case.get("below_um")));
    }
    let each = begin.elapsed() / 50;
    println!("coatbell: {:.1} us per film", each.as_secs_f64() * 1e6);
    assert!(each.as_micros() < 5000, "{each:?}");
}
