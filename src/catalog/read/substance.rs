//! Reading a substance.

use super::entry::{Entry, own_number};
use crate::catalog::cas;
use crate::catalog::substance::{ExposureLimits, HazardFlag, SingleLimits, SolventClass, Substance, SubstanceDetails};
use crate::diagnostic::Problem;
use crate::estimate::Grounds;
use crate::input::TableReader;

/// What an exposure limit may be, ppm.
const LIMITS_PPM: std::ops::RangeInclusive<f64> = 1e-6..=1e6;

/// Figures that may have a basis of their own.
pub(crate) const FIGURES: [&str; 21] = [
    "molar_mass_g_mol",
    "boiling_point_c",
    "antoine",
    "vapour_pressure_25c_kpa",
    "density_kg_m3",
    "heat_of_vaporisation_kj_mol",
    "diffusivity_m2_s",
    "surface_tension_mn_m",
    "relative_evaporation_rate",
    "lel_vol_pct",
    "lowest_lel_vol_pct",
    "uel_vol_pct",
    "flash_point_c",
    "hansen_mpa05",
    "lowest_twa_ppm",
    "lowest_short_term_ppm",
    "default_twa_ppm",
    "default_short_term_ppm",
    "idlh_ppm",
    "limits",
    "hazards",
];

/// Reads a substance over the one it extends.
pub(crate) fn read(id: &str, reader: &TableReader<'_>, base: Option<&Substance>, file: &Grounds) -> Option<Substance> {
    let entry = Entry::new(reader, base);
    let name = entry.name(id);
    let aliases = reader.texts("aliases").into_iter().map(|alias| alias.value).collect();
    let cas = reader.required_text("cas", "\"67-64-1\"");
    let cas_aliases = reader.texts("cas_aliases");
    for number in cas.iter().chain(&cas_aliases) {
        if !cas::is_valid(&number.value) {
            let problem = Problem::new("cas-number", format!("`{}` is not a CAS number", number.value));
            reader.problem_at("cas", number.span.clone(), problem.with_hint("its last digit does not check"));
        }
    }
    let formula = entry.words("formula", |base| base.details.formula.clone());
    let class = entry.word("class", &SolventClass::WORDS, "\"ketone-ester\"", |base| base.class);
    let molar_mass_g_mol = entry.number("molar_mass_g_mol", 2.0..=1000.0, |base| base.molar_mass_g_mol);
    let boiling_point_c = entry.number("boiling_point_c", -200.0..=500.0, |base| base.boiling_point_c);
    let antoine = antoine(&entry);
    let below = base.map(|base| base.details.clone()).unwrap_or_default();
    let antoine_range_c =
        if reader.has("antoine_range_c") { reader.pair("antoine_range_c") } else { below.antoine_range_c };
    let vapour_pressure = entry.number("vapour_pressure_25c_kpa", 0.0..=5000.0, |base| base.vapour_pressure_25c_kpa);
    let density_kg_m3 = entry.number("density_kg_m3", 100.0..=5000.0, |base| base.density_kg_m3);
    let heat = entry.number("heat_of_vaporisation_kj_mol", 1.0..=200.0, |base| base.heat_of_vaporisation_kj_mol);
    let diffusivity_m2_s = entry.number("diffusivity_m2_s", 1e-7..=1e-4, |base| base.diffusivity_m2_s);
    let tension = entry.number("surface_tension_mn_m", 0.0..=200.0, |base| base.surface_tension_mn_m);
    let rate = entry.maybe_number("relative_evaporation_rate", 0.0..=100.0, |base| base.relative_evaporation_rate);
    let (lel_vol_pct, lowest_lel_vol_pct) = explosive_limits(&entry, class);
    let uel_vol_pct = entry.maybe_number("uel_vol_pct", 0.01..=100.0, |base| base.uel_vol_pct);
    let flash_point_c = entry.maybe_number("flash_point_c", -200.0..=500.0, |base| base.flash_point_c);
    let hansen = if reader.has("hansen_mpa05") { reader.three("hansen_mpa05") } else { below.hansen_mpa05 };
    let own_singles = single_limits(reader);
    let limit =
        |key, pick: fn(&ExposureLimits) -> Option<f64>| entry.maybe_number(key, LIMITS_PPM, |base| pick(&base.limits));
    // A single limit that is lower than what is inherited counts, and so does one where nothing is said of the lowest.
    let lowest = |key, pick, singles: Vec<f64>| {
        let stated = limit(key, pick);
        let singles = singles.into_iter().filter(|_| !reader.has(key));
        stated.into_iter().chain(singles).reduce(f64::min)
    };
    let singles = own_singles.clone().unwrap_or_default();
    let limits = ExposureLimits {
        lowest_twa_ppm: lowest("lowest_twa_ppm", |limits| limits.lowest_twa_ppm, singles.eight_hour_ppm().collect()),
        lowest_short_term_ppm: lowest(
            "lowest_short_term_ppm",
            |limits| limits.lowest_short_term_ppm,
            singles.short_term_ppm().collect(),
        ),
        default_twa_ppm: limit("default_twa_ppm", |limits| limits.default_twa_ppm),
        default_short_term_ppm: limit("default_short_term_ppm", |limits| limits.default_short_term_ppm),
        idlh_ppm: limit("idlh_ppm", |limits| limits.idlh_ppm),
        source: entry.text("limit_source", "\"your own\"", |base| base.limits.source.clone()).unwrap_or_default(),
    };
    let hazards = entry.set("hazards", &HazardFlag::WORDS, |base| base.hazards.clone());
    let health = entry.words("health", |base| base.details.health.clone());
    let note = entry.words("note", |base| base.note.clone());
    let verification = entry.words("verification", |base| base.details.verification.clone());
    let details = SubstanceDetails {
        formula,
        antoine_range_c,
        hansen_mpa05: hansen,
        limits: own_singles.unwrap_or(below.limits),
        skin: entry.flag("skin", false, |base| base.details.skin),
        health,
        verification,
    };
    entry.check_basis_keys(&FIGURES);
    let grounds = entry.grounds(file, base.map(|base| &base.grounds));
    Some(Substance {
        id: id.to_owned(),
        name: name?,
        aliases,
        cas: cas?.value,
        cas_aliases: cas_aliases.into_iter().map(|number| number.value).collect(),
        class: class?,
        molar_mass_g_mol: molar_mass_g_mol?,
        boiling_point_c: boiling_point_c?,
        antoine,
        vapour_pressure_25c_kpa: vapour_pressure?,
        density_kg_m3: density_kg_m3?,
        heat_of_vaporisation_kj_mol: heat?,
        diffusivity_m2_s: diffusivity_m2_s?,
        surface_tension_mn_m: tension?,
        relative_evaporation_rate: rate,
        lel_vol_pct,
        lowest_lel_vol_pct,
        uel_vol_pct,
        flash_point_c,
        limits,
        hazards,
        note,
        details,
        grounds,
    })
}

/// Antoine coefficients: own ones; inherited ones only together with an inherited vapour pressure.
fn antoine(entry: &Entry<'_, '_, '_, Substance>) -> Option<[f64; 3]> {
    if entry.reader.has("antoine") {
        entry.mark_own("antoine");
        return entry.reader.three("antoine");
    }
    if entry.reader.has("vapour_pressure_25c_kpa") {
        return None;
    }
    entry.base.and_then(|base| base.antoine)
}

/// The lower explosive limit as usually quoted, and the lowest of any source. What burns has to state it: left out it would
/// count as not burning, which `"none"` says of what does not.
fn explosive_limits(entry: &Entry<'_, '_, '_, Substance>, class: Option<SolventClass>) -> (Option<f64>, Option<f64>) {
    let reader = entry.reader;
    if reader.raw_text("lel_vol_pct") == Some("none") {
        entry.mark_own("lel_vol_pct");
        return (None, entry.maybe_number("lowest_lel_vol_pct", 0.01..=100.0, |_| None));
    }
    let inherits_none = entry.base.is_some_and(|base| base.class != SolventClass::Water);
    if !reader.has("lel_vol_pct") && !inherits_none && class.is_some_and(|class| class != SolventClass::Water) {
        let problem = Problem::new("missing-key", "this substance states no lower explosive limit, `lel_vol_pct`")
            .with_hint("add the lowest you find, in vol %, or write `lel_vol_pct = \"none\"` if it does not burn");
        reader.problem(problem.at(reader.span()).with_key(reader.path_of("lel_vol_pct")));
    }
    let quoted = entry.maybe_number("lel_vol_pct", 0.01..=100.0, |base| base.lel_vol_pct);
    let lowest = entry.maybe_number("lowest_lel_vol_pct", 0.01..=100.0, |base| base.lowest_lel_vol_pct);
    let inherited = !reader.has("lowest_lel_vol_pct");
    (quoted, if inherited { quoted.into_iter().chain(lowest).reduce(f64::min) } else { lowest })
}

fn single_limits(reader: &TableReader<'_>) -> Option<SingleLimits> {
    let table = reader.table("limits")?;
    let of = |key| own_number(&table, key, LIMITS_PPM);
    let limits = SingleLimits {
        osha_pel_ppm: of("osha_pel"),
        osha_ceiling_ppm: of("osha_ceiling"),
        niosh_rel_ppm: of("niosh_rel"),
        niosh_stel_ppm: of("niosh_stel"),
        niosh_ceiling_ppm: of("niosh_ceiling"),
        eu_twa_ppm: of("eu_twa"),
        eu_stel_ppm: of("eu_stel"),
        other_ppm: of("other"),
    };
    table.finish();
    Some(limits)
}
