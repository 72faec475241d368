//! Speed beside a general solver in the same run: a film, and a day of room air with 200 coats.
//!
//! The reference is scipy's LSODA (`beside.py`), with the interpreter named in `COATBELL_PYTHON`, else `python3`. Without
//! numpy and scipy our own times stand alone, and it says so.

#![expect(clippy::print_stdout, reason = "the table is what it is run for")]

#[path = "../reference/film_case.rs"]
mod film_case;

use std::collections::BTreeMap;
use std::hint::black_box;
use std::process::Command;
use std::time::{Duration, Instant};

use coatbell::air::{Release, Shape, Sources, Tail, Timeline, Zones};
use coatbell::catalog::Component;

/// How often ours is timed; the median counts.
const REPEATS: usize = 31;

fn main() {
    let reference = reference();
    println!("{:<44} {:>12} {:>16} {:>8}", "", "coatbell", "scipy LSODA", "times");
    for (name, what, ours) in [
        ("film", "a film until it can be handled", films()),
        ("day", "a day with 200 coats, both zones, every 1 s", day()),
    ] {
        let ours = ours.as_secs_f64();
        let (theirs, times) = match reference.get(name) {
            Some(theirs) => (in_words(*theirs), format!("{:.0}", theirs / ours)),
            None => ("not run".to_owned(), String::new()),
        };
        println!("{what:<44} {:>12} {theirs:>16} {times:>8}", in_words(ours));
    }
}

/// Seconds by name, as the reference prints them; empty, with a word of why, if it cannot run.
fn reference() -> BTreeMap<String, f64> {
    let python = std::env::var("COATBELL_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bench/beside.py");
    match Command::new(&python).arg(script).output() {
        Ok(output) if output.status.success() => {
            let text = String::from_utf8_lossy(&output.stdout).into_owned();
            let lines = text.lines().filter_map(|line| line.split_once(' '));
            let mut found = BTreeMap::new();
            for (name, value) in lines {
                match (name, value.parse()) {
                    ("version", _) => println!("scipy {value}"),
                    (_, Ok(seconds)) => {
                        found.insert(name.to_owned(), seconds);
                    }
                    (_, Err(_)) => println!("not understood: {name} {value}"),
                }
            }
            found
        }
        Ok(output) => {
            let why = String::from_utf8_lossy(&output.stderr).lines().last().unwrap_or("no reason given").to_owned();
            println!("the reference does not run ({why}): our times stand alone");
            BTreeMap::new()
        }
        Err(error) => {
            println!("the reference does not run ({python}: {error}): our times stand alone");
            BTreeMap::new()
        }
    }
}

/// The median of a piece of work.
fn median(mut work: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..REPEATS)
        .map(|_| {
            let begin = Instant::now();
            work();
            begin.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[REPEATS / 2]
}

fn films() -> Duration {
    let substances = film_case::substances();
    let cases = film_case::Case::all();
    let films: Vec<_> =
        cases.iter().map(|case| (case.landed(&substances), case.drier(), case.get("below_um"))).collect();
    let all = median(|| {
        for (landed, drier, below_um) in &films {
            black_box(drier.times(landed, *below_um));
        }
    });
    all / u32::try_from(films.len()).expect("fifty films")
}

fn day() -> Duration {
    median(|| {
        let mut sources = Sources::default();
        for number in 0..200 {
            let start_s = f64::from(number) * 420.0;
            let component = Component::Substance("acetone".to_owned());
            sources.add(&Release { component, mass_g: 3.0, start_s, shape: Shape::Steady { duration_s: 9.0 } }, 1.0);
            let film = Tail { from_s: start_s + 9.0, rate: 0.005, decay_per_s: 1.0 / 300.0 };
            sources.extend(&Sources::from_parts(Vec::new(), vec![film]));
        }
        let line = Timeline::new(Zones::around_bench(22.8, 0.006, 0.8, 6.0), &sources);
        black_box(line.series(0.0, 1.0, 86_400));
    })
}

/// A time with three figures.
fn in_words(seconds: f64) -> String {
    if seconds < 1e-3 { format!("{:.1} us", seconds * 1e6) } else { format!("{:.2} ms", seconds * 1e3) }
}
