//! The review of the layers as a document: what `layers` prints, as data. Field names are those of the JSON contract.

use jiff::ZonedDateTime;
use serde::Serialize;

use super::{LAYER_WET, Laid, Layer, PageReview, Sheet};
use crate::diagnostic::plural;
use crate::finding::{Finding, Level, verdict};
use crate::input::iso;
use crate::vapour::MoistAir;

/// One pair of layers that meet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PairPart {
    /// Id of the lower medium.
    pub lower: String,
    /// Id of the upper medium.
    pub upper: String,
    /// Place of the lower layer.
    pub lower_place: usize,
    /// Place of the upper layer.
    pub upper_place: usize,
    /// `good`, `care` or `avoid`.
    pub verdict: &'static str,
    /// How much it weighs on this page.
    pub level: Level,
    /// What is seen.
    pub effect: String,
    /// Why.
    pub why: String,
    /// What the verdict stands on.
    pub basis: &'static str,
    /// Where that is published, if it is.
    pub source: Option<String>,
}

/// One medium on the paper.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SurfacePart {
    /// Id of the medium.
    pub medium: String,
    /// Place of the layer.
    pub place: usize,
    /// `good`, `care` or `avoid`.
    pub verdict: &'static str,
    /// How much it weighs on this page.
    pub level: Level,
    /// What is seen.
    pub effect: String,
    /// Water laid where it lies, g/m².
    pub load_g_m2: f64,
    /// What the verdict stands on.
    pub basis: &'static str,
    /// Where that is published, if it is.
    pub source: Option<String>,
}

/// The waits of one layer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaitPart {
    /// Id of the medium.
    pub medium: String,
    /// Place of the layer.
    pub place: usize,
    /// Minutes before a layer goes over it; absent if none does or it never dries.
    pub before_next_min: Option<u32>,
    /// What sets them: `profile` or `evaporation`.
    pub governed_by: &'static str,
    /// Hours before the first spray coat; absent if never.
    pub before_seal_h: Option<f64>,
    /// When it is ready for the spray; absent if still to be laid or never.
    pub ready_at: Option<String>,
}

/// The wettest layer against the paper.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaterPart {
    /// Largest load, g/m².
    pub load_g_m2: f64,
    /// Where the paper begins to cockle, g/m²; absent if water does not swell it.
    pub cockles_at_g_m2: Option<f64>,
    /// `good`, `care` or `avoid`.
    pub verdict: &'static str,
}

/// A layer as taken.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LayerEcho {
    /// Place from 1 at the bottom.
    pub place: usize,
    /// Id of the medium or sealer.
    pub medium: String,
    /// Name for people.
    pub name: String,
    /// Technique taken; absent where there is only one way.
    pub technique: Option<String>,
    /// Stated cover, per cent.
    pub cover_pct: Option<f64>,
    /// Areas; empty is the whole page.
    pub areas: Vec<String>,
    /// When it was finished; absent is still to be laid.
    pub finished: Option<String>,
    /// Covered while spraying.
    pub masked: bool,
}

/// The air the waits are for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoomEcho {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Relative humidity, per cent.
    pub relative_humidity_pct: f64,
}

/// What the review was made from, defaults included.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LayersInputs {
    /// Title of the page.
    pub title: String,
    /// Id of the paper.
    pub paper: String,
    /// Name of the paper.
    pub paper_name: String,
    /// Width, cm.
    pub width_cm: f64,
    /// Height, cm.
    pub height_cm: f64,
    /// The air at the bench.
    pub room: RoomEcho,
    /// The moment readiness is judged for.
    pub start: String,
    /// The layers, bottom to top.
    pub layers: Vec<LayerEcho>,
}

/// The `layers` document.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LayersDocument {
    /// `coatbell.layers/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// What it was made from.
    pub inputs: LayersInputs,
    /// `go`, `care` or `hold`, of the stack; waits that only have to pass do not count.
    pub verdict: Level,
    /// The answer in one line.
    pub answer: String,
    /// What was noticed, the most severe first.
    pub findings: Vec<Finding>,
    /// What always holds.
    pub cautions: Vec<String>,
    /// Every pair that meets.
    pub pairs: Vec<PairPart>,
    /// Every medium on the paper.
    pub surface: Vec<SurfacePart>,
    /// Media in the suggested order, bottom to top.
    pub suggested_order: Vec<String>,
    /// Places of the given order in the suggested one.
    pub suggested_places: Vec<usize>,
    /// Whether the suggested order is better than the given one.
    pub order_better: bool,
    /// Whether no better order exists.
    pub order_exact: bool,
    /// How long each layer waits.
    pub waits: Vec<WaitPart>,
    /// When all layers are ready for the spray; absent if one is still to be laid or never is.
    pub ready_at: Option<String>,
    /// The wettest layer.
    pub water: WaterPart,
}

/// Findings about the clock: they pass by waiting and belong to the plan, not to the stack.
const PASSING: [&str; 2] = [LAYER_WET, "layer-to-be-laid"];

/// The document of a review.
pub fn layers_document(
    sheet: &Sheet<'_>,
    review: &PageReview<'_>,
    air: &MoistAir,
    start: &ZonedDateTime,
) -> LayersDocument {
    let mut findings: Vec<Finding> =
        review.findings().filter(|finding| !PASSING.contains(&finding.code)).cloned().collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    let level = verdict(&findings);
    LayersDocument {
        schema: "coatbell.layers/1",
        version: env!("CARGO_PKG_VERSION"),
        inputs: inputs(sheet, air, start),
        verdict: level,
        answer: answer(sheet, level, &findings),
        cautions: vec![
            "Try the stack, and the spray, on a scrap of the same paper first".to_owned(),
            "Sealing is the very last step: nothing but brush acrylic holds over it".to_owned(),
        ],
        pairs: review
            .pairs
            .iter()
            .map(|pair| PairPart {
                lower: pair.lower.to_owned(),
                upper: pair.upper.to_owned(),
                lower_place: pair.lower_place,
                upper_place: pair.upper_place,
                verdict: pair.verdict.word(),
                level: pair.level,
                effect: pair.effect.clone(),
                why: pair.why.clone(),
                basis: pair.grounds.basis.word(),
                source: pair.grounds.source.clone(),
            })
            .collect(),
        surface: review
            .surface
            .iter()
            .map(|finding| SurfacePart {
                medium: finding.medium.to_owned(),
                place: finding.place,
                verdict: finding.verdict.word(),
                level: finding.level,
                effect: finding.effect.clone(),
                load_g_m2: finding.load_g_m2,
                basis: finding.grounds.basis.word(),
                source: finding.grounds.source.clone(),
            })
            .collect(),
        suggested_order: review
            .order
            .places
            .iter()
            .filter_map(|place| sheet.layers.get(place - 1))
            .map(|layer| layer.id().to_owned())
            .collect(),
        suggested_places: review.order.places.clone(),
        order_better: review.order.is_better(),
        order_exact: review.order.exact,
        waits: review
            .waits
            .iter()
            .map(|wait| WaitPart {
                medium: wait.medium.to_owned(),
                place: wait.place,
                before_next_min: wait.before_next_min.map(|minutes| minutes.ceil() as u32),
                governed_by: wait.governs.word(),
                before_seal_h: wait.before_seal_h.map(|hours| (hours * 10.0).ceil() / 10.0),
                ready_at: wait.ready_at.as_ref().map(iso),
            })
            .collect(),
        ready_at: review.ready.ready_at.as_ref().map(iso),
        water: WaterPart {
            load_g_m2: review.water.load_g_m2,
            cockles_at_g_m2: review.water.cockles_at_g_m2,
            verdict: review.water.verdict.word(),
        },
        findings,
    }
}

fn inputs(sheet: &Sheet<'_>, air: &MoistAir, start: &ZonedDateTime) -> LayersInputs {
    LayersInputs {
        title: sheet.title.clone(),
        paper: sheet.paper.id.clone(),
        paper_name: sheet.paper.name.clone(),
        width_cm: rounded(sheet.width_m * 100.0),
        height_cm: rounded(sheet.height_m * 100.0),
        room: RoomEcho {
            temperature_c: rounded(air.temperature_c),
            relative_humidity_pct: rounded(air.relative_humidity * 100.0),
        },
        start: iso(start),
        layers: sheet.layers.iter().map(echo).collect(),
    }
}

fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

fn echo(layer: &Layer<'_>) -> LayerEcho {
    let technique = match layer.what {
        Laid::Medium(_, technique) if !technique.id.is_empty() => Some(technique.id.clone()),
        _ => None,
    };
    LayerEcho {
        place: layer.place,
        medium: layer.id().to_owned(),
        name: layer.name().to_owned(),
        technique,
        cover_pct: layer.cover.map(|cover| rounded(cover * 100.0)),
        areas: layer.areas.clone(),
        finished: layer.finished.as_ref().map(iso),
        masked: layer.masked,
    }
}

/// The answer in one line: the verdict in words, and its first reason.
fn answer(sheet: &Sheet<'_>, level: Level, findings: &[Finding]) -> String {
    let layers = plural(sheet.layers.len(), "layer");
    let deciding: Vec<&Finding> = findings.iter().filter(|finding| finding.level == level).collect();
    let more = match deciding.len() {
        0 | 1 => String::new(),
        2 => " (and one more)".to_owned(),
        count => format!(" (and {} more)", count - 1),
    };
    match (level, deciding.first()) {
        (Level::Hold, Some(first)) => format!("Not so: {}{more}", first.text),
        (Level::Care, Some(first)) => format!("With care: {}{more}", first.text),
        _ if sheet.layers.len() == 1 => format!("The layer goes well on {}", sheet.paper.name),
        _ => format!("The {layers} go well together and on {}", sheet.paper.name),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use crate::page::{PageWords, page_from_words, review};

    #[test]
    fn the_fields_of_the_contract_are_there() {
        let now: ZonedDateTime = "2026-11-27T18:00:00+01:00[Europe/Berlin]".parse().expect("a valid moment");
        let words = PageWords {
            media: "watercolour:wet-on-dry, wax-pencil, oil-pastel",
            paper: Some("cardstock"),
            size: Some("A4"),
            finish: None,
        };
        let (page, source) = page_from_words(&words, &now).expect("valid words");
        let catalog = Catalog::builtin();
        let sheet = Sheet::resolve(&page, &source, &catalog).expect("known names");
        let air = MoistAir { temperature_c: 20.0, relative_humidity: 0.5, pressure_pa: 101_325.0 };
        let review = review(&sheet, &catalog, &air, &now);
        let document = layers_document(&sheet, &review, &air, &now);
        let json = serde_json::to_value(&document).expect("a document");
        let has = |value: &serde_json::Value, keys: &str| {
            for key in keys.split(' ') {
                assert!(value.get(key).is_some(), "{key} is missing in {value}");
            }
        };
        has(&json, "schema version inputs verdict answer findings cautions pairs surface suggested_order order_exact");
        has(&json, "waits water");
        has(&json["findings"][0], "code level text remedy basis source layers");
        has(&json["pairs"][0], "lower upper lower_place upper_place verdict level effect why basis source");
        has(&json["surface"][0], "medium place verdict level effect");
        has(&json["waits"][0], "medium place before_next_min before_seal_h ready_at");
        has(&json["water"], "load_g_m2 cockles_at_g_m2 verdict");
        assert_eq!(json["schema"], "coatbell.layers/1");
        assert_eq!((json["verdict"].as_str(), json["pairs"].as_array().map(Vec::len)), (Some("hold"), Some(3)));
        assert_eq!(json["waits"][2]["before_seal_h"], serde_json::Value::Null, "oil pastel never");
        assert_eq!(json["waits"][1]["ready_at"], "2024-11-28T18:00:00+01:00");
        assert_eq!(json["water"]["cockles_at_g_m2"], 22.0);
        assert_eq!(json["suggested_order"], serde_json::json!(["watercolour", "wax-pencil", "oil-pastel"]));
    }
}
