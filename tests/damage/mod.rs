//! Every file a person can write, broken in every way a file gets broken: there is a valid answer or a pointed error,
//! never a panic, never more than a second or 200 MB.
//!
//! `COATBELL_DAMAGE=20000 cargo test damage::` for the long run; the seed of a case is its number, so that what fails
//! can be seen again.

mod process;
pub(crate) mod reading;
pub(crate) mod samples;
mod wounds;

use std::collections::BTreeMap;

use reading::{Depth, Watch};
use samples::samples;
use wounds::wound;

use crate::support::{Numbers, say};

/// How many cases: the number of the environment, or the one of a normal run.
fn count(variable: &str, normal: u64) -> u64 {
    std::env::var(variable).ok().and_then(|count| count.parse().ok()).unwrap_or(normal)
}

#[test]
fn the_samples_are_whole() {
    for sample in samples() {
        let read = reading::read(sample.kind, &sample.name, &sample.bytes, Depth::Review);
        assert!(read.is_ok(), "{}: {:#?}", sample.name, read.err().map(|problems| problems[0].list.clone()));
    }
}

/// Found by the long run: a text put in place of another in a sample, worked on to the whole answer.
#[test]
fn what_was_found_before_stays_mended() {
    let samples = samples();
    for (name, old, new) in [
        // Air that hardly changes clears after more ticks than there are numbers.
        ("E_air_03.json", "\"ach\": 4.0", "\"ach\": 1e-308"),
        ("E_air_03.json", "\"k\": 0.323", "\"k\": 1e-300"),
    ] {
        let sample = samples.iter().find(|sample| sample.name == name).expect("a sample");
        let text = String::from_utf8_lossy(&sample.bytes);
        assert!(text.contains(old), "{name} has no {old}");
        let broken = text.replace(old, new);
        let read = reading::read(sample.kind, name, broken.as_bytes(), Depth::Answer);
        let problems = read.expect_err("air that never changes is no room's");
        let codes: Vec<&str> =
            problems.iter().flat_map(|problems| &problems.list).map(|problem| problem.code).collect();
        assert_eq!(codes, ["air-not-positive"], "{name} with {new}");
    }
}

#[test]
fn a_broken_file_is_answered_or_pointed_at() {
    let samples = samples();
    let cases = count("COATBELL_DAMAGE", 1500);
    let long = cases > 5000;
    let mut watch = Watch::new(&samples);
    let mut outcomes: BTreeMap<(&str, &str), u64> = BTreeMap::new();
    let mut faults = Vec::new();
    for case in 0..cases {
        let mut draw = Numbers(case);
        let sample = &samples[draw.below(samples.len())];
        let wounds = if draw.chance(70) { 1 } else { draw.below(4) + 2 };
        let mut bytes = sample.bytes.clone();
        let mut named = Vec::new();
        for _ in 0..wounds {
            named.push(wound(&mut bytes, &samples, &mut draw));
        }
        // A whole plan of everything that is still valid takes too long for a normal run.
        let depth = if long && draw.chance(10) || draw.chance(1) { Depth::Answer } else { Depth::Review };
        let what = format!("case {case}: {} with {named:?}", sample.name);
        let outcome = watch.over(&what, sample, &bytes, depth).unwrap_or_else(|fault| {
            faults.push(format!("{what}: {fault:.4000}"));
            "failed"
        });
        *outcomes.entry((named[0], outcome)).or_default() += 1;
    }
    say(&format!("{cases} broken files; slowest {}; largest {} MB", watch.slowest(), watch.most_megabytes()));
    for ((wound, outcome), count) in &outcomes {
        say(&format!("  {wound:<20} {outcome:<8} {count}"));
    }
    assert!(faults.is_empty(), "{} faults, the first:\n{}", faults.len(), faults[..faults.len().min(20)].join("\n"));
    let of = |wanted: &str| outcomes.iter().filter(|((_, outcome), _)| *outcome == wanted).map(|(_, n)| n).sum::<u64>();
    // Were everything refused, or everything taken, the wounds would not wound or the reading would not read.
    assert!(of("refused") > cases / 3, "only {} of {cases} refused", of("refused"));
    assert!(of("answered") > cases / 20, "only {} of {cases} answered", of("answered"));
    watch.small();
}
