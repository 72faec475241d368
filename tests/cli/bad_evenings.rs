//! Evenings that cannot be: every command that takes one names the place, the page and the cure.

use super::harness::{Bench, PAGE};

const SHEET: &str = "rack = 3\n[[page]]\nfile = \"page.toml\"\nsealer = \"acrylic-satin\"\n";
const COMMANDS: [&[&str]; 4] = [
    &["batch", "evening.toml"],
    &["print", "evening.toml", "-o", "evening.html"],
    &["seal", "evening.toml", "--yes", "--masked", "--no-flames"],
    &["plan", "evening.toml", "--format", "ics"],
];

/// Runs every command on the evening, and hands back what each says with its exit code.
fn said(evening: &str, room: &str) -> Vec<(Option<i32>, String)> {
    let bench = Bench::with("page.toml", PAGE);
    bench.write("evening.toml", evening);
    bench.write(
        "closet.toml",
        "size = \"1.2 m x 1 m x 2.2 m\"\ntemperature = \"21 C\"\nhumidity = \"48 %\"\nairflow = \"closed\"\n",
    );
    bench.write(
        "tight.toml",
        "name = \"Tight\"\nextends = \"acrylic-satin\"\n[label]\nrecoat_window = \"within 3 min\"\n",
    );
    let run = |words: &&[&str]| {
        let output = bench.command().args(*words).args(["--room", room]).output().expect("it runs");
        let text = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
        (output.status.code(), text.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    COMMANDS.iter().map(run).collect()
}

#[test]
fn what_an_evening_cannot_say_is_said_with_its_place_and_cure() {
    let cases: [(String, &[&str]); 5] = [
        (SHEET.replace("rack = 3", "rack = 0"), &["evening.toml:1:8", "from 1 to 10000"]),
        (format!("start = \"20:00\"\nstop_by = \"19:00\"\n{SHEET}"), &["evening.toml:2:11", "write a later time"]),
        (
            format!("{SHEET}[[page]]\nfile = \"nope.toml\"\n"),
            &["evening.toml:6:8", "nope.toml", "there is no such file"],
        ),
        (format!("{SHEET}copies = 100000\n"), &["evening.toml:5:10", "page.toml", "from 1 to 5000"]),
        (
            format!(
                "start = \"20:00\"\nstop_by = \"19:00\"\n{}copies = 100000\n",
                SHEET.replace("rack = 3", "rack = 0")
            ),
            &["evening.toml:3:8", "evening.toml:2:11", "evening.toml:7:10"],
        ),
    ];
    for (evening, wanted) in cases {
        for (code, said) in said(&evening, "cross-draught") {
            assert_eq!(code, Some(3), "{said}");
            for wanted in wanted {
                assert!(said.contains(wanted), "{wanted}: {said}");
            }
        }
    }
}

#[test]
fn a_page_that_can_never_be_sprayed_is_named_with_its_reason_and_cure() {
    // Its coats alone are more than the room bears; its window closes before the coat below is dry.
    let tight = SHEET.replace("acrylic-satin", "tight.toml");
    for (evening, room, wanted) in [
        (SHEET, "closet.toml", ["Heron does not fit", "Only air helps here"]),
        (&*tight, "cross-draught", ["Heron does not fit", "recoat window closes"]),
    ] {
        let said = said(evening, room);
        for (at, (code, said)) in said.iter().enumerate() {
            // A calendar of nothing is no calendar.
            assert!(*code == Some(4) || at == 3 && *code == Some(1), "{at} {code:?} {said}");
            if at == 0 || at == 2 {
                for wanted in wanted {
                    assert!(said.contains(wanted), "{at} {wanted}: {said}");
                }
            }
        }
    }
}

#[test]
fn plan_writes_the_calendar_of_an_evening() {
    let evening = format!("start = \"20:00\"\n{SHEET}copies = 2\n");
    let said = said(&evening, "cross-draught");
    let (code, calendar) = &said[3];
    assert_eq!(*code, Some(0), "{calendar}");
    assert!(calendar.starts_with("BEGIN:VCALENDAR") && calendar.contains("Heron"), "{calendar}");
}
