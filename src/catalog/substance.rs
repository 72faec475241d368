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

impl HazardFlag {
    /// The words in profiles.
    pub const WORDS: [(&'static str, Self); 3] =
        [("repro", Self::Repro), ("repro-1", Self::Repro1), ("oto", Self::Oto)];
}

/// The single limits behind the lowest, in ppm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SingleLimits {
    /// US OSHA permissible exposure limit, 8 h.
    pub osha_pel_ppm: Option<f64>,
    /// US OSHA ceiling.
    pub osha_ceiling_ppm: Option<f64>,
    /// US NIOSH recommended limit, up to 10 h.
    pub niosh_rel_ppm: Option<f64>,
    /// US NIOSH short-term limit.
    pub niosh_stel_ppm: Option<f64>,
    /// US NIOSH ceiling.
    pub niosh_ceiling_ppm: Option<f64>,
    /// Indicative limit of the European Union, 8 h.
    pub eu_twa_ppm: Option<f64>,
    /// Indicative limit of the European Union, 15 min.
    pub eu_stel_ppm: Option<f64>,
    /// The lowest of others, 8 h; the source names it.
    pub other_ppm: Option<f64>,
}

impl SingleLimits {
    /// The 8-hour ones.
    pub(super) fn eight_hour_ppm(&self) -> impl Iterator<Item = f64> {
        [self.osha_pel_ppm, self.niosh_rel_ppm, self.eu_twa_ppm, self.other_ppm].into_iter().flatten()
    }

    /// The short-term ones and the ceilings.
    pub(super) fn short_term_ppm(&self) -> impl Iterator<Item = f64> {
        [self.niosh_stel_ppm, self.niosh_ceiling_ppm, self.osha_ceiling_ppm, self.eu_stel_ppm].into_iter().flatten()
    }
}

/// What is known of a substance besides what the models compute with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SubstanceDetails {
    /// Chemical formula, if it is one substance.
    pub formula: Option<String>,
    /// Temperatures between which the Antoine coefficients were fitted, °C.
    pub antoine_range_c: Option<(f64, f64)>,
    /// Hansen solubility parameters (dispersion, polar, hydrogen bond), MPa^0.5.
    pub hansen_mpa05: Option<[f64; 3]>,
    /// The single limits behind the lowest.
    pub limits: SingleLimits,
    /// Whether it is taken up through the skin.
    pub skin: bool,
    /// Harm to health in words.
    pub health: Option<String>,
    /// How many independent sources agreed, in words.
    pub verification: Option<String>,
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
    /// Lower explosive limit as usually quoted, vol %; `None` if it does not burn, which a profile has to say.
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
    /// Cautions and remarks in words.
    pub note: Option<String>,
    /// What no model computes with.
    pub details: SubstanceDetails,
    /// What the figures stand on.
    pub grounds: FigureGrounds,
}

impl Substance {
    /// Whether a CAS number is this substance's, or an isomer's or grade's counted as it.
    pub fn has_cas(&self, number: &str) -> bool {
        self.cas == number || self.cas_aliases.iter().any(|other| other == number)
    }

    /// Whether it boils below the freezing point of water and leaves the droplet at once.
    pub fn is_propellant(&self) -> bool {
        self.boiling_point_c < 0.0
    }
}
