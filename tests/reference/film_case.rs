//! The films that another solver solved, as inputs of this one.

use std::collections::HashMap;

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
pub(crate) struct Case(HashMap<String, f64>);

impl Case {
    /// All of them.
    pub(crate) fn all() -> Vec<Self> {
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

    /// A column.
    pub(crate) fn get(&self, name: &str) -> f64 {
        self.0[name]
    }

    /// What landed.
    pub(crate) fn landed<'c>(&self, substances: &'c [Substance]) -> Landed<'c> {
        let part = |substance: &'c Substance| LandedPart { substance, mass_g_m2: self.get(&substance.id) };
        Landed {
            parts: substances.iter().map(part).filter(|part| part.mass_g_m2 > 0.0).collect(),
            solids_g_m2: self.get("solids_g_m2"),
            solids_density_kg_m3: self.get("solids_kg_m3"),
            resin_tg_k: self.get("resin_tg_k"),
            dry_share: 0.0,
        }
    }

    /// The sheet, the air and the constants.
    pub(crate) fn drier(&self) -> Drier<'static> {
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
