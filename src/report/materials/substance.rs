//! The card of a solvent or propellant.

use super::{LABEL, how_sure, significant, title};
use crate::catalog::{Catalog, Component, HazardFlag, SolventClass, Substance};
use crate::quantity::number;
use crate::report::writer::Writer;

pub(super) fn card(catalog: &Catalog, substance: &Substance, writer: &mut Writer<'_>) {
    title(writer, &substance.name, &substance.id, "substance", &substance.aliases);
    let class = match substance.class {
        SolventClass::Water => "water",
        SolventClass::Alcohol => "alcohols and glycol ethers",
        SolventClass::KetoneEster => "ketones, esters and dimethyl ether",
        SolventClass::Aliphatic => "aliphatic hydrocarbons and terpenes",
        SolventClass::Aromatic => "aromatic hydrocarbons",
        SolventClass::Propellant => "liquefied gases, gone before they land",
    };
    let others = if substance.cas_aliases.is_empty() {
        String::new()
    } else {
        format!(", counted with it {}", substance.cas_aliases.join(", "))
    };
    writer.text(2, &format!("CAS {}{others}. Media respond to it as to {class}.", substance.cas));
    let sealers: Vec<&str> = catalog
        .sealers
        .values()
        .filter(|sealer| {
            let is_it = |component: &Component| matches!(component, Component::Substance(id) if *id == substance.id);
            sealer.composition.parts.iter().any(|part| is_it(&part.component))
        })
        .map(|sealer| sealer.id.as_str())
        .collect();
    if !sealers.is_empty() {
        writer.text(2, &format!("In {}.", sealers.join(", ")));
    }
    health(substance, writer);
    fire(substance, writer);
    liquid(substance, writer);
    if let Some(note) = &substance.note {
        writer.head("Remarks");
        writer.text(2, note);
    }
    how_sure(writer, &substance.grounds);
    if let Some(verification) = &substance.details.verification {
        let words = match verification.as_str() {
            "one-source" => "read in one source",
            "two-source" => "read in two sources that agree",
            "memory" => "all from memory, one origin",
            other => other,
        };
        writer.bullet(&format!("the figures as a whole: {words}"));
    }
}

fn health(substance: &Substance, writer: &mut Writer<'_>) {
    let limits = &substance.limits;
    writer.head("In the air: workplace limits for healthy adults");
    let ppm = |value: Option<f64>, absent: &str| {
        value.map_or_else(|| absent.to_owned(), |value| format!("{} ppm", number(value)))
    };
    writer.labelled(LABEL, "8-hour mean, lowest", &ppm(limits.lowest_twa_ppm, "none published"));
    writer.labelled(LABEL, "15 minutes, lowest", &ppm(limits.lowest_short_term_ppm, "none published"));
    if limits.default_twa_ppm.is_some() || limits.default_short_term_ppm.is_some() {
        let defaults = format!(
            "8 hours {}, 15 minutes {}",
            ppm(limits.default_twa_ppm, "–"),
            ppm(limits.default_short_term_ppm, "–")
        );
        writer.labelled(LABEL, "taken here instead", &defaults);
    }
    writer.labelled(LABEL, "dangerous at once", &ppm(limits.idlh_ppm, "not determined"));
    writer.labelled(LABEL, "who says so", &limits.source);
    if substance.details.skin {
        writer.labelled(LABEL, "skin", "goes through the skin: gloves");
    }
    for hazard in &substance.hazards {
        let words = match hazard {
            HazardFlag::Repro => "suspected of harming the unborn child or fertility",
            HazardFlag::Repro1 => "may harm the unborn child or fertility",
            HazardFlag::Oto => "harms hearing",
        };
        writer.labelled(LABEL, "hazard", words);
    }
    if let Some(health) = &substance.details.health {
        writer.labelled(LABEL, "health", health);
    }
}

fn fire(substance: &Substance, writer: &mut Writer<'_>) {
    writer.head("Fire");
    let Some(lel) = substance.lel_vol_pct else {
        writer.text(2, "No explosive limit: it does not burn.");
        return;
    };
    let upper = substance.uel_vol_pct.map_or_else(String::new, |upper| format!(" to {}", number(upper)));
    writer.labelled(LABEL, "explosive in air", &format!("{}{upper} vol %", number(lel)));
    if let Some(lowest) = substance.lowest_lel_vol_pct {
        writer.labelled(LABEL, "lowest of any source", &format!("{} vol %, the one used", number(lowest)));
    }
    if let Some(flash) = substance.flash_point_c {
        writer.labelled(LABEL, "flash point", &format!("{} °C", number(flash)));
    }
}

fn liquid(substance: &Substance, writer: &mut Writer<'_>) {
    writer.head("As a liquid");
    let figure = |value: f64, unit: &str| format!("{} {unit}", number(significant(value)));
    writer.labelled(LABEL, "boils at", &figure(substance.boiling_point_c, "°C"));
    writer.labelled(LABEL, "vapour pressure at 25 °C", &figure(substance.vapour_pressure_25c_kpa, "kPa"));
    let rate = match substance.relative_evaporation_rate {
        Some(rate) => format!("{} times butyl acetate", number(rate)),
        None if substance.is_propellant() => "a gas".to_owned(),
        None => "not known how fast".to_owned(),
    };
    writer.labelled(LABEL, "evaporates", &rate);
    writer.labelled(LABEL, "density", &figure(substance.density_kg_m3, "kg/m³"));
    writer.labelled(LABEL, "molar mass", &figure(substance.molar_mass_g_mol, "g/mol"));
    writer.labelled(LABEL, "surface tension", &figure(substance.surface_tension_mn_m, "mN/m"));
}
