//! Catalog entries as names with figures, each figure with what it stands on.

use serde::Serialize;

use crate::catalog::{Catalog, FigureGrounds, Kind, Medium, Paper, Sealer, Substance, Technique};
use crate::estimate::{Grounds, Triple};
use crate::input::RoomInput;
use crate::quantity::number;

/// A line of a list.
#[derive(Debug, Serialize)]
pub(super) struct Listed<'c> {
    pub(super) kind: &'static str,
    pub(super) id: &'c str,
    pub(super) name: &'c str,
    pub(super) aliases: &'c [String],
}

/// A figure with what it stands on.
#[derive(Debug, Serialize)]
pub(super) struct FigureLine {
    pub(super) name: String,
    pub(super) value: String,
    pub(super) basis: Option<&'static str>,
    pub(super) source: Option<String>,
}

/// A material with everything known of it.
#[derive(Debug, Serialize)]
pub(super) struct Described {
    pub(super) kind: &'static str,
    pub(super) id: String,
    pub(super) name: String,
    pub(super) aliases: Vec<String>,
    pub(super) note: Option<String>,
    pub(super) figures: Vec<FigureLine>,
}

/// All entries of a kind, by id.
pub(super) fn listed(catalog: &Catalog, kind: Kind) -> Vec<Listed<'_>> {
    let line = |id, name, aliases| Listed { kind: kind.word(), id, name, aliases };
    match kind {
        Kind::Medium => catalog.media.values().map(|entry| line(&entry.id, &entry.name, &entry.aliases)).collect(),
        Kind::Paper => catalog.papers.values().map(|entry| line(&entry.id, &entry.name, &entry.aliases)).collect(),
        Kind::Sealer => catalog.sealers.values().map(|entry| line(&entry.id, &entry.name, &entry.aliases)).collect(),
        Kind::Substance => {
            catalog.substances.values().map(|entry| line(&entry.id, &entry.name, &entry.aliases)).collect()
        }
        Kind::Room => catalog.rooms.iter().map(|(id, entry)| line(id, &entry.name, &[])).collect(),
    }
}

/// Everything of that name: a name may be a medium and a substance at once.
pub(super) fn described(catalog: &Catalog, name: &str) -> Vec<Described> {
    let mut found = Vec::new();
    found.extend(catalog.medium(name).ok().map(medium));
    found.extend(catalog.paper(name).ok().map(paper));
    found.extend(catalog.sealer(name).ok().map(|entry| sealer(entry, catalog)));
    found.extend(catalog.substance(name).ok().map(substance));
    found.extend(catalog.room(name).ok().map(|entry| room(name, entry)));
    found
}

/// Collects figures under the grounds of an entry.
struct Figures<'g> {
    grounds: &'g FigureGrounds,
    lines: Vec<FigureLine>,
}

impl<'g> Figures<'g> {
    fn of(grounds: &'g FigureGrounds) -> Self {
        Self { grounds, lines: Vec::new() }
    }

    fn fact(&mut self, name: &str, value: impl Into<String>) {
        self.lines.push(FigureLine { name: name.to_owned(), value: value.into(), basis: None, source: None });
    }

    /// A figure whose grounds are kept under `key`.
    fn figure(&mut self, key: &str, name: impl Into<String>, value: impl Into<String>) {
        let line = grounded(name.into(), value.into(), self.grounds.of(key));
        self.lines.push(line);
    }

    fn triple(&mut self, key: &str, name: impl Into<String>, value: Triple, unit: &str) {
        self.figure(key, name, range(value, unit));
    }
}

fn grounded(name: String, value: String, grounds: &Grounds) -> FigureLine {
    FigureLine { name, value, basis: Some(grounds.basis.word()), source: grounds.source.clone() }
}

/// `8 to 20, most likely 12 µm`, or the value alone if it has no spread.
fn range(value: Triple, unit: &str) -> String {
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    let (low, mode, high) = (number(value.low()), number(value.mode()), number(value.high()));
    if low == high { format!("{mode}{unit}") } else { format!("{low} to {high}, most likely {mode}{unit}") }
}

fn optional(value: Option<Triple>, unit: &str, none: &str) -> String {
    value.map_or_else(|| none.to_owned(), |value| range(value, unit))
}

fn medium(entry: &Medium) -> Described {
    let mut figures = Figures::of(&entry.grounds);
    figures.fact("group", &entry.group);
    figures.fact("binder", &entry.binder);
    for technique in &entry.techniques {
        waits(&mut figures, technique);
    }
    figures.triple("first_coat_um", "first coat at most", entry.first_coat_um, "µm wet");
    figures.figure("typical_cover", "usual cover", format!("{} %", number(entry.typical_cover * 100.0)));
    let moved = &entry.sensitivity;
    for (name, value) in [
        ("moved by water", moved.water),
        ("moved by alcohols", moved.alcohol),
        ("moved by ketones, esters", moved.ketone_ester),
        ("moved by mineral spirits", moved.aliphatic),
        ("moved by aromatics", moved.aromatic),
    ] {
        figures.triple("sensitivity", name, value.scaled(100.0), "%");
    }
    for (key, name, value) in [
        ("friability", "dusts off", entry.friability),
        ("tooth_use", "fills the tooth", entry.tooth_use),
        ("bloom", "blooms", entry.bloom),
        ("darkening", "darkens when sealed", entry.darkening),
        ("dulling", "loses sparkle when sealed", entry.dulling),
    ] {
        figures.triple(key, name, value.scaled(100.0), "%");
    }
    Described {
        kind: Kind::Medium.word(),
        id: entry.id.clone(),
        name: entry.name.clone(),
        aliases: entry.aliases.clone(),
        note: entry.note.clone(),
        figures: figures.lines,
    }
}

fn waits(figures: &mut Figures<'_>, technique: &Technique) {
    let way = if technique.id.is_empty() { String::new() } else { format!(" ({})", technique.id) };
    figures.figure("touch_min", format!("touch-dry{way}"), optional(technique.touch_min, "min", "needs no drying"));
    figures.figure("through_h", format!("dry through{way}"), optional(technique.through_h, "h", "never"));
    figures.figure(
        "seal_wait_h",
        format!("wait before sealing{way}"),
        optional(technique.seal_wait_h, "h", "never sealed"),
    );
    if let Some(thick) = technique.seal_wait_thick_h {
        figures.triple("seal_wait_thick_h", format!("the same, thick{way}"), thick, "h");
    }
    figures.triple("water_load_g_m2", format!("water it lays{way}"), technique.water_load_g_m2, "g/m²");
}

fn paper(entry: &Paper) -> Described {
    let mut figures = Figures::of(&entry.grounds);
    figures.figure("grammage_g_m2", "usual weight", format!("{} g/m²", number(entry.grammage_g_m2)));
    figures.triple("caliper_um", "thickness", entry.caliper_um, "µm");
    figures.figure("void_fraction", "pores", format!("{} % of the thickness", number(entry.void_fraction * 100.0)));
    figures.triple("capacity_um", "pores hold", entry.capacity_um, "µm of liquid");
    figures.triple("tooth_um", "tooth", entry.tooth_um, "µm");
    figures.triple("buckle_g_m2", "buckles at", entry.buckle_g_m2, "g/m² of water");
    figures.fact("sizing", &entry.sizing);
    figures.fact("takes up liquid", yes(entry.absorbing));
    figures.fact("shows on the back", yes(entry.strike_through_prone));
    figures.fact("dark stock", yes(entry.dark));
    Described {
        kind: Kind::Paper.word(),
        id: entry.id.clone(),
        name: entry.name.clone(),
        aliases: entry.aliases.clone(),
        note: entry.note.clone(),
        figures: figures.lines,
    }
}

fn yes(fact: bool) -> &'static str {
    if fact { "yes" } else { "no" }
}

fn sealer(entry: &Sealer, catalog: &Catalog) -> Described {
    let mut figures = Figures::of(&entry.grounds);
    figures.fact("finish", entry.finish.map_or("none", |finish| finish.word()));
    let (near, far) = entry.practice_distance_cm;
    figures.figure("practice_distance_cm", "trade distance", format!("{} to {} cm", number(near), number(far)));
    figures.triple("touch_min", "touch-dry", entry.touch_min, "min");
    figures.triple("recoat_min", "recoat", entry.recoat_min, "min");
    figures.triple("full_cure_h", "full cure", entry.full_cure_h, "h");
    figures.triple("volume_solids", "solids by volume", entry.volume_solids.scaled(100.0), "%");
    figures.triple("discharge_g_s", "discharge", entry.discharge_g_s, "g/s");
    figures.fact("hurts most", &entry.hurts);
    figures.fact("yellows", &entry.yellows);
    figures.fact("can be taken off", &entry.reversible);
    for part in &entry.composition.parts {
        let name = format!("contains {}", catalog.component_name(&part.component));
        figures.lines.push(grounded(name, range(part.share.scaled(100.0), "%"), &part.grounds));
    }
    Described {
        kind: Kind::Sealer.word(),
        id: entry.id.clone(),
        name: entry.name.clone(),
        aliases: entry.aliases.clone(),
        note: entry.note.clone(),
        figures: figures.lines,
    }
}

fn substance(entry: &Substance) -> Described {
    let mut figures = Figures::of(&entry.grounds);
    figures.fact("CAS number", &entry.cas);
    let ppm =
        |value: Option<f64>| value.map_or_else(|| "none published".to_owned(), |ppm| format!("{} ppm", number(ppm)));
    let limits = &entry.limits;
    let limit = |name: &str, value| FigureLine {
        name: name.to_owned(),
        value,
        basis: Some("published"),
        source: Some(limits.source.clone()).filter(|source| !source.is_empty()),
    };
    figures.lines.push(limit("8-hour limit, lowest", ppm(limits.lowest_twa_ppm)));
    figures.lines.push(limit("short-term limit, lowest", ppm(limits.lowest_short_term_ppm)));
    if let Some(default) = limits.default_twa_ppm {
        figures.fact("8-hour limit taken here", format!("{} ppm", number(default)));
    }
    if let Some(idlh) = limits.idlh_ppm {
        figures.figure("idlh_ppm", "dangerous at once", format!("{} ppm", number(idlh)));
    }
    let percent = |value: Option<f64>| {
        value.map_or_else(|| "does not burn".to_owned(), |limit| format!("{} vol %", number(limit)))
    };
    figures.figure("lel_vol_pct", "explosive from", percent(entry.lel_vol_pct));
    if let Some(flash) = entry.flash_point_c {
        figures.figure("flash_point_c", "flash point", format!("{} °C", number(flash)));
    }
    figures.figure("boiling_point_c", "boils at", format!("{} °C", number(entry.boiling_point_c)));
    figures.figure(
        "vapour_pressure_25c_kpa",
        "vapour pressure at 25 °C",
        format!("{} kPa", number(entry.vapour_pressure_25c_kpa)),
    );
    figures.figure("density_kg_m3", "density", format!("{} kg/m³", number(entry.density_kg_m3)));
    figures.figure("molar_mass_g_mol", "molar mass", format!("{} g/mol", number(entry.molar_mass_g_mol)));
    if let Some(rate) = entry.relative_evaporation_rate {
        figures.figure(
            "relative_evaporation_rate",
            "evaporates",
            format!("{} times as fast as butyl acetate", number(rate)),
        );
    }
    Described {
        kind: Kind::Substance.word(),
        id: entry.id.clone(),
        name: entry.name.clone(),
        aliases: entry.aliases.clone(),
        note: entry.note.clone(),
        figures: figures.lines,
    }
}

fn room(name: &str, entry: &RoomInput) -> Described {
    let fact = |name: &str, value: String| FigureLine { name: name.to_owned(), value, basis: None, source: None };
    let volume = entry.volume_m3.map_or_else(|| "outdoors".to_owned(), |volume| format!("{} m³", number(volume)));
    let mut figures = vec![fact("volume", volume)];
    figures.extend(entry.airflow.map(|airflow| fact("airflow", airflow.word().to_owned())));
    Described {
        kind: Kind::Room.word(),
        id: name.to_owned(),
        name: entry.name.clone(),
        aliases: Vec::new(),
        note: None,
        figures,
    }
}
