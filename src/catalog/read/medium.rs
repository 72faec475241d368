//! Reading a medium.

use super::entry::{Entry, Missing, own_triple, triple_or_word};
use crate::catalog::medium::{BySolvent, Carrier, DryingKind, FilmClass, Medium, Technique, Trait};
use crate::diagnostic::Problem;
use crate::estimate::{Grounds, Triple};
use crate::input::TableReader;

const SHARE: std::ops::RangeInclusive<f64> = 0.0..=1.0;
const HOURS: std::ops::RangeInclusive<f64> = 0.0..=8760.0;
const WATER: std::ops::RangeInclusive<f64> = 0.0..=2000.0;

/// Figures that may have a basis of their own.
pub(crate) const FIGURES: [&str; 18] = [
    "binder",
    "touch_min",
    "through_h",
    "seal_wait_h",
    "seal_wait_thick_h",
    "water_load_g_m2",
    "sensitivity_water",
    "sensitivity_alcohol",
    "sensitivity_ketone_ester",
    "sensitivity_aliphatic",
    "sensitivity_aromatic",
    "friability",
    "tooth_use",
    "bloom",
    "darkening",
    "dulling",
    "first_coat_um",
    "typical_cover",
];

/// Reads a medium over the one it extends.
pub(crate) fn read(id: &str, reader: &TableReader<'_>, base: Option<&Medium>, file: &Grounds) -> Option<Medium> {
    let entry = Entry::new(reader, base);
    let name = entry.name(id);
    let aliases: Vec<String> = reader.texts("aliases").into_iter().map(|alias| alias.value).collect();
    let group = entry.text("group", "\"gel-pen\"", |base| base.group.clone());
    let binder = entry.text("binder", "\"gum arabic\"", |base| base.binder.clone());
    let carrier = entry.word("carrier", &Carrier::WORDS, "\"water\"", |base| base.carrier);
    let drying = entry.word("drying", &DryingKind::WORDS, "\"water\"", |base| base.drying);
    let techniques = techniques(&entry);
    let water = entry.triple("sensitivity_water", SHARE, |base| base.sensitivity.water);
    let alcohol = entry.triple("sensitivity_alcohol", SHARE, |base| base.sensitivity.alcohol);
    let ketone_ester = entry.triple("sensitivity_ketone_ester", SHARE, |base| base.sensitivity.ketone_ester);
    let aliphatic = entry.triple("sensitivity_aliphatic", SHARE, |base| base.sensitivity.aliphatic);
    let aromatic = entry.triple("sensitivity_aromatic", SHARE, |base| base.sensitivity.aromatic);
    let friability = entry.triple("friability", SHARE, |base| base.friability);
    let tooth_use = entry.triple("tooth_use", SHARE, |base| base.tooth_use);
    let bloom = entry.triple("bloom", SHARE, |base| base.bloom);
    let darkening = entry.triple("darkening", SHARE, |base| base.darkening);
    let dulling = entry.triple("dulling", SHARE, |base| base.dulling);
    let film = entry.word("film", &FilmClass::WORDS, "\"open\"", |base| base.film);
    let first_coat_um = entry.triple("first_coat_um", 0.1..=200.0, |base| base.first_coat_um);
    let typical_cover = entry.number("typical_cover", SHARE, |base| base.typical_cover);
    let traits = entry.set("traits", &Trait::WORDS, |base| base.traits.iter().copied().collect());
    let note = entry.words("note", |base| base.note.clone());
    entry.check_basis_keys(&FIGURES);
    let grounds = entry.grounds(file, base.map(|base| &base.grounds));
    Some(Medium {
        id: id.to_owned(),
        name: name?,
        aliases,
        group: group?,
        binder: binder?,
        carrier: carrier?,
        drying: drying?,
        techniques: techniques?,
        sensitivity: BySolvent {
            water: water?,
            alcohol: alcohol?,
            ketone_ester: ketone_ester?,
            aliphatic: aliphatic?,
            aromatic: aromatic?,
        },
        friability: friability?,
        tooth_use: tooth_use?,
        bloom: bloom?,
        darkening: darkening?,
        dulling: dulling?,
        film: film?,
        first_coat_um: first_coat_um?,
        typical_cover: typical_cover?,
        traits: traits.into_iter().collect(),
        note,
        grounds,
    })
}

/// The ways of laying: `[[medium.ID.technique]]` tables, or the same figures on the medium itself for only one way.
fn techniques(entry: &Entry<'_, '_, '_, Medium>) -> Option<Vec<Technique>> {
    if entry.reader.has("technique") {
        for key in ["touch_min", "through_h", "seal_wait_h", "seal_wait_thick_h", "water_load_g_m2"] {
            entry.mark_own(key);
        }
        let tables = entry.reader.tables("technique");
        if tables.is_empty() {
            let problem = Problem::new("missing-key", "the list of techniques is empty");
            entry.reader.problem_at("technique", entry.reader.span(), problem.with_hint("list one, or leave it out"));
        }
        let read: Vec<Option<Technique>> = tables.into_iter().map(listed_technique).collect();
        return read.into_iter().collect();
    }
    let base = entry.base.filter(|base| base.techniques.len() > 1);
    if let Some(base) = base {
        let own = ["touch_min", "through_h", "seal_wait_h", "seal_wait_thick_h", "water_load_g_m2"]
            .into_iter()
            .find(|key| entry.reader.has(key));
        if let Some(key) = own {
            let names: Vec<&str> = base.techniques.iter().map(|technique| technique.id.as_str()).collect();
            let problem = Problem::new(
                "technique-figure",
                format!("`{key}` belongs to a technique, and `{}` has several: {}", base.id, names.join(", ")),
            )
            .with_hint("list the techniques as `[[medium.ID.technique]]` tables with an `id` each");
            entry.reader.problem_at(key, entry.reader.span(), problem);
        }
        return Some(base.techniques.clone());
    }
    let first = |pick: fn(&Technique) -> Option<Triple>| move |base: &Medium| pick(&base.techniques[0]);
    let touch_min = entry.triple_or_word("touch_min", 0.0..=10_000.0, first(|technique| technique.touch_min));
    let through_h = entry.triple_or_word("through_h", HOURS, first(|technique| technique.through_h));
    let seal_wait_h = entry.triple_or_word("seal_wait_h", HOURS, first(|technique| technique.seal_wait_h));
    let seal_wait_thick_h = if entry.reader.has("seal_wait_thick_h") {
        entry.mark_own("seal_wait_thick_h");
        own_triple(entry.reader, "seal_wait_thick_h", HOURS)
    } else {
        entry.base.and_then(|base| base.techniques[0].seal_wait_thick_h)
    };
    let water = entry.triple("water_load_g_m2", WATER, |base| base.techniques[0].water_load_g_m2);
    Some(vec![Technique {
        id: entry.base.map(|base| base.techniques[0].id.clone()).unwrap_or_default(),
        touch_min: touch_min.ok()?,
        through_h: through_h.ok()?,
        seal_wait_h: seal_wait_h.ok()?,
        seal_wait_thick_h,
        water_load_g_m2: water?,
    }])
}

fn listed_technique(reader: TableReader<'_>) -> Option<Technique> {
    let id = reader.required_text("id", "\"wet-on-dry\"");
    for (key, example) in [("touch_min", "[5, 12, 30]"), ("through_h", "[1, 3, 12]"), ("seal_wait_h", "[2, 12, 24]")] {
        reader.require(key, example);
    }
    reader.require("water_load_g_m2", "[8, 16, 25]");
    let figure = |key, range| if reader.has(key) { triple_or_word(&reader, key, range) } else { Err(Missing) };
    let touch_min = figure("touch_min", 0.0..=10_000.0);
    let through_h = figure("through_h", HOURS);
    let seal_wait_h = figure("seal_wait_h", HOURS);
    let seal_wait_thick_h =
        if reader.has("seal_wait_thick_h") { own_triple(&reader, "seal_wait_thick_h", HOURS) } else { None };
    let water = own_triple(&reader, "water_load_g_m2", WATER);
    reader.finish();
    Some(Technique {
        id: id?.value,
        touch_min: touch_min.ok()?,
        through_h: through_h.ok()?,
        seal_wait_h: seal_wait_h.ok()?,
        seal_wait_thick_h,
        water_load_g_m2: water?,
    })
}
