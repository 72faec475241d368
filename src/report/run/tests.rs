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

const PANES: [RunPane; 8] = [
    RunPane::Cautions,
    RunPane::Checklist(0),
    RunPane::Again(0),
    RunPane::Again(1),
    RunPane::Coats,
    RunPane::Mishaps,
    RunPane::Rescue(Mishap::Bled),
    RunPane::Rescue(Mishap::Empty),
];
const MESSAGE: &str = "Too early: coat 2 is due at 14:10. Sprayed already? Press y and it is noted";
const TROUBLE: &str = "The journal cannot be written: write down when each coat was sprayed";

/// Every part of a screen, in order.
fn parts(state: &State, notices: &[Notice], pane: RunPane, minutes: i64, look: &Look, rows: usize) -> Vec<Vec<String>> {
    let now = state.started_at + jiff::SignedDuration::from_mins(minutes);
    let now = now.to_zoned_datetime(jiff::tz::TimeZone::UTC);
    let troubles = [TROUBLE.to_owned()];
    let draw = |part| {
        let view = RunView {
            state,
            now: &now,
            pane,
            part,
            page: 0,
            notices,
            troubles: &troubles,
            message: Some(MESSAGE),
            left_g: Some(212.0),
            beat: true,
        };
        run_screen(&view, look, rows)
    };
    let all = draw(0).parts;
    let drawn = (0..all).map(|part| {
        let screen = draw(part);
        assert_eq!((screen.part, screen.parts), (part, all));
        screen.lines
    });
    drawn.collect()
}

fn words(lines: &[String]) -> String {
    lines.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_screen_fits_and_names_its_keys_last() {
    let (state, notice) = run();
    let notices = [notice];
    for minutes in [0, 9, 10, 11, 14, 55, 130] {
        for (columns, rows) in [(80, 24), (40, 24), (40, 14), (40, 12), (132, 50), (30, 10), (24, 8), (24, 4)] {
            for unicode in [true, false] {
                for pane in PANES {
                    let look = Look {
                        width: columns,
                        unicode,
                        ..Look::plain(state.started_at.to_zoned_datetime(jiff::tz::TimeZone::UTC))
                    };
                    let parts = parts(&state, &notices, pane, minutes, &look, rows);
                    for (part, lines) in parts.iter().enumerate() {
                        assert_eq!(lines.len(), rows, "{columns} x {rows} {pane:?}");
                        for line in lines {
                            assert!(display_width(line) < columns, "{columns} x {rows} {pane:?}: {line:?}");
                            assert!(unicode || line.is_ascii(), "{line:?}");
                        }
                        let text = words(lines);
                        if rows >= 8 {
                            let leave = ["esc", "q: leave", "q: end", "back"].iter().any(|key| text.contains(key));
                            assert!(leave || text.ends_with(" q"), "{columns} x {rows}: {text}");
                            let more = format!("read on, {} of {}", part + 1, parts.len());
                            let last = part + 1 == parts.len() && (pane != RunPane::Coats || parts.len() == 1);
                            assert_eq!(text.contains(&more), !last, "{columns} x {rows} {pane:?}: {text}");
                        }
                    }
                    let first = words(&parts[0]);
                    if pane == RunPane::Coats && rows >= 24 {
                        let shown = if minutes < 10 { "coat 2 of 3 (build)" } else { "14:10" };
                        assert!(first.contains(shown) || first.contains("Spray coat 2"), "{minutes}: {first}");
                    }
                    assert_eq!(parts.len() > 1, rows < parts.concat().len(), "{pane:?}");
                }
            }
        }
    }
}

#[test]
fn no_warning_is_cut_away_in_any_window() {
    let (state, notice) = run();
    let notices = [Notice { head: "An older thing".to_owned(), ..notice.clone() }, notice.clone()];
    for columns in [24, 30, 40, 80] {
        for rows in [3, 6, 10, 14, 24] {
            for minutes in [9, 55, 130] {
                for pane in PANES {
                    let look = Look {
                        width: columns,
                        ..Look::plain(state.started_at.to_zoned_datetime(jiff::tz::TimeZone::UTC))
                    };
                    let parts = parts(&state, &notices, pane, minutes, &look, rows);
                    // The keys stand between two parts: they are taken out before the parts are put together.
                    let body = parts.iter().flat_map(|lines| {
                        let keys = lines.iter().position(|line| {
                            line.starts_with("space")
                                || line.starts_with("m: ")
                                || line.starts_with("SPACE")
                                || line.starts_with("1 to")
                        });
                        lines[..keys.unwrap_or(lines.len())].to_vec()
                    });
                    let text = words(&body.collect::<Vec<_>>());
                    let place = format!("{columns} x {rows}, {minutes} min, {pane:?}: {text}");
                    let mut wanted = vec![TROUBLE.to_owned(), MESSAGE.to_owned()];
                    match pane {
                        RunPane::Cautions => {
                            wanted.extend(caution::IN_FULL.map(str::to_owned));
                            wanted.push("Go".to_owned());
                        }
                        RunPane::Checklist(_) => wanted.push("Mask".to_owned()),
                        RunPane::Again(0) => wanted.push("it seals on your face".to_owned()),
                        RunPane::Again(_) => wanted.push("sparking switch within 6 m (20 ft)".to_owned()),
                        RunPane::Mishaps => wanted.push("The can is empty, or has no pressure left".to_owned()),
                        RunPane::Rescue(mishap) => {
                            let rescue = mishap.rescue();
                            wanted.push(rescue.never.to_owned());
                            wanted.push(rescue.rest_text.to_owned());
                        }
                        RunPane::Coats => {
                            wanted.extend([
                                notice.head.clone(),
                                caution::IN_ONE_LINE.to_owned(),
                                "An older thing".to_owned(),
                            ]);
                            if minutes > 6 && minutes < 60 {
                                wanted.push("In the room only with the mask on".to_owned());
                                wanted.push("The recoat window closes at 15:00".to_owned());
                                wanted.push("start and stop 8 cm (3 in) off the page".to_owned());
                            }
                        }
                    }
                    // Lines are broken between words, and a word that is too long within.
                    let bare = |text: &str| text.split_whitespace().collect::<String>().replace(['-', '•'], "");
                    for wanted in wanted {
                        assert!(bare(&text).contains(&bare(&wanted)), "{wanted}\nin {place}");
                    }
                }
            }
        }
    }
}

#[test]
fn a_coat_that_is_due_and_a_room_to_stay_out_of_are_one_command() {
    let mut spec = spec("2026-11-28T14:00:00Z", None);
    spec.pages[0].coats[0].return_masked_min = Some(15);
    let at = spec.began_at;
    let entries = [
        Entry::new(at, What::Started { spec: Box::new(spec) }),
        Entry::new(at, What::Checked { by: "keys".to_owned() }),
        Entry::new(at, What::CoatDone { page: 1, coat: 1, early_s: 0, late_s: 0 }),
    ];
    let state = State::fold(&entries, &pace()).expect("a start");
    let look = Look::plain(at.to_zoned_datetime(jiff::tz::TimeZone::UTC));
    let said = |minutes| words(&parts(&state, &[], RunPane::Coats, minutes, &look, 24).concat());
    let waiting = said(5);
    assert!(waiting.contains("Out of the room until 14:15; then only with the mask"), "{waiting}");
    let due = said(11);
    assert!(due.contains("In the room for this coat only, with the mask on; else out of it until 14:15"), "{due}");
    assert!(!due.contains("Out of the room until"), "{due}");
}
