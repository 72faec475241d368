//! Speed of the whole program: one page planned with sampling, as JSON, process start to end, beside the bare start
//! of the same program (`--version`) as the reference in the same run.

use std::process::{Command, Stdio};

fn main() {
    divan::main();
}

fn run(arguments: &[&str]) {
    let status = Command::new(env!("CARGO_BIN_EXE_coatbell"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("COATBELL_NOW", if arguments[0] == "weather" { "2001-01-01T05:00:00Z" } else { "2026-11-25T18:00:00Z" })
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the program starts");
    assert!(status.code().is_some_and(|code| code == 0 || code == 4), "the program ends normally");
}

/// The reference: start, read the arguments, print, end.
#[divan::bench(sample_count = 50)]
fn start_only() {
    run(&["--version"]);
}

/// The main job on a shipped example.
#[divan::bench(sample_count = 50)]
fn plan_json() {
    run(&[
        "plan",
        "profiles/examples/pages/night-market.toml",
        "--room",
        "profiles/examples/rooms/spare-room.toml",
        "--json",
    ]);
}

/// The same plan as a bench sheet.
#[divan::bench(sample_count = 50)]
fn print_sheet() {
    run(&["print", "profiles/examples/pages/night-market.toml", "--room", "profiles/examples/rooms/spare-room.toml"]);
}

/// The air of the same page alone.
#[divan::bench(sample_count = 50)]
fn safety_of_a_page_json() {
    run(&[
        "safety",
        "profiles/examples/pages/night-market.toml",
        "--room",
        "profiles/examples/rooms/spare-room.toml",
        "--sealer",
        "acrylic-satin",
        "--json",
    ]);
}

/// The air of an amount: four coats a quarter of an hour apart.
#[divan::bench(sample_count = 50)]
fn safety_of_an_amount_json() {
    run(&[
        "safety",
        "--sealer",
        "acrylic-satin",
        "--room",
        "profiles/examples/rooms/spare-room.toml",
        "--amount",
        "8 g",
        "--coats",
        "4",
        "--every",
        "15 min",
        "--json",
    ]);
}

/// A year of hours (see `tests/reference/weather`).
#[divan::bench(sample_count = 20)]
fn weather_of_a_year_json() {
    run(&[
        "weather",
        "profiles/examples/pages/night-market.toml",
        "--forecast",
        "tests/reference/weather/year.csv",
        "--sealer",
        "acrylic-satin",
        "--json",
    ]);
}
