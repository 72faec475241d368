//! A run that is over, page by page, as the history keeps it.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde_json::{Value, json};

use super::page::{DoneCoat, PageState};
use super::state::State;
use super::words::span_words;

/// What is kept of one page of a run, with the fields of a past run: what was planned, from the plan's keepsake, and
/// what was done, from the run. `None` if no coat is on.
pub fn past_run(state: &State, page: &PageState, id: &str, zone: &TimeZone) -> Option<Value> {
    let last = page.done.last()?;
    let iso = |at: Timestamp| crate::input::iso(&at.to_zoned_datetime(zone.clone()));
    let keepsake = &page.spec.keepsake;
    let mut coats: Vec<Value> = page.done.iter().map(|done| coat(done, keepsake, &iso)).collect();
    // Coats that were planned and never sprayed stand there without a moment.
    let on = |number: usize| page.done.iter().any(|done| done.coat.number == number);
    coats.extend(page.spec.coats.iter().filter(|coat| !on(coat.number)).filter_map(|coat| {
        let mut planned = planned(keepsake, coat.number)?;
        planned["sprayed_at"] = Value::Null;
        Some(planned)
    }));
    let mishaps: Vec<Value> = page
        .mishaps
        .iter()
        .map(|(mishap, at, coats)| {
            json!({ "at": iso(*at), "what": mishap.rescue().word, "coat": (*coats > 0).then_some(*coats), "note": null })
        })
        .collect();
    Some(json!({
        "id": id,
        "started_at": iso(state.started_at),
        "finished_at": iso(page.handle_at().unwrap_or(last.at)),
        "complete": page.done.len() >= page.spec.coats.len(),
        "title": page.spec.title,
        "page_file": (!page.spec.file.starts_with('<')).then_some(&page.spec.file),
        "paper": page.spec.paper,
        "media": keepsake["media"],
        "sealer": page.spec.sealer,
        "sealer_name": page.spec.sealer_name,
        "room": keepsake["room"],
        "temperature_c": keepsake["temperature_c"],
        "relative_humidity_pct": keepsake["relative_humidity_pct"],
        "coats": coats,
        "mishaps": mishaps,
        "grams_used": page.done.iter().map(|done| done.coat.sealer_g).sum::<f64>(),
    }))
}

/// A coat as it was sprayed. One that became a mist has the film of the plan's first mist.
fn coat(done: &DoneCoat, keepsake: &Value, iso: &dyn Fn(Timestamp) -> String) -> Value {
    let number = done.coat.number;
    let own = planned(keepsake, number).unwrap_or_default();
    let kind = if done.coat.mist { "mist" } else { "build" };
    let became = own["kind"] != kind;
    let mut kept = if became { first_mist(keepsake).unwrap_or(own.clone()) } else { own.clone() };
    let timing = match (done.early_s, done.late_s) {
        (early, _) if early > 0 => Some(format!("{} early", span_words(early))),
        (_, late) if late > 0 => Some(format!("{} late", span_words(late))),
        _ => None,
    };
    let mist = became.then(|| "sprayed as a mist after a mishap".to_owned());
    let notes: Vec<String> = timing.into_iter().chain(mist).collect();
    kept["number"] = json!(number);
    kept["kind"] = json!(kind);
    kept["planned_at"] = own["planned_at"].clone();
    kept["sprayed_at"] = json!(iso(done.at));
    kept["note"] = if notes.is_empty() { Value::Null } else { json!(notes.join("; ")) };
    kept
}

/// A coat of the plan with the fields the history keeps.
fn planned(keepsake: &Value, number: usize) -> Option<Value> {
    let all = keepsake["coats"].as_array()?;
    all.iter().find(|coat| coat["number"] == number).map(kept_fields)
}

fn first_mist(keepsake: &Value) -> Option<Value> {
    keepsake["coats"].as_array()?.iter().find(|coat| coat["kind"] == "mist").map(kept_fields)
}

fn kept_fields(coat: &Value) -> Value {
    json!({
        "number": coat["number"], "kind": coat["kind"], "distance_cm": coat["distance_cm"],
        "pass_speed_cm_s": coat["pass_speed_cm_s"], "step_over_cm": coat["step_over_cm"],
        "wet_film_um": coat["wet_film_um"], "touch_dry_min": coat["touch_dry_min"],
        "touch_dry_modelled_min": coat["touch_dry_modelled_min"], "sealer_g": coat["sealer_g"],
        "planned_at": coat["starts_at"], "sprayed_at": null, "note": null,
    })
}
