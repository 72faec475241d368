//! The echo of what a plan was made from, with the defaults taken.

use serde_json::{Value, json};

use super::bench::Bench;
use super::request::Request;
use crate::air::RespiratorKind;
use crate::catalog::Sealer;
use crate::input::iso;
use crate::page::{Laid, Layer};

/// The inputs as the plan took them.
pub(super) fn inputs(request: &Request<'_>, bench: &Bench<'_>, sealer: &Sealer, sealer_was_chosen: bool) -> Value {
    let sheet = request.sheet;
    json!({
        "start": iso(request.start),
        "now": iso(request.now),
        "seed": request.seed,
        "page": {
            "title": sheet.title,
            "paper": sheet.paper.id,
            "grammage_g_m2": sheet.grammage_g_m2,
            "finish": sheet.finish.map(crate::input::Finish::word),
            "bow_mm": sheet.bow_m.map(|bow| 1000.0 * bow),
            "layers": sheet.layers.iter().map(layer).collect::<Vec<_>>(),
        },
        "room": {
            "name": request.room.filter(|_| request.room_named).map(|room| room.name.clone()),
            "given": request.room_named,
            "airflow": request.room.and_then(|room| room.airflow).map(crate::input::Airflow::word),
            "temperature_known": bench.air.temperature_known,
            "humidity_known": bench.air.humidity_known,
            "ignition": request.room.is_some_and(|room| room.ignition),
        },
        "mask": request.respirator.map(RespiratorKind::id),
        "sealer": { "id": sealer.id, "chosen_by": if sealer_was_chosen { "ranking" } else { "you" } },
    })
}

fn layer(layer: &Layer<'_>) -> Value {
    let technique = match layer.what {
        Laid::Medium(_, technique) if !technique.id.is_empty() => Some(technique.id.as_str()),
        _ => None,
    };
    json!({
        "place": layer.place,
        "medium": layer.id(),
        "technique": technique,
        "cover_pct": layer.cover.map(|cover| 100.0 * cover),
        "cover_assumed_pct": layer.medium().filter(|_| layer.cover.is_none()).map(|medium| 100.0 * medium.typical_cover),
        "finished": layer.finished.as_ref().map(iso),
        "masked": layer.masked,
    })
}
