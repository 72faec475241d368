//! Early, late, taken back, gone wrong: what becomes of the rest.

use super::super::Mishap;
use super::{Bench, Command, Refusal};

fn due_in_s(bench: &Bench) -> i64 {
    bench.state().next_coat().expect("a coat").1.as_second() - bench.now.as_second()
}

#[test]
fn an_early_coat_is_refused_and_if_insisted_on_waited_for_after() {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.spray().unwrap();
    bench.watch(240);
    let refused = bench.spray().unwrap_err();
    assert!(matches!(refused, Refusal::Early { coat: 2, early_s: 360, .. }), "{refused:?}");
    assert_eq!(bench.state().pages[0].done.len(), 1);
    bench.heard();
    bench.command(Command::Sprayed { page: 0, insist: true }).unwrap();
    assert_eq!(bench.state().pages[0].done[1].early_s, 360);
    assert_eq!(due_in_s(&bench), 960, "the ten minutes and the six that were missing");
    // The air had less time between the coats, too: six minutes and the six that were missing.
    bench.watch(719);
    assert!(bench.heard().iter().all(|(event, _)| *event != "return_masked"));
    bench.watch(1);
    assert_eq!(bench.heard(), [("return_masked", 0)]);
    bench.folds();
}

#[test]
fn a_late_coat_moves_the_rest_and_says_so() {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.watch(30);
    bench.spray().unwrap();
    bench.watch(20 * 60 + 30);
    bench.heard();
    bench.spray().unwrap();
    let done = &bench.said[0];
    assert_eq!((done.event, done.late_s), ("coat_done", 600));
    let replanned = bench.said.iter().find(|notice| notice.event == "replanned").expect("said");
    assert_eq!(replanned.text, "coat 3 at 14:31 (was 14:21); handle from 15:31 (was 15:21).");
    bench.folds();
}

#[test]
fn a_coat_taken_back_is_due_again_and_what_follows_it_rings_anew() {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.watch(30);
    bench.spray().unwrap();
    bench.watch(400);
    bench.heard();
    bench.command(Command::Undo).unwrap();
    assert_eq!(bench.state().pages[0].done.len(), 0);
    assert_eq!(bench.state().cans["acrylic-gloss"].used_g, 0.0);
    assert!(bench.heard().contains(&("undone", 0)));
    bench.spray().unwrap();
    bench.watch(360);
    let heard = bench.heard();
    assert!(heard.contains(&("leave_room", 0)) && heard.contains(&("return_masked", 0)), "{heard:?}");
    bench.watch(240);
    bench.heard();
    // A coat taken back later does not ring what the coat before it had rung.
    bench.spray().unwrap();
    bench.heard();
    bench.command(Command::Undo).unwrap();
    bench.watch(2);
    assert_eq!(bench.heard(), [("undone", 0)]);
    assert_eq!(bench.command(Command::Undo), Ok(()));
    assert_eq!(bench.command(Command::Undo), Err(Refusal::NothingToUndo));
    bench.folds();
}

#[test]
fn a_pool_doubles_the_wait_and_makes_the_rest_mists() {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.spray().unwrap();
    bench.watch(60);
    bench.heard();
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Pooled }).unwrap();
    assert_eq!(due_in_s(&bench), 1_140);
    assert!(bench.state().pages[0].coats.iter().all(|coat| coat.mist && coat.distance_cm == 35.0));
    let replanned = bench.said.iter().find(|notice| notice.event == "replanned").expect("said");
    assert!(replanned.text.contains("coat 2 becomes a mist coat"), "{}", replanned.text);
    assert!(replanned.text.contains("coat 2 at 14:20 (was 14:10)"), "{}", replanned.text);
    // A mishap that was due already: it is due again, and rings again.
    bench.watch(1_140);
    assert!(bench.heard().contains(&("coat_due", 0)));
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Blushed }).unwrap();
    assert_eq!(due_in_s(&bench), 1_200);
    bench.watch(1_200);
    assert!(bench.heard().contains(&("coat_due", 0)));
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Dust }).unwrap();
    bench.spray().unwrap();
    bench.folds();
}

#[test]
fn what_goes_wrong_before_its_coat_is_noted_is_waited_for_after_it() {
    // The very first coat pools, and the key for that is pressed before the one that notes the coat.
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.watch(30);
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Pooled }).unwrap();
    bench.watch(20);
    bench.spray().unwrap();
    assert_eq!(due_in_s(&bench), 1_180, "ten minutes, and the ten that it takes longer but for the seconds since");
    // So does a coat that came late, whose longer wait would be over already.
    bench.watch(3_000);
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Dripped }).unwrap();
    bench.spray().unwrap();
    assert_eq!(due_in_s(&bench), 1_200);
    // What was waited for before the coat is not waited for again.
    bench.watch(1_200);
    bench.command(Command::Mishap { page: 0, mishap: Mishap::Blushed }).unwrap();
    bench.watch(1_800);
    bench.spray().unwrap();
    assert_eq!(bench.state().pages[0].extra_s, 0);
    bench.folds();
}

#[test]
fn a_window_that_closes_is_warned_of_and_then_waited_out_or_the_page_ends() {
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", Some((60.0, Some(1_440.0))));
    bench.spray().unwrap();
    bench.watch(3_599);
    let heard = bench.heard();
    let at = |event: &str| heard.iter().position(|(name, _)| *name == event);
    assert!(at("coat_due") < at("window_closing"), "{heard:?}");
    bench.watch(1);
    let missed = bench.said.iter().find(|notice| notice.event == "replanned").expect("said").clone();
    assert!(missed.head.contains("the recoat window of coat 2 closed"), "{}", missed.head);
    assert_eq!(due_in_s(&bench), (1_440 - 60) * 60);
    assert!(matches!(bench.spray(), Err(Refusal::Early { .. })));
    bench.heard();
    bench.sleep((1_440 - 60) * 60);
    assert!(bench.heard().contains(&("coat_due", 0)));
    bench.folds();

    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", Some((60.0, None)));
    bench.spray().unwrap();
    bench.sleep(3_700);
    assert_eq!(bench.spray(), Err(Refusal::NothingLeft));
    assert!(bench.state().pages[0].ended);
    let falls = bench.said.iter().any(|notice| notice.text.contains("coat 3 falls away"));
    assert!(falls, "{:?}", bench.said);
    bench.watch(3_600);
    assert!(bench.state().finished, "what is on dries and is aired all the same");
    bench.folds();
}

#[test]
fn at_a_shared_bench_coats_wait_for_their_turn_and_the_air_of_all() {
    let page = super::spec("2026-11-28T14:00:00Z", None).pages.remove(0);
    let starts = ["2026-11-28T14:05:00Z", "2026-11-28T14:40:00Z", "2026-11-28T14:55:00Z"].map(|at| at.parse().unwrap());
    let shared = page.clone().at_shared_bench(&starts, Some(25));
    assert_eq!(shared.first_at, starts[0]);
    assert_eq!(shared.coats[1].not_before, Some(starts[1]));
    assert!(shared.coats.iter().all(|coat| coat.return_masked_min == Some(25)), "the longer of both");
    assert!(page.at_shared_bench(&starts, None).coats.iter().all(|coat| coat.return_masked_min.is_none()));
}

#[test]
fn two_pages_go_their_own_ways_in_one_room() {
    use super::super::{Conductor, Entry, State, What};
    let mut spec = super::spec("2026-11-28T14:00:00Z", None);
    let mut second = spec.pages[0].clone();
    second.title = "Otter".to_owned();
    second.first_at = "2026-11-28T14:01:00Z".parse().unwrap();
    // The bench is taken when its second coat is dry: it waits for its turn.
    second.coats[1].not_before = Some("2026-11-28T14:12:00Z".parse().unwrap());
    spec.pages.push(second);
    let now = spec.began_at;
    let mut bench = Bench::begun("2026-11-28T14:00:00Z", "UTC", None);
    bench.journal = vec![Entry::new(now, What::Started { spec: Box::new(spec) })];
    let state = State::fold(&bench.journal, &super::pace()).unwrap();
    bench.conductor = Conductor::new(state, jiff::tz::TimeZone::UTC, crate::quantity::Units::Metric);
    bench.said.clear();
    bench.command(Command::Checked).unwrap();
    bench.watch(30);
    bench.spray().unwrap();
    // The other page is due within two minutes: nobody is sent out in between.
    assert!(bench.said.iter().all(|notice| notice.event != "leave_room"), "{:?}", bench.said);
    assert_eq!(bench.state().next_coat().map(|(page, _)| page), Some(1));
    bench.watch(60);
    bench.command(Command::Sprayed { page: 1, insist: false }).unwrap();
    assert!(bench.said.iter().any(|notice| notice.event == "leave_room"));
    assert_eq!(bench.state().next_coat().map(|(page, _)| page), Some(0));
    for turn_s in [120, 60] {
        bench.watch(570);
        for (page, wait_s) in [(0, 60), (1, turn_s)] {
            bench.watch(wait_s);
            bench.command(Command::Sprayed { page, insist: false }).unwrap();
        }
    }
    bench.watch(3_700);
    assert!(bench.state().finished, "{:?}", bench.state());
    bench.folds();
}
