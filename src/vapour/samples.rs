//! Substances and airs for the unit tests of this room and the film's.

use std::collections::BTreeMap;

use super::{MoistAir, Surroundings};
use crate::catalog::{ExposureLimits, FigureGrounds, SolventClass, Substance, SubstanceDetails};
use crate::estimate::{Basis, Grounds};

/// Molar mass g/mol, Antoine, 25 °C pressure kPa, density kg/m³, heat of vaporisation kJ/mol, diffusivity m²/s.
type Row = (&'static str, SolventClass, f64, Option<[f64; 3]>, f64, f64, f64, f64);

/// Property libraries and handbooks, as in the catalog.
const ROWS: [Row; 10] = [
    ("water", SolventClass::Water, 18.015, Some([7.99074, 1687.537, 230.17]), 3.17, 998.2, 43.98, 2.537e-5),
    ("acetone", SolventClass::KetoneEster, 58.08, Some([7.0935, 1197.01, 228.06]), 30.7, 790.0, 30.99, 1.072e-5),
    (
        "methyl-ethyl-ketone",
        SolventClass::KetoneEster,
        72.11,
        Some([7.0137, 1232.63, 218.69]),
        12.05,
        805.0,
        34.79,
        9.302e-6,
    ),
    (
        "n-butyl-acetate",
        SolventClass::KetoneEster,
        116.16,
        Some([7.69745, 1754.352, 239.754]),
        1.57,
        882.0,
        43.86,
        7.318e-6,
    ),
    ("pm-acetate", SolventClass::KetoneEster, 132.16, Some([7.32847, 1575.793, 208.297]), 0.5, 968.0, 47.5, 7.09e-6),
    ("toluene", SolventClass::Aromatic, 92.14, Some([6.92553, 1327.62, 217.625]), 3.79, 867.0, 38.01, 8.162e-6),
    ("xylene", SolventClass::Aromatic, 106.17, Some([7.01561, 1468.703, 216.12]), 1.1, 866.0, 42.65, 7.467e-6),
    ("ethanol", SolventClass::Alcohol, 46.07, Some([8.21185, 1648.22, 230.918]), 7.88, 789.0, 42.32, 1.241e-5),
    ("mineral-spirits", SolventClass::Aliphatic, 142.0, Some([7.45422, 1774.98, 217.538]), 0.2, 780.0, 51.4, 5.903e-6),
    ("dipropylene-glycol-methyl-ether", SolventClass::Alcohol, 148.2, None, 0.055, 951.0, 50.0, 6.53e-6),
];

/// One of the sample substances.
pub(crate) fn substance(id: &str) -> Substance {
    let row = ROWS.iter().find(|row| row.0 == id).expect("a sample substance");
    Substance {
        id: row.0.to_owned(),
        name: row.0.to_owned(),
        aliases: Vec::new(),
        cas: String::new(),
        cas_aliases: Vec::new(),
        class: row.1,
        molar_mass_g_mol: row.2,
        boiling_point_c: 100.0,
        antoine: row.3,
        vapour_pressure_25c_kpa: row.4,
        density_kg_m3: row.5,
        heat_of_vaporisation_kj_mol: row.6,
        diffusivity_m2_s: row.7,
        surface_tension_mn_m: 25.0,
        relative_evaporation_rate: None,
        lel_vol_pct: None,
        lowest_lel_vol_pct: None,
        uel_vol_pct: None,
        flash_point_c: None,
        limits: ExposureLimits {
            lowest_twa_ppm: None,
            lowest_short_term_ppm: None,
            default_twa_ppm: None,
            default_short_term_ppm: None,
            idlh_ppm: None,
            source: String::new(),
        },
        hazards: Vec::new(),
        note: None,
        details: SubstanceDetails::default(),
        grounds: FigureGrounds { default: Grounds::plain(Basis::Estimate), own: BTreeMap::new() },
    }
}

/// A substance of which only the 25 °C pressure and the heat of vaporisation are known.
pub(crate) fn substance_without_antoine() -> Substance {
    substance("dipropylene-glycol-methyl-ether")
}

/// Air at standard pressure.
pub(crate) fn indoor(temperature_c: f64, relative_humidity: f64) -> MoistAir {
    MoistAir { temperature_c, relative_humidity, pressure_pa: 101_325.0 }
}

/// Surroundings with the usual radiation.
pub(crate) fn around(gas_film_m_s: f64, back_w_m2_k: f64) -> Surroundings {
    Surroundings { gas_film_m_s, radiation_w_m2_k: 5.5, back_w_m2_k }
}
