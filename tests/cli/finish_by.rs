//! Which finish is possible by a given time.

use coatbell::plan::{CoatKind, Plan, finish_by};
use coatbell::report::{Look, finish_by_text};
use jiff::ZonedDateTime;

use super::sample_plans::{all, go, hold_bare, look};

fn said(plan: &Plan, by: &str) -> String {
    let by: ZonedDateTime = format!("2026-11-28T{by}[Europe/Paris]").parse().expect("a moment");
    let wide = Look { width: 400, ..look() };
    finish_by_text(std::slice::from_ref(plan), &by, &wide).trim_end().to_owned()
}

// The sample: coats at 18:05, 18:20 and 18:35, handling at 19:20, 45 min after the last.
#[test]
fn every_step_has_its_answer() {
    let plan = go();
    assert_eq!(said(&plan, "20:00"), "By 20:00: the whole plan fits, satin, and the page can be handled from 19:20.");
    assert_eq!(said(&plan, "19:20"), "By 19:20: the whole plan fits, satin, and the page can be handled from 19:20.");
    assert_eq!(
        said(&plan, "19:19"),
        "By 19:19: 2 of 3 coats fit, a thinner seal with less of the finish than planned (satin), to be handled from \
         19:05; all 3 coats need until 19:20."
    );
    assert_eq!(
        said(&plan, "19:00"),
        "By 19:00: only the mist fits. It holds the surface but does not seal it: begin another time; all 3 coats need \
         until 19:20."
    );
    assert_eq!(
        said(&plan, "18:30"),
        "By 18:30: not even one coat is dry enough to handle, so begin another time; all 3 coats need until 19:20."
    );
}

/// The wait before handling is taken from the plan's own handling time, not only from the table.
#[test]
fn a_shorter_run_settles_as_long_as_the_whole_plan() {
    let mut plan = go();
    plan.handle_at = Some("2026-11-28T20:35:00+01:00".into());
    let found = finish_by(&plan, "2026-11-28T20:30:00+01:00".parse().expect("a moment"));
    assert_eq!((found.coats, found.builds), (2, 1));
    assert_eq!(found.handle_at, Some("2026-11-28T20:20:00+01:00".parse().expect("a moment")));
}

#[test]
fn no_times_fit_nothing() {
    let mut plan = hold_bare();
    plan.verdict = coatbell::finding::Level::Care;
    assert_eq!(
        said(&plan, "23:00"),
        "By 23:00: not even one coat is dry enough to handle, so begin another time; the whole plan has no times yet."
    );
}

/// Whoever reads only the first line of an answer on hold must not take it for leave to spray.
#[test]
fn an_answer_on_hold_fits_nothing_into_any_time() {
    let mut plan = go();
    plan.verdict = coatbell::finding::Level::Hold;
    for plan in [plan, hold_bare()] {
        let expected = "By 23:00: nothing, for the answer is hold; see what holds it before any coat.";
        assert_eq!(said(&plan, "23:00"), expected);
    }
}

#[test]
fn a_later_time_never_fits_less() {
    for (name, plan) in all() {
        let mut before = 0;
        for hours in 0..240 {
            let by = look().now.timestamp() + jiff::SignedDuration::from_hours(hours);
            let found = finish_by(&plan, by);
            assert!(found.coats >= before, "{name} after {hours} h");
            let builds = plan.coats.iter().take(found.coats).filter(|coat| coat.kind == CoatKind::Build).count();
            assert_eq!(found.builds, builds, "{name} after {hours} h");
            before = found.coats;
        }
    }
}
