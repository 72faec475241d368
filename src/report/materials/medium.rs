//! The card of a medium.

use super::{LABEL, how_sure, percent, range, title};
use crate::catalog::{Carrier, Catalog, DryingKind, Medium, PairTable, PairVerdict, Technique, Trait};
use crate::estimate::Triple;
use crate::report::writer::Writer;

pub(super) fn card(catalog: &Catalog, medium: &Medium, writer: &mut Writer<'_>) {
    title(writer, &medium.name, &medium.id, "medium", &medium.aliases);
    let carrier = match medium.carrier {
        Carrier::None => "laid dry",
        Carrier::Water => "carried by water",
        Carrier::Alcohol => "carried by alcohols and glycol ethers",
        Carrier::Aliphatic => "carried by mineral spirits",
        Carrier::Solvent => "carried by paint-pen solvents",
    };
    writer.text(2, &format!("Bound with {}; {carrier}.", medium.binder));
    if let Some(note) = &medium.note {
        writer.text(2, note);
    }
    for (fact, words) in
        [(Trait::NeverSealed, "It is never sealed."), (Trait::RemoveFirst, "It has to come off before anything else.")]
    {
        if medium.is(fact) {
            writer.text(2, words);
        }
    }
    drying(medium, writer);
    moved_by(medium, writer);
    under_a_sealer(medium, writer);
    with_others(catalog, medium, writer);
    how_sure(writer, &medium.grounds);
}

fn drying(medium: &Medium, writer: &mut Writer<'_>) {
    writer.head("How long it dries, at 20 °C and 50 %");
    for technique in &medium.techniques {
        if medium.techniques.len() > 1 {
            writer.text(2, &format!("{}:", technique.id));
        }
        times(technique, writer);
    }
    writer.text(
        2,
        match medium.drying {
            DryingKind::Water => "Damp or cold air makes these waits longer, dry or warm air shorter.",
            DryingKind::Solvent => "Twice as long for every 10 K colder.",
            DryingKind::Dry => "The room changes nothing here.",
        },
    );
}

fn times(technique: &Technique, writer: &mut Writer<'_>) {
    let time = |value: Option<Triple>, unit, absent: &str| match value {
        Some(value) if value.high() == 0.0 => "none".to_owned(),
        Some(value) => range(value, unit),
        None => absent.to_owned(),
    };
    let never = technique.seal_wait_h.is_none();
    writer.labelled(
        LABEL,
        "touch-dry",
        &time(technique.touch_min, "min", if never { "never" } else { "needs no drying" }),
    );
    writer.labelled(LABEL, "dry through", &time(technique.through_h, "h", "never"));
    writer.labelled(LABEL, "wait before the first coat", &time(technique.seal_wait_h, "h", "never sealed"));
    if technique.seal_wait_thick_h.is_some() {
        writer.labelled(LABEL, "  where it is raised", &time(technique.seal_wait_thick_h, "h", ""));
    }
    if technique.water_load_g_m2.high() > 0.0 {
        writer.labelled(LABEL, "water it lays", &range(technique.water_load_g_m2, "g/m²"));
    }
}

fn moved_by(medium: &Medium, writer: &mut Writer<'_>) {
    writer.head("What moves it: free liquid left on it for a minute");
    let sensitivity = &medium.sensitivity;
    for (label, value) in [
        ("water", sensitivity.water),
        ("alcohols, glycol ethers", sensitivity.alcohol),
        ("ketones, esters", sensitivity.ketone_ester),
        ("mineral spirits", sensitivity.aliphatic),
        ("toluene, xylene", sensitivity.aromatic),
    ] {
        let words = match value.mode() {
            0.0 => "nothing",
            mode if mode < 0.2 => "hardly at all",
            mode if mode < 0.45 => "tints a swab",
            mode if mode < 0.75 => "bleeds or softens",
            _ => "dissolves or lifts at once",
        };
        writer.labelled(LABEL, label, &format!("{words}, {} of 1", range(value, "")));
    }
}

fn under_a_sealer(medium: &Medium, writer: &mut Writer<'_>) {
    writer.head("Under a sealer");
    writer.labelled(LABEL, "first coat at most", &format!("{} wet", range(medium.first_coat_um, "µm")));
    for (label, value) in [
        ("darkens", medium.darkening),
        ("loses sparkle", medium.dulling),
        ("blooms", medium.bloom),
        ("dusts off", medium.friability),
        ("fills the tooth", medium.tooth_use),
    ] {
        if value.high() > 0.0 {
            writer.labelled(LABEL, label, &format!("{} of 1", range(value, "")));
        }
    }
    writer.labelled(LABEL, "usually covers", &percent(Triple::exact(medium.typical_cover)));
}

/// What goes over it and what it goes over, by the pair table.
fn with_others(catalog: &Catalog, medium: &Medium, writer: &mut Writer<'_>) {
    writer.head("With other media");
    if medium.group != medium.id {
        writer.text(2, &format!("Judged in the pair table as {}.", medium.group));
    }
    let mut lists = [const { Vec::new() }; 6];
    for ((lower, upper), row) in &catalog.pairs.rows {
        let place = match row.verdict {
            PairVerdict::Good => 0,
            PairVerdict::Care => 1,
            PairVerdict::Avoid => 2,
        };
        if *lower == medium.group && upper != PairTable::SEALER && upper != lower {
            lists[place].push(upper.as_str());
        } else if *upper == medium.group && upper != lower {
            lists[3 + place].push(lower.as_str());
        }
    }
    let labels = ["takes well", "takes with care", "does not take", "goes well over", "with care over", "not over"];
    for (label, list) in labels.into_iter().zip(lists) {
        if !list.is_empty() {
            writer.labelled(LABEL, label, &list.join(", "));
        }
    }
}
