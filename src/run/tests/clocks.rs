//! Sleep, clocks that are set, days that change, and a long run in no time.

use super::{Bench, Refusal};

#[test]
fn forty_minutes_of_sleep_in_a_wait_of_ten_say_how_late_it_is() {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.watch(30);
    bench.spray().unwrap();
    bench.heard();
    bench.sleep(40 * 60);
    let heard = bench.heard();
    // Ten minutes after the coat it was due: thirty late; of the overdue reminders only the last counts.
    assert!(heard.contains(&("coat_due", 30 * 60)), "{heard:?}");
    assert!(heard.contains(&("return_masked", 34 * 60)), "{heard:?}");
    assert_eq!(heard.iter().filter(|(event, _)| *event == "overdue").count(), 1, "{heard:?}");
    bench.folds();
    bench.watch(5);
    assert_eq!(bench.heard(), [], "nothing rings twice");
}

#[test]
fn a_clock_set_back_or_forward_changes_no_wait() {
    for by_s in [-3_600, 3_600, -90, 600] {
        let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
        bench.watch(30);
        bench.spray().unwrap();
        bench.watch(300);
        bench.set_by_s += by_s;
        bench.watch(1);
        assert!(bench.heard().iter().any(|(event, _)| *event == "clock_set"), "{by_s}");
        bench.watch(298);
        assert!(bench.heard().iter().all(|(event, _)| *event != "coat_due"), "{by_s}: not before its time");
        assert!(matches!(bench.spray(), Err(Refusal::Early { early_s: 1, .. })), "{by_s}");
        bench.watch(1);
        assert_eq!(bench.heard(), [("coat_due", 0)], "{by_s}");
        bench.folds();
        // A second setting adds up with the first.
        bench.set_by_s -= 7_200;
        bench.watch(1);
        bench.spray().unwrap();
        bench.watch(600);
        assert!(bench.heard().contains(&("coat_due", 0)), "{by_s}");
        bench.folds();
    }
}

#[test]
fn daylight_saving_midnight_and_new_year_change_no_wait() {
    let nights = [
        ("2026-03-29T00:50:00Z", "Europe/Paris", "03:00"),
        ("2026-10-25T00:50:00Z", "Europe/Paris", "02:00"),
        ("2026-11-28T23:50:00Z", "UTC", "tomorrow 00:00"),
        ("2026-12-31T23:50:00Z", "UTC", "tomorrow 00:00"),
    ];
    for (began_at, zone, shown) in nights {
        let mut bench = Bench::begun(began_at, zone, None);
        bench.spray().unwrap();
        let done = bench.said.iter().find(|notice| notice.event == "coat_done").expect("said").clone();
        assert!(done.text.contains(&format!("coat 2 at {shown}, in 10 min")), "{zone}: {}", done.text);
        bench.heard();
        bench.watch(599);
        assert!(bench.heard().iter().all(|(event, _)| *event != "coat_due"), "{began_at}");
        bench.watch(1);
        assert_eq!(bench.heard(), [("coat_due", 0)], "{began_at}");
    }
}

#[test]
fn a_run_of_six_hours_takes_no_time_and_rings_for_everything_once() {
    let began = std::time::Instant::now();
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    let mut heard = bench.heard();
    for _ in 0..3 {
        bench.skip(2 * 3600 - 600);
        bench.spray().unwrap();
        bench.skip(600);
        heard.extend(bench.heard());
    }
    bench.skip(3600);
    heard.extend(bench.heard());
    let count = |event: &str| heard.iter().filter(|(name, _)| *name == event).count();
    assert_eq!((count("coat_due"), count("coat_done"), count("leave_room")), (3, 3, 3), "{heard:?}");
    assert_eq!((count("return_masked"), count("clear_unmasked"), count("clear_others")), (3, 1, 1));
    assert_eq!((count("handle_dry"), count("finished"), count("milestone")), (1, 1, 1));
    // Two hours overdue, thrice: 2, 6, 14, 30, 62 min.
    assert_eq!(count("overdue"), 15, "{heard:?}");
    assert!(bench.state().finished);
    assert!(began.elapsed().as_secs_f64() < 1.0, "{:?}", began.elapsed());
    bench.folds();
}

#[test]
fn a_clock_set_back_while_nobody_looked_loses_the_time_between_but_no_coat() {
    use super::super::{Conductor, State};
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.watch(30);
    bench.spray().unwrap();
    bench.watch(120);
    let now = bench.now - jiff::SignedDuration::from_hours(3);
    let state = State::fold(&bench.journal, &super::pace()).unwrap();
    let mut again = Conductor::new(state, jiff::tz::TimeZone::UTC, crate::quantity::Units::Metric);
    again.begin(now, true);
    assert_eq!(again.state().pages[0].done.len(), 1);
    let due = again.state().next_coat().unwrap().1;
    // Never sooner than ten minutes after the coat, and not three hours later either.
    let ahead_s = due.as_second() - now.as_second();
    assert!((480..=600).contains(&ahead_s), "{ahead_s}");
}
