//! From figures to findings, by the table of thresholds.

use std::collections::BTreeMap;

use super::exposure::{Exposure, Lines};
use super::inventory::Kind;
use super::run::RunAir;
use super::times::Clears;
use crate::catalog::{AirRules, Catalog, Component, Figure, HazardFlag, Part};
use crate::estimate::Basis;
use crate::finding::{Finding, Level};
use crate::input::Hardener;
use crate::quantity::number;

/// What to do about too much vapour, before advice adds figures.
const MORE_AIR: &str = "More outside air, thinner coats with longer pauses, or spray outdoors";

/// All findings on the air of a run, without those of the room itself.
pub(super) fn findings(lines: &Lines<'_>, exposure: &Exposure, clears: Clears, catalog: &Catalog) -> Vec<Finding> {
    let mut findings = Vec::new();
    fire(&mut findings, lines, exposure);
    fullness(&mut findings, lines.rules, exposure);
    mask(&mut findings, lines, exposure);
    hardener(&mut findings, lines.run, catalog);
    shares(&mut findings, lines.run, lines.rules, catalog);
    unlisted(&mut findings, lines);
    mist(&mut findings, lines.rules, exposure);
    not_today(&mut findings, lines.rules, clears);
    findings
}

/// A share as whole per cent; never rounded down to a milder figure.
fn percent(share: f64) -> String {
    let value = share * 100.0;
    if value < 10.0 { number(libm::ceil(value * 10.0) / 10.0) } else { number(libm::ceil(value)) }
}

/// Care or hold by two thresholds.
fn graded<'r>(value: f64, care: &'r Figure, hold: &'r Figure) -> Option<(Level, &'r Figure)> {
    if value >= hold.get() {
        Some((Level::Hold, hold))
    } else if value >= care.get() {
        Some((Level::Care, care))
    } else {
        None
    }
}

/// Explosive limits, what no one may breathe, and ignition.
fn fire(findings: &mut Vec<Finding>, lines: &Lines<'_>, exposure: &Exposure) {
    let rules = lines.rules;
    if let Some((level, figure)) = graded(exposure.near_explosive, &rules.near_lel_care, &rules.near_lel_hold) {
        let text =
            format!("The air at your face reaches {} % of the explosive limit", percent(exposure.near_explosive));
        findings.push(
            Finding::on("fire-at-face", level, text, &figure.grounds)
                .remedy("No flame, spark or switch anywhere near; spray outdoors, or less at a time in moving air"),
        );
    }
    if let Some((level, figure)) = graded(exposure.room_explosive, &rules.room_lel_care, &rules.room_lel_hold) {
        let text = format!("The whole room reaches {} % of the explosive limit", percent(exposure.room_explosive));
        findings.push(Finding::on("fire-in-room", level, text, &figure.grounds).remedy(MORE_AIR));
    }
    for (name, ppm, threshold) in &exposure.acute {
        let text = format!(
            "For a minute the air at your face holds {} ppm of {name}; from {} ppm on no one may stay in it",
            number(libm::round(*ppm)),
            number(libm::round(*threshold))
        );
        findings.push(
            Finding::on("acute-at-face", Level::Hold, text, &rules.idlh_lel_share.grounds)
                .remedy("Spray outdoors; no mask with cartridges is made for this"),
        );
    }
    if lines.run.ignition || lines.run.room.ignition {
        let distance = number(rules.ignition_distance_m.get());
        let level = if lines.run.room.outdoors { Level::Care } else { Level::Hold };
        let text = format!("A flame, heater, pilot light or spark within {distance} m can light the vapour");
        findings.push(
            Finding::on("ignition", level, text, &rules.ignition_distance_m.grounds)
                .remedy("Put it out and let it cool before you spray, and leave it off until the room is clear"),
        );
    }
}

/// How full the limits get without a mask.
fn fullness(findings: &mut Vec<Finding>, rules: &AirRules, exposure: &Exposure) {
    let full = rules.index_care.get();
    for (code, value, words) in [
        ("air-15min", exposure.index_15min, "Over 15 minutes the air at your face fills the 8-hour exposure limit to"),
        ("air-short-term", exposure.index_short_term, "The air at your face fills the short-term exposure limit to"),
        ("air-8h", exposure.index_8h, "Over the day the air of the room fills the exposure limit to"),
    ] {
        if value >= full {
            let text = format!("{words} {} %", percent(value));
            findings.push(Finding::on(code, Level::Care, text, &rules.index_care.grounds).remedy(MORE_AIR));
        }
    }
}

/// What the mask lets through, and whether it is enough for the rest.
fn mask(findings: &mut Vec<Finding>, lines: &Lines<'_>, exposure: &Exposure) {
    let rules = lines.rules;
    let unheld = exposure.index_unmasked_only;
    if let Some((level, figure)) = graded(unheld, &rules.index_care, &rules.unmasked_hold) {
        let names: Vec<&str> =
            lines.inventory.items.iter().filter(|item| item.is_not_held()).map(|item| item.name.as_str()).collect();
        let text = format!(
            "What a mask does not hold ({}) fills the exposure limit at your face to {} %",
            names.join(", "),
            percent(unheld)
        );
        findings.push(
            Finding::on("mask-does-not-hold", level, text, &figure.grounds)
                .remedy("Only air helps here: outdoors, or moving air that carries it away from you"),
        );
    }
    if exposure.index_masked >= rules.masked_hold.get() {
        let text = format!(
            "Even behind a {} the air would fill the exposure limit to {} %",
            lines.run.mask().in_words(),
            percent(exposure.index_masked)
        );
        findings.push(
            Finding::on("mask-not-enough", Level::Hold, text, &rules.masked_hold.grounds)
                .remedy("Spray outdoors, or spread the coats over days"),
        );
    }
}

/// Isocyanates and unknown hardeners.
fn hardener(findings: &mut Vec<Finding>, run: &RunAir, catalog: &Catalog) {
    let listed = run.shares.iter().any(|part| catalog.is_isocyanate(&part.component));
    if run.hardener == Hardener::None && !listed {
        return;
    }
    let supplied = run.respirator.is_some_and(super::RespiratorKind::supplies_air);
    let level = if supplied { Level::Care } else { Level::Hold };
    let text = if run.hardener == Hardener::Unknown && !listed {
        "There is a hardener and it is not known which: it may be an isocyanate"
    } else {
        "The hardener is an isocyanate, which can cause asthma for life at levels you cannot smell"
    };
    findings.push(
        Finding::new("hardener", level, text, Basis::Practice)
            .remedy("Use a one-part sealer; a mask with cartridges is not enough, only supplied air is"),
    );
}

/// The high end of each component's share over all cans.
fn highest_shares(parts: &[Part]) -> BTreeMap<&Component, f64> {
    let mut shares = BTreeMap::new();
    for part in parts {
        let highest: &mut f64 = shares.entry(&part.component).or_insert(0.0);
        *highest = highest.max(part.share.high());
    }
    shares
}

/// Hazards that count by their share of the can, and what is not declared.
fn shares(findings: &mut Vec<Finding>, run: &RunAir, rules: &AirRules, catalog: &Catalog) {
    let shares = highest_shares(&run.shares);
    let threshold = |flags: &[HazardFlag]| {
        if flags.contains(&HazardFlag::Repro1) { &rules.hazard_share_care_repro1 } else { &rules.hazard_share_care }
    };
    let mut strictest: Option<(&Figure, &str)> = None;
    for (component, share) in &shares {
        let Component::Substance(id) = component else { continue };
        let Some(substance) = catalog.substances.get(id).filter(|one| !one.hazards.is_empty()) else { continue };
        let limit = threshold(&substance.hazards);
        if strictest.is_none_or(|(figure, _)| limit.get() < figure.get()) {
            strictest = Some((limit, &substance.name));
        }
        if *share <= 0.0 {
            continue;
        }
        let level = if *share >= limit.get() { Level::Care } else { Level::Note };
        let text =
            format!("Up to {} % of the can is {}: {}", percent(*share), substance.name, harm(&substance.hazards));
        findings.push(Finding::on("hazard-share", level, text, &limit.grounds).remedy(shun(&substance.hazards)));
    }
    let undeclared = shares.get(&Component::Undeclared).copied().unwrap_or(0.0);
    if undeclared > 0.0 {
        let (level, grounds, like) = match strictest {
            Some((limit, name)) if undeclared >= limit.get() => {
                (Level::Care, &limit.grounds, format!(", and is taken to be as harmful as {name}"))
            }
            _ => (Level::Note, &rules.hazard_share_care.grounds, String::new()),
        };
        let text = format!("Up to {} % of the can is not declared{like}", percent(undeclared));
        findings.push(
            Finding::on("undeclared-share", level, text, grounds)
                .remedy("Enter every line of section 3 of the can's safety data sheet"),
        );
    }
}

/// The harm behind hazard flags, in words.
fn harm(flags: &[HazardFlag]) -> String {
    let words: Vec<&str> = flags
        .iter()
        .map(|flag| match flag {
            HazardFlag::Repro1 => "it harms the unborn child or fertility",
            HazardFlag::Repro => "it is suspected of harming the unborn child",
            HazardFlag::Oto => "it harms hearing",
        })
        .collect();
    words.join(", ")
}

/// What to do about it, in words.
fn shun(flags: &[HazardFlag]) -> &'static str {
    if flags.iter().any(|flag| *flag != HazardFlag::Oto) {
        "If you are or may be pregnant, let someone else spray; a sealer without it is better"
    } else {
        "Keep away from loud noise on the same day; a sealer without it is better"
    }
}

/// Substances without a published limit, and unknown ones.
fn unlisted(findings: &mut Vec<Finding>, lines: &Lines<'_>) {
    let rules = lines.rules;
    for item in &lines.inventory.items {
        let Some(limits) = &item.limits else { continue };
        if item.kind == Kind::Known && !limits.published {
            let text = format!(
                "No exposure limit is published for {}; {} ppm is used",
                item.name,
                number(limits.eight_hour_ppm)
            );
            findings.push(
                Finding::on("no-limit", Level::Care, text, &rules.unknown_limit_ppm.grounds)
                    .remedy("Treat it as harmful: plenty of air, and a mask"),
            );
        }
    }
    let mut unknown: Vec<String> = lines
        .inventory
        .items
        .iter()
        .filter(|item| item.kind == Kind::Unknown)
        .map(|item| item.id.trim_start_matches("cas:").to_owned())
        .collect();
    unknown.extend(lines.run.shares.iter().filter_map(|part| match &part.component {
        Component::Unknown { cas } => Some(cas.clone()),
        _ => None,
    }));
    unknown.sort_unstable();
    unknown.dedup();
    for cas in unknown {
        let text = format!("CAS {cas} is not known here; it is counted as harmful, easily lit and not held by a mask");
        findings.push(
            Finding::on("unknown-substance", Level::Care, text, &rules.unknown_limit_ppm.grounds)
                .remedy("Look it up in section 8 of the safety data sheet and follow what stands there"),
        );
    }
}

/// Mist of solids and droplets.
fn mist(findings: &mut Vec<Finding>, rules: &AirRules, exposure: &Exposure) {
    if exposure.mist_mg_m3 <= 0.0 {
        return;
    }
    let level = if exposure.mist_mg_m3 >= rules.mist_mg_m3.get() { Level::Care } else { Level::Note };
    let text = format!(
        "The mist at your face fills the limit for fine dust to {} %; droplets hang in the air for minutes",
        percent(exposure.mist_mg_m3 / rules.mist_mg_m3.get())
    );
    findings.push(
        Finding::on("mist", level, text, &rules.mist_mg_m3.grounds)
            .remedy("Wear the particulate pre-filter over the cartridges and cover what stands within 2 m"),
    );
}

/// Times beyond a day.
fn not_today(findings: &mut Vec<Finding>, rules: &AirRules, clears: Clears) {
    let text = if !clears.masked {
        "The air stays too strong even for someone with a mask for more than a day"
    } else if !clears.unmasked {
        "The air at the bench is not safe without a mask for more than a day"
    } else if !clears.others {
        "The room is not safe for children, pregnant people, the ill or pets for more than a day"
    } else {
        return;
    };
    findings.push(
        Finding::on("not-clear-today", Level::Care, text, &rules.longest_wait_h.grounds)
            .remedy("Keep everyone and every animal out, with the window open as long as it can be"),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_never_told_milder_than_it_is() {
        for (share, told) in [(0.0934, "9.4"), (0.0901, "9.1"), (0.1, "10"), (0.1201, "13"), (2.0, "200")] {
            assert_eq!(percent(share), told);
        }
    }

    #[test]
    fn a_threshold_that_is_reached_counts() {
        let rules = Catalog::builtin().rules.air;
        let (care, hold) = (&rules.near_lel_care, &rules.near_lel_hold);
        let level = |value: f64| graded(value, care, hold).map(|(level, _)| level);
        assert_eq!(level(care.get() * (1.0 - 1e-12)), None);
        assert_eq!(level(care.get()), Some(Level::Care));
        assert_eq!(level(hold.get() * (1.0 - 1e-12)), Some(Level::Care));
        assert_eq!(level(hold.get()), Some(Level::Hold));
    }
}
