//! A sheet taken out of an evening says what the evening says: its times, and nothing milder.

use std::sync::LazyLock;

use coatbell::batch::Evening;
use coatbell::finding::Level;
use coatbell::report::{Look, evening_html};
use jiff::Timestamp;

use crate::support::{evening_outdoors, now};

/// Three sheets of one page at one bench, and the clock of the last one is not that of the page alone.
static EVENING: LazyLock<Evening> = LazyLock::new(|| evening_outdoors(3));

fn moment(iso: Option<&String>) -> Timestamp {
    iso.expect("a moment is stated").parse().expect("ISO 8601")
}

#[test]
fn a_sheet_has_the_times_of_its_evening() {
    let evening = &*EVENING;
    assert_eq!(evening.pages.iter().filter(|page| page.fits).count(), 3, "{}", evening.answer);
    let own = &evening.plans[0].plan;
    let mut later = 0;
    for page in &evening.pages {
        let plan = evening.plan_of(page, &now()).expect("it is sprayed");
        let handle = moment(page.handle_at.as_ref());
        assert_eq!(moment(plan.handle_at.as_ref()), handle);
        let shift = handle.duration_since(moment(own.handle_at.as_ref()));
        later += usize::from(shift.is_positive());
        assert!(!plan.milestones.is_empty());
        for (moved, alone) in plan.milestones.iter().zip(&own.milestones) {
            assert_eq!(moment(moved.at.as_ref()).duration_since(moment(alone.at.as_ref())), shift, "{}", moved.id);
        }
        let clock = handle.to_zoned_datetime(now().time_zone().clone()).strftime("handle it from %H:%M").to_string();
        assert!(plan.answer.contains(&clock), "{}: {clock}", plan.answer);
        let steps = evening.steps.iter().filter(|step| (step.page, step.copy) == (page.page, page.copy));
        let starts: Vec<&String> = steps.map(|step| &step.starts_at).collect();
        assert_eq!(plan.coats.iter().filter_map(|coat| coat.starts_at.as_ref()).collect::<Vec<_>>(), starts);
        assert!(starts.len() > 1);
    }
    assert!(later >= 2, "a page sprayed among others ends later than by itself");
}

#[test]
fn no_sheet_is_milder_than_the_air_of_its_evening() {
    for (together, live) in [(Level::Go, 3), (Level::Care, 3), (Level::Hold, 0)] {
        let mut evening = EVENING.clone();
        evening.air.as_mut().expect("air").verdict = together;
        for page in &evening.pages {
            let plan = evening.plan_of(page, &now()).expect("it is sprayed");
            let own = evening.plans[page.plan].plan.verdict;
            assert_eq!(plan.verdict, own.max(together));
            assert!(together != Level::Hold || plan.answer.starts_with("Do not seal it this evening"));
        }
        // Nobody counts down to a coat by a sheet on hold.
        let (html, sheets) = evening_html(&evening, "evening", &Look::plain(now()));
        assert_eq!((sheets, html.matches("data-live=").count()), (3, live));
    }
}
