//! What the history is given.

use super::super::{Mishap, past_run};
use super::{Bench, Command};

#[test]
fn a_past_run_tells_what_was_planned_and_what_was_done() {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "Europe/Paris", None);
    bench.watch(30);
    bench.spray().unwrap();
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Pooled }).unwrap();
    bench.watch(30 * 60);
    bench.spray().unwrap();
    let mut page = bench.state().pages[0].clone();
    page.spec.keepsake = serde_json::json!({
        "media": ["watercolour"], "room": "room.toml", "temperature_c": 21.0, "relative_humidity_pct": 48.0,
        "coats": [
            { "number": 1, "kind": "mist", "distance_cm": 35.0, "starts_at": "2026-11-28T15:00:00+01:00" },
            { "number": 2, "kind": "build", "distance_cm": 18.0, "starts_at": "2026-11-28T15:10:00+01:00" },
            { "number": 3, "kind": "build", "distance_cm": 18.0, "starts_at": "2026-11-28T15:20:00+01:00" },
        ],
    });
    let past = past_run(bench.state(), &page, "one", &jiff::tz::TimeZone::get("Europe/Paris").unwrap()).unwrap();
    assert_eq!(past["started_at"], "2026-11-28T15:00:00+01:00");
    assert_eq!(past["complete"], false);
    assert_eq!(past["grams_used"], 10.0);
    assert_eq!(past["coats"][0]["sprayed_at"], "2026-11-28T15:00:30+01:00");
    assert_eq!(past["coats"][1]["kind"], "mist");
    assert_eq!(past["coats"][1]["distance_cm"], 35.0);
    assert_eq!(past["coats"][1]["planned_at"], "2026-11-28T15:10:00+01:00");
    assert_eq!(past["coats"][1]["note"], "9 min late; sprayed as a mist after a mishap");
    assert!(past["coats"][2]["sprayed_at"].is_null());
    assert_eq!(past["mishaps"][0]["what"], "pooled");
    assert_eq!(past["mishaps"][0]["coat"], 1);
}
