//! A solvent or propellant: physical data, limits, hazards, each with its source.

use super::FigureGrounds;

/// The class by which media respond to a liquid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SolventClass {
    /// Water.
    Water,
    /// Alcohols and glycol ethers.
    Alcohol,
    /// Ketones, esters, dimethyl ether.
    KetoneEster,
    /// Aliphatic hydrocarbons and terpenes.
    Aliphatic,
    /// Aromatic hydrocarbons.
    Aromatic,
    /// Liquefied gas that is gone before it lands.
    Propellant,
}

impl SolventClass {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 6] = [
        ("water", Self::Water),
        ("alcohol", Self::Alcohol),
        ("ketone-ester", Self::KetoneEster),
        ("aliphatic", Self::Aliphatic),
        ("aromatic", Self::Aromatic),
        ("propellant", Self::Propellant),
    ];
}

/// A hazard that makes a substance count more.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HazardFlag {
    /// Suspected of harming the unborn child or fertility.
    Repro,
    /// Known to harm the unborn child or fertility.
    Repro1,
    /// Harms hearing.
    Oto,
}

/// Workplace limits in ppm. They are for healthy adults at work.
#[derive(Debug, Clone, PartialEq)]
pub struct ExposureLimits {
    /// Lowest published 8-hour mean.
    pub lowest_twa_ppm: Option<f64>,
    /// Lowest published short-term (15-minute) limit.
    pub lowest_short_term_ppm: Option<f64>,
    /// This project's cautious default where none is published, or a lower one.
    pub default_twa_ppm: Option<f64>,
    /// The same for the short term.
    pub default_short_term_ppm: Option<f64>,
    /// Concentration immediately dangerous to life or health.
    pub idlh_ppm: Option<f64>,
    /// Which bodies set which limits, in words.
    pub source: String,
}

/// A substance of the catalog.
#[derive(Debug, Clone, PartialEq)]
pub struct Substance {
    /// Id.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Other accepted names.
    pub aliases: Vec<String>,
    /// CAS number.
    pub cas: String,
    /// CAS numbers of isomers and grades counted as this.
    pub cas_aliases: Vec<String>,
    /// Class by which media respond.
    pub class: SolventClass,
    /// Molar mass, g/mol.
    pub molar_mass_g_mol: f64,
    /// Normal boiling point, °C.
    pub boiling_point_c: f64,
    /// Antoine coefficients for log10(P/mmHg) = A − B/(T/°C + C), if known.
    pub antoine: Option<[f64; 3]>,
    /// Vapour pressure at 25 °C, kPa.
    pub vapour_pressure_25c_kpa: f64,
    /// Liquid density at 20 °C, kg/m³.
    pub density_kg_m3: f64,
    /// Heat of vaporisation at 25 °C, kJ/mol.
    pub heat_of_vaporisation_kj_mol: f64,
    /// Diffusivity in air at 25 °C, m²/s.
    pub diffusivity_m2_s: f64,
    /// Surface tension, mN/m.
    pub surface_tension_mn_m: f64,
    /// Relative evaporation rate, n-butyl acetate = 1; `None` for gases.
    pub relative_evaporation_rate: Option<f64>,
    /// Lower explosive limit as usually quoted, vol %; `None` if it does not burn.
    pub lel_vol_pct: Option<f64>,
    /// Lowest lower explosive limit of any source, vol %.
    pub lowest_lel_vol_pct: Option<f64>,
    /// Upper explosive limit, vol %.
    pub uel_vol_pct: Option<f64>,
    /// Flash point, °C.
    pub flash_point_c: Option<f64>,
    /// Limits.
    pub limits: ExposureLimits,
    /// Hazards.
    pub hazards: Vec<HazardFlag>,
    /// Hazards and cautions in words.
    pub note: Option<String>,
    /// What the figures stand on.
    pub grounds: FigureGrounds,
}

impl Substance {
    /// Whether it boils below the freezing point of water and leaves the droplet at once.
    pub fn is_propellant(&self) -> bool {
        self.boiling_point_c < 0.0
    }
}
