//! Clocks that stand in 1970, in 2100, or at the ends of time.

use super::{bench, end, end_with};
use crate::cli::harness::PAGE;

const COMMANDS: [&[&str]; 7] = [
    &["plan", "page.toml"],
    &["plan", "page.toml", "--json"],
    &["plan", "page.toml", "--format", "ics"],
    &["plan", "page.toml", "--format", "svg"],
    &["layers", "page.toml"],
    &["print", "page.toml", "-o", "page.html"],
    &["plan", "page.toml", "--finish-by", "in 20 h"],
];

#[test]
fn wrong_clocks_still_plan() {
    let bench = bench();
    for now in ["1970-01-01T00:00:00Z", "2038-01-19T03:14:08Z", "2100-02-28T23:59:00Z"] {
        for typed in COMMANDS {
            let what = format!("{typed:?} at {now}");
            let mut command = bench.command();
            let said = end_with(command.env("COATBELL_NOW", now).args(typed), &[0, 1, 4], &what);
            // A plan on hold has no times for a calendar, and says so.
            assert!(said.code != Some(1) || (typed.contains(&"ics") && said.error.contains("no times")), "{what}");
        }
    }
}

#[test]
fn the_ends_of_time_are_said_and_not_stumbled_over() {
    let bench = bench();
    for now in ["-009999-01-02T01:59:59Z", "-009999-01-09T00:00:00Z", "9999-12-30T22:00:00Z", "9999-12-25T00:00:00Z"] {
        for typed in COMMANDS {
            end(bench.command().env("COATBELL_NOW", now).args(typed), &format!("{typed:?} at {now}"));
        }
    }
}

#[test]
fn a_clock_that_has_not_been_set_is_named() {
    let bench = bench();
    bench.write("page.toml", PAGE.replace("5 days ago", "2026-11-20 14:00"));
    let mut command = bench.command();
    let said = end_with(command.env("COATBELL_NOW", "1970-01-01T00:00:00Z").args(["plan", "page.toml"]), &[3], "1970");
    assert!(said.error.contains("set the clock of this machine: it says 1 January 1970"), "{}", said.error);
}
