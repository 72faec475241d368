//! Every screen of a run fits, whatever the terminal.

use super::{RunPane, RunView, run_screen};
use crate::caution;
use crate::report::look::Look;
use crate::report::wrap::display_width;
use crate::run::tests::{pace, spec};
use crate::run::{Conductor, Effect, Entry, Mishap, Notice, State, What};

fn run() -> (State, Notice) {
    let spec = spec("2026-11-28T14:00:00Z", Some((60.0, Some(1_440.0))));
    let at = spec.began_at;
    let done = What::CoatDone { page: 1, coat: 1, early_s: 0, late_s: 0 };
    let entries = [
        Entry::new(at, What::Started { spec: Box::new(spec) }),
        Entry::new(at, What::Checked { by: "keys".to_owned() }),
        Entry::new(at, done),
    ];
    let state = State::fold(&entries, &pace()).expect("a start");
    let mut conductor = Conductor::new(state.clone(), jiff::tz::TimeZone::UTC, crate::quantity::Units::Metric);
    let said = conductor.begin(at, true).into_iter().find_map(|effect| match effect {
        Effect::Say(notice) => Some(notice),
        Effect::Write(_) => None,
    });
    (state, said.expect("something is said"))
}

#[test]
fn every_screen_fits_and_names_its_keys_last() {
    let (state, notice) = run();
    let panes = [
        RunPane::Cautions,
        RunPane::Checklist(0),
        RunPane::Again(1),
        RunPane::Coats,
        RunPane::Mishaps,
        RunPane::Rescue(Mishap::Bled),
        RunPane::Rescue(Mishap::Empty),
    ];
    for minutes in [0, 9, 10, 11, 14, 55, 130] {
        let now = state.started_at + jiff::SignedDuration::from_mins(minutes);
        let now = now.to_zoned_datetime(jiff::tz::TimeZone::UTC);
        for (columns, rows) in [(80, 24), (40, 24), (40, 12), (132, 50), (24, 8)] {
            for unicode in [true, false] {
                for pane in panes {
                    let look = Look { width: columns, unicode, ..Look::plain(now.clone()) };
                    let view = RunView {
                        state: &state,
                        now: &now,
                        pane,
                        page: 0,
                        notice: Some(&notice),
                        message: Some("Too early: coat 2 is due at 14:10. Sprayed already? Press y and it is noted"),
                        left_g: Some(212.0),
                        beat: true,
                    };
                    let lines = run_screen(&view, &look, rows);
                    assert_eq!(lines.len(), rows, "{columns} x {rows} {pane:?}");
                    for line in &lines {
                        assert!(display_width(line) < columns, "{columns} x {rows} {pane:?}: {line:?}");
                        assert!(unicode || line.is_ascii(), "{line:?}");
                    }
                    let text = lines.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
                    if (columns, rows) != (24, 8) {
                        assert!(text.contains("esc") || text.contains("q: leave") || text.contains("back"), "{text}");
                    }
                    if pane == RunPane::Coats && rows >= 24 {
                        let shown = if minutes < 10 { "coat 2 of 3 (build)" } else { "14:10" };
                        assert!(text.contains(shown) || text.contains("Spray coat 2"), "{minutes}: {text}");
                    }
                    if pane == RunPane::Cautions && rows >= 24 && unicode {
                        for caution in caution::IN_FULL {
                            assert!(text.contains(caution), "{columns} x {rows}: {caution}: {text}");
                        }
                    }
                }
            }
        }
    }
}
