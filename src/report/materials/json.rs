//! Materials for machines: `coatbell.materials/1`.

use serde_json::{Map, Value, json};

use crate::catalog::{Catalog, Component, Entry, FigureGrounds, Kind, Medium, Paper, Sealer, Substance, Unknown};
use crate::estimate::{Grounds, Triple};
use crate::input::{Airflow, Finish, RoomInput};

/// The schema of both documents.
const SCHEMA: &str = "coatbell.materials/1";

/// Every entry by kind, or those of one kind, with id, name and aliases.
pub fn materials_list_json(catalog: &Catalog, only: Option<Kind>) -> Value {
    let entry = |id: &String, name: &String, aliases: &[String]| json!({"id": id, "name": name, "aliases": aliases});
    let mut document = json!({"schema": SCHEMA, "version": env!("CARGO_PKG_VERSION")});
    for kind in Kind::ALL.into_iter().filter(|kind| only.is_none_or(|only| only == *kind)) {
        let entries: Vec<Value> = match kind {
            Kind::Medium => catalog.media.iter().map(|(id, found)| entry(id, &found.name, &found.aliases)).collect(),
            Kind::Paper => catalog.papers.iter().map(|(id, found)| entry(id, &found.name, &found.aliases)).collect(),
            Kind::Sealer => catalog.sealers.iter().map(|(id, found)| entry(id, &found.name, &found.aliases)).collect(),
            Kind::Substance => {
                catalog.substances.iter().map(|(id, found)| entry(id, &found.name, &found.aliases)).collect()
            }
            Kind::Room => catalog.rooms.iter().map(|(id, found)| entry(id, &found.name, &[])).collect(),
            // Not a shelf of its own: each material stands on one of the others.
            Kind::Material => continue,
        };
        document[kind.plural()] = Value::Array(entries);
    }
    document
}

/// One entry with every figure and what it stands on.
///
/// # Errors
/// [`Unknown`] with what may be meant, if nothing goes by that name.
pub fn materials_show_json(catalog: &Catalog, name: &str) -> Result<Value, Unknown> {
    let (kind, entry) = match catalog.entry(name)? {
        Entry::Medium(medium) => ("medium", medium_json(medium)),
        Entry::Paper(paper) => ("paper", paper_json(paper)),
        Entry::Sealer(sealer) => ("sealer", sealer_json(sealer)),
        Entry::Substance(substance) => ("substance", substance_json(substance)),
        Entry::Room(id, room) => ("room", room_json(id, room)),
    };
    Ok(json!({"schema": SCHEMA, "version": env!("CARGO_PKG_VERSION"), "kind": kind, kind: entry}))
}

fn triple(value: Triple) -> Value {
    json!({"low": value.low(), "mode": value.mode(), "high": value.high()})
}

fn maybe(value: Option<Triple>) -> Value {
    value.map_or(Value::Null, triple)
}

fn grounds(grounds: &FigureGrounds) -> Value {
    let one = |grounds: &Grounds| json!({"basis": grounds.basis.word(), "source": grounds.source});
    let mut all = Map::new();
    all.insert("default".to_owned(), one(&grounds.default));
    all.extend(grounds.own.iter().map(|(figure, grounds)| (figure.clone(), one(grounds))));
    Value::Object(all)
}

fn medium_json(medium: &Medium) -> Value {
    let techniques: Vec<Value> = medium
        .techniques
        .iter()
        .map(|technique| {
            json!({
                "id": technique.id,
                "touch_min": maybe(technique.touch_min),
                "through_h": maybe(technique.through_h),
                "seal_wait_h": maybe(technique.seal_wait_h),
                "seal_wait_thick_h": maybe(technique.seal_wait_thick_h),
                "water_load_g_m2": triple(technique.water_load_g_m2),
            })
        })
        .collect();
    json!({
        "id": medium.id,
        "name": medium.name,
        "aliases": medium.aliases,
        "group": medium.group,
        "binder": medium.binder,
        "techniques": techniques,
        "sensitivity": {
            "water": triple(medium.sensitivity.water),
            "alcohol": triple(medium.sensitivity.alcohol),
            "ketone_ester": triple(medium.sensitivity.ketone_ester),
            "aliphatic": triple(medium.sensitivity.aliphatic),
            "aromatic": triple(medium.sensitivity.aromatic),
        },
        "friability": triple(medium.friability),
        "tooth_use": triple(medium.tooth_use),
        "bloom": triple(medium.bloom),
        "darkening": triple(medium.darkening),
        "dulling": triple(medium.dulling),
        "first_coat_um": triple(medium.first_coat_um),
        "typical_cover": medium.typical_cover,
        "note": medium.note,
        "grounds": grounds(&medium.grounds),
    })
}

fn paper_json(paper: &Paper) -> Value {
    json!({
        "id": paper.id,
        "name": paper.name,
        "aliases": paper.aliases,
        "grammage_g_m2": paper.grammage_g_m2,
        "caliper_um": triple(paper.caliper_um),
        "void_fraction": paper.void_fraction,
        "capacity_um": triple(paper.capacity_um),
        "absorbing": paper.absorbing,
        "swells": paper.swells,
        "sizing": paper.sizing,
        "tooth_um": triple(paper.tooth_um),
        "buckle_g_m2": if paper.swells { triple(paper.buckle_g_m2) } else { Value::Null },
        "strike_through_prone": paper.strike_through_prone,
        "dark": paper.dark,
        "note": paper.note,
        "grounds": grounds(&paper.grounds),
    })
}

fn sealer_json(sealer: &Sealer) -> Value {
    let parts: Vec<Value> = sealer
        .composition
        .parts
        .iter()
        .map(|part| {
            let name = match &part.component {
                Component::Substance(id) => id.clone(),
                Component::Solid(kind) => format!("{kind:?}").to_lowercase(),
                Component::Unknown { cas } => cas.clone(),
                Component::Undeclared => "undeclared".to_owned(),
            };
            json!({"part": name, "share": triple(part.share), "basis": part.grounds.basis.word(), "source": part.grounds.source})
        })
        .collect();
    json!({
        "id": sealer.id,
        "name": sealer.name,
        "aliases": sealer.aliases,
        "finish": sealer.finish.map(Finish::word),
        "composition": parts,
        "composition_complete": sealer.composition.complete,
        "volume_solids": triple(sealer.volume_solids),
        "discharge_g_s": triple(sealer.discharge_g_s),
        "practice_distance_cm": [sealer.practice_distance_cm.0, sealer.practice_distance_cm.1],
        "touch_min": triple(sealer.touch_min),
        "recoat_min": triple(sealer.recoat_min),
        "full_cure_h": triple(sealer.full_cure_h),
        "resin_tg_k": triple(sealer.resin_tg_k),
        "solids_density_kg_m3": sealer.solids_density_kg_m3,
        "closes_tooth": sealer.closes_tooth,
        "for_paper": sealer.for_paper,
        "yellows": sealer.yellows,
        "reversible": sealer.reversible,
        "hurts": sealer.hurts,
        "note": sealer.note,
        "grounds": grounds(&sealer.grounds),
    })
}

fn substance_json(substance: &Substance) -> Value {
    let limits = &substance.limits;
    json!({
        "id": substance.id,
        "name": substance.name,
        "aliases": substance.aliases,
        "cas": substance.cas,
        "cas_aliases": substance.cas_aliases,
        "formula": substance.details.formula,
        "molar_mass_g_mol": substance.molar_mass_g_mol,
        "boiling_point_c": substance.boiling_point_c,
        "antoine_mmhg_c": substance.antoine,
        "vapour_pressure_25c_kpa": substance.vapour_pressure_25c_kpa,
        "density_kg_m3": substance.density_kg_m3,
        "heat_of_vaporisation_kj_mol": substance.heat_of_vaporisation_kj_mol,
        "diffusivity_m2_s": substance.diffusivity_m2_s,
        "surface_tension_mn_m": substance.surface_tension_mn_m,
        "relative_evaporation_rate": substance.relative_evaporation_rate,
        "lel_vol_pct": substance.lel_vol_pct,
        "lowest_lel_vol_pct": substance.lowest_lel_vol_pct,
        "uel_vol_pct": substance.uel_vol_pct,
        "flash_point_c": substance.flash_point_c,
        "limits": {
            "lowest_twa_ppm": limits.lowest_twa_ppm,
            "lowest_short_term_ppm": limits.lowest_short_term_ppm,
            "default_twa_ppm": limits.default_twa_ppm,
            "default_short_term_ppm": limits.default_short_term_ppm,
            "idlh_ppm": limits.idlh_ppm,
            "source": limits.source,
            "skin": substance.details.skin,
        },
        "health": substance.details.health,
        "note": substance.note,
        "verification": substance.details.verification,
        "grounds": grounds(&substance.grounds),
    })
}

fn room_json(id: &str, room: &RoomInput) -> Value {
    json!({
        "id": id,
        "name": room.name,
        "volume_m3": room.volume_m3,
        "airflow": room.airflow.map(Airflow::word),
        "temperature_c": room.temperature_c,
        "relative_humidity_pct": room.relative_humidity.map(|share| share * 100.0),
    })
}
