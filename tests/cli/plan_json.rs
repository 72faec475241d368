//! The JSON contract of a plan.

use coatbell::report::plan_json;
use serde_json::Value;

use super::sample_plans::{all, go, hold_bare};

#[test]
fn go_as_json() {
    insta::assert_snapshot!(plan_json(&go()));
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().map(|map| map.keys().map(String::as_str).collect()).unwrap_or_default();
    keys.sort_unstable();
    keys
}

fn sorted(words: &str) -> Vec<&str> {
    let mut words: Vec<&str> = words.split_whitespace().collect();
    words.sort_unstable();
    words
}

#[test]
fn fields_are_those_of_the_contract() {
    let value: Value = serde_json::from_str(&plan_json(&go())).unwrap();
    let top = "schema version inputs verdict answer findings cautions page sealer runners_up room ready_at layers \
               would_change coats handle_at milestones sealer_total_g can_share_pct dry_film_total_um air narrow_most \
               preflight why";
    let coat = "number kind distance_cm pass_speed_cm_s seconds_per_pass step_over_cm pattern_width_cm \
                first_pass_offset_cm start_corner passes direction overrun_cm surface spray_s sealer_g wet_film_um \
                dry_film_um cap_um limited_by under_cap_pct blush_index_pct dry_spray_pct ripple_pct starts_at \
                touch_dry_min recoat_min wait_min recoat_by return_masked_min label_applied";
    let air = "solvents index_15min index_short_term index_8h index_unmasked_only room_index_peak lel_room_pct \
               lel_near_pct return_masked_min clear_unmasked_min clear_others_min purge_99_min airflow_needed_m3_h \
               ventilation respirator series verdict";
    let solvent = "id released_g room_peak_ppm near_peak_ppm mean_15min_ppm mean_8h_ppm limit_8h_ppm limit_15min_ppm \
                   limit_source";
    for (part, words) in [
        (&value, top),
        (&value["coats"][0], coat),
        (&value["coats"][0]["wet_film_um"], "p10 p50 p90"),
        (&value["air"], air),
        (&value["air"]["solvents"][0], solvent),
        (&value["air"]["ventilation"], "m3_h low_m3_h mixing_factor source"),
        (
            &value["air"]["respirator"],
            "kind cartridge prefilter protection_factor max_use_ppm not_held cartridge_life_h",
        ),
        (&value["air"]["series"][0], "t_min room_index near_index lel_pct"),
        (&value["findings"][0], "code level text remedy basis source layers"),
        (&value["page"], "title width_cm height_cm paper finish"),
        (&value["room"], "temperature_c relative_humidity_pct dew_point_c volume_m3 air_changes_per_h"),
        (&value["runners_up"][0], "sealer verdict reason"),
        (&value["layers"][0], "medium ready_at level"),
        (&value["would_change"][0], "variable from to level text"),
        (&value["milestones"][0], "id at text"),
        (&value["narrow_most"], "measurement steps"),
        (&value["preflight"][0], "id text"),
        (&value["why"][0], "path formula inputs basis source"),
    ] {
        assert_eq!(keys(part), sorted(words));
    }
}

#[test]
fn absent_is_null_and_minutes_are_whole() {
    let value: Value = serde_json::from_str(&plan_json(&hold_bare())).unwrap();
    for field in ["ready_at", "handle_at", "can_share_pct", "dry_film_total_um", "air"] {
        assert_eq!(value.get(field), Some(&Value::Null), "{field}");
    }
    assert_eq!(value["coats"], Value::Array(vec![]));
    let value: Value = serde_json::from_str(&plan_json(&go())).unwrap();
    assert!(value["coats"][0]["wait_min"].is_u64());
    assert!(value["air"]["clear_others_min"].is_u64());
    assert_eq!(value["air"]["series"][1]["near_index"], 1.62);
}

#[test]
fn every_sample_is_valid_json_with_its_strings_whole() {
    for (name, plan) in all() {
        let value: Value = serde_json::from_str(&plan_json(&plan)).unwrap();
        assert_eq!(value["page"]["title"], plan.page.title, "{name}");
        assert_eq!(value["verdict"], plan.verdict.word(), "{name}");
    }
}
