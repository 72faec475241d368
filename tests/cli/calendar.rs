//! The calendar of a plan: read back by a strict reader always, and by an independent library where there is one.

use std::collections::BTreeSet;
use std::io::Write;
use std::process::{Command, Stdio};

use coatbell::plan::Plan;
use coatbell::report::{Look, plan_ics};

use super::calendar_reader::{Component, duration_minutes, read};
use super::sample_plans::{all, dusting, go, hold_bare, hold_with_coats, hostile, long_title, look};
use crate::support::skip;

fn calendar(plan: &Plan) -> Component {
    read(&plan_ics(plan, &look()).expect("a plan with times"))
}

fn identities(calendar: &Component) -> BTreeSet<String> {
    calendar.parts.iter().map(|event| event.one("UID").to_owned()).collect()
}

#[test]
fn whole_calendar_of_a_plan() {
    insta::assert_snapshot!(plan_ics(&go(), &look()).expect("a plan with times").replace("\r\n", "\n"));
}

#[test]
fn every_coat_and_every_milestone_rings_at_its_time() {
    let plan = go();
    let calendar = calendar(&plan);
    let expected: Vec<&String> = plan
        .coats
        .iter()
        .map(|coat| coat.starts_at.as_ref().expect("a start"))
        .chain(&plan.handle_at)
        .chain(plan.milestones.iter().map(|milestone| milestone.at.as_ref().expect("a time")))
        .collect();
    assert_eq!(calendar.parts.len(), expected.len());
    for (event, at) in calendar.parts.iter().zip(expected) {
        assert_eq!(event.moment("DTSTART"), at.parse().expect("a moment"), "{}", event.one("SUMMARY"));
        let [alarm] = &event.parts[..] else { panic!("one alarm for {}", event.one("SUMMARY")) };
        let before = -duration_minutes(alarm.one("TRIGGER"));
        // A coat is never called early, but for the first, which needs the mask on and the can shaken.
        let first = event.one("UID").contains("-coat-1@");
        assert_eq!(before, if first { 15 } else { 0 });
    }
}

#[test]
fn every_sample_is_a_calendar_or_says_why_not() {
    for (name, plan) in all() {
        match plan_ics(&plan, &look()) {
            Ok(text) => {
                let calendar = read(&text);
                assert_eq!(identities(&calendar).len(), calendar.parts.len(), "{name}: identities repeat");
                for event in &calendar.parts {
                    let description = event.text("DESCRIPTION");
                    assert!(description.contains("data sheet"), "{name}: no caution in {description}");
                }
            }
            Err(problem) => {
                assert_eq!(problem.code, "no-times", "{name}");
                assert!(problem.hint.is_some(), "{name}");
            }
        }
    }
}

#[test]
fn a_later_export_moves_the_same_events() {
    let before = calendar(&go());
    let mut plan = go();
    for coat in &mut plan.coats {
        let moved = coat.starts_at.as_ref().expect("a start").replace("T18:", "T19:");
        coat.starts_at = Some(moved);
    }
    let later = Look { now: "2026-11-28T18:20[Europe/Paris]".parse().expect("a moment"), ..look() };
    let after = read(&plan_ics(&plan, &later).expect("a plan with times"));
    assert_eq!(identities(&before), identities(&after));
    let number = |event: &Component| event.one("SEQUENCE").parse::<i64>().expect("a number");
    assert!(number(&after.parts[0]) > number(&before.parts[0]));
}

#[test]
fn other_pages_other_days_and_other_sealers_keep_apart() {
    let base = identities(&calendar(&go()));
    let changed = |change: fn(&mut Plan)| {
        let mut plan = go();
        change(&mut plan);
        identities(&calendar(&plan))
    };
    let others = [
        changed(|plan| plan.page.title.push('!')),
        changed(|plan| plan.sealer.id = "acrylic-matte".into()),
        changed(|plan| plan.page.width_cm = 20.0),
        changed(|plan| plan.layers.truncate(2)),
        changed(|plan| {
            for coat in &mut plan.coats {
                coat.starts_at = coat.starts_at.as_ref().map(|at| at.replace("-28T", "-29T"));
            }
        }),
    ];
    for other in others {
        assert!(other.is_disjoint(&base));
    }
}

#[test]
fn a_plan_on_hold_says_so_in_every_event() {
    for event in calendar(&hold_with_coats()).parts {
        assert!(event.text("SUMMARY").starts_with("ON HOLD: "));
        assert_eq!(event.one("STATUS"), "TENTATIVE");
        assert!(event.text("DESCRIPTION").contains("Do not spray before this is put right:\n- The watercolour has"));
    }
}

#[test]
fn the_window_of_the_can_is_named_at_the_coat_it_closes_for() {
    let calendar = calendar(&hold_with_coats());
    let second = calendar.parts.iter().find(|event| event.one("UID").contains("-coat-2@")).expect("a second coat");
    assert!(second.text("DESCRIPTION").contains("No later than Mon 11:30"), "{}", second.text("DESCRIPTION"));
}

#[test]
fn cautions_stand_in_full_at_the_first_coat() {
    let plan = go();
    let calendar = calendar(&plan);
    let first = calendar.parts[0].text("DESCRIPTION");
    for caution in &plan.cautions {
        assert!(first.contains(caution.as_str()), "{caution}");
    }
}

#[test]
fn no_times_says_why() {
    let problem = plan_ics(&hold_bare(), &look()).expect_err("no coat has a time");
    assert_eq!(
        problem.message,
        "this plan has no times to ring at: white gouache will not hold on wax pencil: it beads and flakes"
    );
    assert_eq!(
        problem.hint.as_deref(),
        Some("Lay the gouache before the wax pencil, or use a white acrylic pen instead, then export again")
    );
}

#[test]
fn hostile_titles_stay_text() {
    let calendar = calendar(&hostile());
    for event in &calendar.parts {
        let summary = event.text("SUMMARY");
        assert!(summary.contains("\\u{1b}[31mred"), "{summary}");
    }
}

/// Reads the calendars with a Python library that knows nothing of this project.
#[test]
fn an_independent_library_reads_the_same() {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/live/read_calendar.py");
    for plan in [go(), dusting(), hold_with_coats(), long_title(), hostile()] {
        let text = plan_ics(&plan, &look()).expect("a plan with times");
        let Ok(mut child) = Command::new("python3")
            .arg(script)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
        else {
            return skip("python3 is missing");
        };
        // A closed pipe shows in the exit code below.
        let _ = child.stdin.take().expect("a pipe").write_all(text.as_bytes());
        let output = child.wait_with_output().expect("it ends");
        if output.status.code() == Some(77) {
            return skip("the Python library `icalendar` is missing");
        }
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let read_there: Vec<serde_json::Value> = serde_json::from_slice(&output.stdout).expect("JSON");
        let read_here = read(&text);
        assert_eq!(read_there.len(), read_here.parts.len());
        for (there, here) in read_there.iter().zip(&read_here.parts) {
            assert_eq!(there["uid"], here.one("UID"));
            assert_eq!(there["summary"], here.text("SUMMARY").as_str());
            assert_eq!(there["description"], here.text("DESCRIPTION").as_str());
            assert_eq!(there["start"], here.moment("DTSTART").as_second());
            assert_eq!(there["alarm_min"], duration_minutes(here.parts[0].one("TRIGGER")));
        }
    }
}
