//! `coatbell weather` as a person meets it: an example forecast, clock changes, wrong tables. Whole output.

use std::fmt::Write;

use super::harness::{Bench, PAGE};

const GARDEN: &str = "airflow = \"outdoors\"\ntemperature = \"unknown\"\nhumidity = \"unknown\"\n";

/// Hours from a local time on, with the same values.
fn hours(first: &str, count: i64, rest: &str) -> String {
    let first: jiff::civil::DateTime = first.parse().expect("a local time");
    let mut rows = String::new();
    for hour in 0..count {
        let at = first.checked_add(jiff::SignedDuration::from_hours(hour)).expect("a time");
        writeln!(rows, "{},{rest}", at.strftime("%Y-%m-%d %H:%M")).expect("a string takes it");
    }
    rows
}

fn bench(forecast: &str) -> Bench {
    let bench = Bench::with("page.toml", PAGE);
    bench.write("garden.toml", GARDEN);
    bench.write("forecast.csv", forecast);
    bench
}

const WEATHER: [&str; 4] = ["weather", "page.toml", "--forecast", "forecast.csv"];

fn json(bench: &Bench, zone: &str, now: &str, more: &[&str]) -> (i32, serde_json::Value) {
    let mut command = bench.command();
    command.env("TZ", zone).env("COATBELL_NOW", now).args(WEATHER).args(more).arg("--json");
    let output = command.output().expect("the binary runs");
    (output.status.code().expect("a code"), serde_json::from_slice(&output.stdout).expect("one JSON document"))
}

fn example() -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("profiles/examples/forecasts/late-autumn.csv");
    std::fs::read_to_string(path).expect("an example forecast")
}

#[test]
fn four_days_in_words() {
    let bench = bench(&example());
    insta::assert_snapshot!(bench.transcript(&[&WEATHER[..], &["--between", "8-21"]].concat()));
    let mut narrow = bench.command();
    narrow.env("COLUMNS", "40").args(WEATHER);
    insta::assert_snapshot!(super::harness::transcript_of(&mut narrow, &WEATHER));
}

#[test]
fn the_best_hour_goes_into_a_calendar() {
    let bench = bench(&example());
    let output = bench.command().args(WEATHER).args(["--format", "ics"]).output().expect("the binary runs");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let (_, document) = json(&bench, "UTC", super::harness::NOW, &[]);
    let best = document["windows"][0]["best_at"].as_str().expect("a moment");
    let stamp: String = best[..16].chars().filter(|letter| letter.is_ascii_digit() || *letter == 'T').collect();
    assert!(text.contains(&format!("DTSTART:{stamp}00Z")), "{stamp}: {text}");
}

#[test]
fn other_orders_names_and_units_say_the_same() {
    let plain = "time,temperature,humidity,wind\n2026-11-28 15:00,20,50,2\n2026-11-28 16:00,20,50,2\n\
                 2026-11-28 17:00,20,50,2\n2026-11-28 18:00,20,50,2\n";
    let other = "Wind speed (km/h);RH [%];Cloud;Date;temp_f\n7,2;50;3;2026-11-28T15:00Z;68\n\
                 7,2;50;3;2026-11-28T16:00Z;68\n7,2;50;3;2026-11-28T17:00Z;68\n7,2;50;3;2026-11-28T18:00Z;68\n";
    let (code, first) = json(&bench(plain), "UTC", super::harness::NOW, &[]);
    let (_, second) = json(&bench(other), "UTC", super::harness::NOW, &[]);
    assert_eq!(code, 0, "{first:#}");
    assert_eq!(first["windows"], second["windows"]);
    assert_eq!(first["inputs"]["units_assumed"].as_array().unwrap().len(), 3);
    assert_eq!(second["inputs"]["units_assumed"].as_array().unwrap().len(), 0);
    let flagged = plain.replace(",20,50,2", ",68,50,7.2");
    let (_, third) =
        json(&bench(&flagged), "UTC", super::harness::NOW, &["--temperature-unit", "F", "--wind-unit", "km/h"]);
    assert_eq!(first["windows"], third["windows"]);
}

#[test]
fn clocks_going_back_and_forward_make_no_hole() {
    // Europe/Berlin: back on 25 October 2026 at 03:00, forward on 29 March 2026 at 02:00 (the IANA time zone database).
    let header = "time,temperature (C),humidity (%),wind (m/s)\n";
    let night = |hours: &[&str]| hours.iter().fold(header.to_owned(), |table, hour| table + hour + ",20,50,2\n");
    let back =
        night(&["2026-10-25 01:00", "2026-10-25 02:00", "2026-10-25 02:00", "2026-10-25 03:00", "2026-10-25 04:00"]);
    let (code, document) = json(&bench(&back), "Europe/Berlin", "2026-10-24T20:00:00Z", &[]);
    assert_eq!(code, 0, "{document:#}");
    let starts: Vec<&str> = document["hours"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|hour| !hour["start"].is_null())
        .map(|hour| hour["at"].as_str().unwrap())
        .collect();
    assert_eq!(starts, ["2026-10-25T01:00:00+02:00", "2026-10-25T02:00:00+02:00", "2026-10-25T02:00:00+01:00"]);
    let forward = night(&["2026-03-29 00:00", "2026-03-29 01:00", "2026-03-29 03:00", "2026-03-29 04:00"]);
    let (code, document) = json(&bench(&forward), "Europe/Berlin", "2026-03-28T20:00:00Z", &[]);
    assert_eq!(code, 0, "{document:#}");
    assert_eq!(document["starts"], 2, "{document:#}");
    let skipped = night(&["2026-03-29 01:00", "2026-03-29 02:00", "2026-03-29 03:00"]);
    let bench = bench(&skipped);
    let mut command = bench.command();
    command.env("TZ", "Europe/Berlin").env("COATBELL_NOW", "2026-03-28T20:00:00Z").args(WEATHER);
    insta::assert_snapshot!(super::harness::transcript_of(&mut command, &WEATHER));
}

#[test]
fn a_hole_and_a_missing_value_are_no_start() {
    let mut rows = hours("2026-11-28 15:00", 8, "20,50,2");
    rows = rows.replace("2026-11-28 18:00,20,50,2", "2026-11-28 18:00,20,NA,2");
    let later = hours("2026-11-29 03:00", 4, "20,50,2");
    let (_, document) = json(
        &bench(&format!("time,temperature (C),humidity (%),wind (m/s)\n{rows}{later}")),
        "UTC",
        super::harness::NOW,
        &[],
    );
    let starts: Vec<&str> = document["hours"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|hour| !hour["start"].is_null())
        .map(|hour| &hour["at"].as_str().unwrap()[11..16])
        .collect();
    // A run of just over an hour: 16:00 would meet the missing 18:00, 21:00 and 22:00 the hole, 05:00 the end.
    assert_eq!(starts, ["15:00", "19:00", "20:00", "03:00", "04:00"], "{}", document["run_min"]);
    assert!(document["limits"].as_array().unwrap().iter().any(|limit| limit["limit"] == "missing"));
}

/// A page that must not be sealed at all in air that would suit: whoever reads only the first line, or only the short
/// answer, must not take it for leave to spray.
#[test]
fn a_page_on_hold_is_told_so_in_the_line_of_the_weather() {
    let fine = format!("time,temperature (C),humidity (%),wind (m/s)\n{}", hours("2026-11-28 15:00", 8, "20,50,2"));
    let bench = bench(&fine);
    let answer = |more: &[&str]| {
        let (code, document) = json(&bench, "UTC", super::harness::NOW, more);
        let text = document["answer"].as_str().expect("an answer").to_owned();
        (code, document["verdict"].as_str().expect("a verdict").to_owned(), text)
    };
    let (code, verdict, good) = answer(&["--sealer", "acrylic-satin"]);
    assert!(code == 0 && verdict != "hold" && good.contains("suit to begin in; best"), "{good}");
    let (code, verdict, held) = answer(&["--sealer", "hair-spray"]);
    assert_eq!((code, &*verdict), (4, "hold"), "{held}");
    assert!(held.starts_with("The air would suit in") && held.contains("of 8 hours, but "), "{held}");
    assert!(held.contains("Hair spray is no sealer") || held.contains("hair spray is no sealer"), "{held}");
    assert!(!held.contains("suit to begin in") && !held.contains("handle-dry by"), "{held}");
    bench.write("page.toml", PAGE.replace("wax-pencil", "oil-pastel"));
    let (code, verdict, held) = answer(&["--sealer", "acrylic-satin"]);
    assert_eq!((code, &*verdict), (4, "hold"), "{held}");
    assert!(held.starts_with("The air would suit in") && held.contains("never dries"), "{held}");
    let arguments = [&WEATHER[..], &["--sealer", "acrylic-satin"]].concat();
    for more in [&[][..], &["-q"]] {
        let output = bench.command().args(&arguments).args(more).output().expect("it runs");
        let said = String::from_utf8(output.stdout).expect("UTF-8");
        assert_eq!(output.status.code(), Some(4), "{said}");
        let line = crate::support::flat(&said);
        assert!(line.starts_with("HOLD The air would suit in"), "{line}");
        assert!(!line.contains("suit to begin in"), "{line}");
    }
}

/// Eight hours of which one passes a single limit: that limit is named, and no run lies over that hour.
#[test]
fn each_limit_keeps_its_hour_out() {
    let head = "time,temperature (C),humidity (%),wind (m/s),precipitation (mm)\n";
    let with = |odd: &str| {
        let mut rows = hours("2026-11-28 15:00", 8, "20,50,2,0");
        rows = rows.replace("18:00,20,50,2,0", &format!("18:00,{odd}"));
        let (_, document) = json(&bench(&format!("{head}{rows}")), "UTC", super::harness::NOW, &[]);
        let starts = document["starts"].as_u64().expect("a number");
        let kept: Vec<String> = document["limits"]
            .as_array()
            .expect("limits")
            .iter()
            .map(|limit| limit["limit"].as_str().expect("a word").to_owned())
            .collect();
        (starts, kept)
    };
    let (all, none) = with("20,50,2,0");
    assert!(all >= 5 && none.is_empty(), "{all} {none:?}");
    // Published and practice limits are the rules' own (75 %, 15 and 35 °C, 3 K); wind, rain and blush as they have them.
    for (odd, limit) in [
        ("20,76,2,0", "humidity"),
        ("14.9,50,2,0", "cold"),
        ("35.1,50,2,0", "hot"),
        ("20,50,8,0", "wind"),
        ("20,50,2,1", "rain"),
        ("20,NA,2,0", "missing"),
    ] {
        let (starts, kept) = with(odd);
        assert_eq!(kept, [limit], "{odd}");
        assert!(starts < all, "{odd}: {starts} of {all}");
    }
}

#[test]
fn a_garage_lags_and_a_heated_room_keeps_warm() {
    let cold = format!("time,temperature (C),humidity (%),wind (m/s)\n{}", hours("2026-11-28 15:00", 6, "6,70,9"));
    let bench = bench(&cold);
    bench.write("garage.toml", "volume = \"40 m3\"\nairflow = \"cross-draught\"\nfollows = \"garage\"\n");
    bench.write("studio.toml", "volume = \"40 m3\"\nairflow = \"cross-draught\"\ntemperature = \"20 C\"\n");
    let (code, garage) = json(&bench, "UTC", super::harness::NOW, &["--room", "garage.toml"]);
    assert_eq!((code, garage["verdict"].as_str()), (4, Some("hold")));
    let (code, studio) = json(&bench, "UTC", super::harness::NOW, &["--room", "studio.toml"]);
    assert_eq!(code, 0, "{studio:#}");
    // 6 °C and 70 % hold 0.7 × 935 Pa; at 20 °C saturation is 2339 Pa (steam tables): 28 %.
    let humidity = studio["hours"][0]["relative_humidity_pct"].as_f64().unwrap();
    assert!((humidity - 28.0).abs() < 0.3, "{humidity}");
    assert!(studio["hours"][0]["wind_m_s"].is_null());
}

#[test]
fn wrong_tables_are_refused_at_their_line() {
    let mut said = String::new();
    for table in [
        "",
        "time,temp\n2026-11-28 15:00,20\n",
        "moment,temperature,humidity\n2026-11-28 15:00,20,50\n",
        "time,temperature (X),humidity\n2026-11-28 15:00,20,50\n",
        "time,temperature,humidity\n2026-11-28 15:00,68,50\n2026-11-28 16:00,70,150\n2026-11-28 3pm,20,50\n",
        "time,temperature,humidity\n2026-11-28 15:00,20,50\n2026-11-28 15:00,21,50\n2026-11-28 14:00,20,50\n",
        "time,temperature,humidity\n2026-11-28 15:00,20,0.5\n2026-11-28 16:00,20,0.5\n2026-11-28 17:00,20,0.6\n",
        "time,temperature,humidity\n2026-11-28 15:00,20,50\n2026-11-29 15:00,20,50\n2026-11-30 15:00,20,50\n",
        "time,temperature,humidity\n2026-11-20 15:00,20,50\n2026-11-20 16:00,20,50\n",
        "time,temperature,humidity\n2026-11-28 15:00,warm,50\n",
    ] {
        said += &bench(table).transcript(&WEATHER);
    }
    insta::assert_snapshot!(said);
}

#[test]
fn wrong_flags_name_the_cure() {
    let table = format!("time,temperature,humidity\n{}", hours("2026-11-28 15:00", 4, "20,50"));
    let bench = bench(&table);
    bench.write("hall.toml", "volume = \"40 m3\"\nairflow = \"cross-draught\"\n");
    bench.write("yard.toml", "airflow = \"outdoors\"\nfollows = \"garage\"\n");
    let mut said = String::new();
    for more in [
        &["--between", "8"][..],
        &["--between", "8-8"],
        &["--temperature", "20 C"],
        &["--sealer", "acrylic-gloss,acrylic-matte"],
        &["--room", "hall.toml"],
        &["--room", "yard.toml"],
        &["--wind-unit", "beaufort"],
    ] {
        said += &bench.transcript(&[&WEATHER[..], more].concat());
    }
    said += &bench.transcript(&["weather", "page.toml"]);
    insta::assert_snapshot!(said);
}

#[test]
fn a_plan_on_hold_for_its_air_points_at_the_forecast() {
    let bench = bench("");
    let damp = ["plan", "page.toml", "--room", "window-open", "--temperature", "12 C", "--humidity", "85 %"];
    let text = bench.transcript(&damp);
    assert!(text.contains("[exit 4]") && text.contains("coatbell weather"), "{text}");
    let dry = ["plan", "page.toml", "--room", "window-open", "--temperature", "21 C", "--humidity", "45 %"];
    assert!(!bench.transcript(&dry).contains("coatbell weather"));
}
