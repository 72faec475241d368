//! What an evening of many pages is warned of.

use coatbell::air::RespiratorKind;
use coatbell::batch::{Answer, Coat, Control, Effort, Page, Presence, Problem, RoomAir, bench_document, solve};
use coatbell::finding::{Finding, Level};
use jiff::ToSpan;

use super::{Warning, seen_and_missed};
use crate::support::{CATALOG, evening_with, now};

const GARDEN: &str = "airflow = \"outdoors\"\nwind = \"2 m/s\"\ntemperature = \"22 C\"\nhumidity = \"45 %\"\n";
const ROOM: &str = "volume = \"25 m3\"\nairflow = \"window-open\"\ntemperature = \"22 C\"\nhumidity = \"45 %\"\n";

/// Four sheets of one page.
fn four(keys: &str) -> Vec<Finding> {
    evening_with(keys, &CATALOG.sealers["acrylic-satin"], |request| request.entries[0].copies = 4).findings
}

fn with_left(left_g: f64) -> Vec<Finding> {
    let mut sealer = CATALOG.sealers["acrylic-satin"].clone();
    sealer.can.left_g = Some(left_g);
    evening_with(GARDEN, &sealer, |_| ()).findings
}

/// One page that is begun so late, and an end so much later, if there is one.
fn from(hour: i8, minutes: Option<i64>) -> Vec<Finding> {
    evening_with(GARDEN, &CATALOG.sealers["acrylic-satin"], |request| {
        let start = now().with().hour(hour).minute(50).build().expect("a moment");
        request.stop_by = minutes.map(|minutes| start.checked_add(minutes.minutes()).expect("a moment"));
        request.start = start;
    })
    .findings
}

/// One coat of a bare problem in a room.
fn bare(dose_limit: f64, change: fn(&mut Answer)) -> Vec<Finding> {
    let coat = Coat { spray: 4, can: 0, lag: None, vapour_m3: 6.0, flash_share: 0.5 };
    let problem = Problem {
        name: "one coat".to_owned(),
        tick_s: 30.0,
        pages: vec![Page { label: "page".to_owned(), release: 0, final_dry: 20, coats: vec![coat] }],
        rack_slots: None,
        initial_can: 0,
        setup: vec![vec![0]],
        pauses: Vec::new(),
        session_end: None,
        air: Some(RoomAir {
            volume_m3: 30.0,
            air_changes_per_h: 6.0,
            evaporation_per_min: 0.3,
            ceiling: 1.0,
            dose_limit,
            presence: Presence::Throughout,
        }),
    };
    let control = Control { threads: 1, stop: &|| false, progress: &|_, _| {} };
    let mut answer = solve(&problem, Effort::Quick, &control);
    change(&mut answer);
    bench_document(&problem, &answer, Effort::Quick).findings
}

fn behind(mask: RespiratorKind) -> Vec<Finding> {
    evening_with(GARDEN, &CATALOG.sealers["acrylic-satin"], |request| request.respirator = Some(mask)).findings
}

pub(super) const WARNINGS: [Warning; 7] = [
    Warning {
        code: "page-does-not-fit",
        level: Level::Hold,
        called_for: || from(18, Some(10)),
        not_called_for: Some(|| from(18, Some(300))),
    },
    Warning {
        code: "dose-over-limit",
        level: Level::Hold,
        called_for: || bare(1e-6, |_| ()),
        not_called_for: Some(|| bare(1.0, |_| ())),
    },
    Warning {
        code: "into-the-next-day",
        level: Level::Care,
        called_for: || from(23, None),
        not_called_for: Some(|| from(18, None)),
    },
    // What a page alone is told of a mask is told of an evening.
    Warning {
        code: "mask-too-weak",
        level: Level::Care,
        called_for: || behind(RespiratorKind::QuarterApr),
        not_called_for: Some(|| behind(RespiratorKind::HalfApr)),
    },
    Warning {
        code: "can-too-empty",
        level: Level::Care,
        called_for: || with_left(1.0),
        not_called_for: Some(|| with_left(300.0)),
    },
    Warning {
        code: "air-decides",
        level: Level::Note,
        called_for: || four(ROOM),
        not_called_for: Some(|| four(GARDEN)),
    },
    Warning {
        code: "search-stopped",
        level: Level::Note,
        called_for: || bare(1.0, |answer| answer.stopped = true),
        not_called_for: Some(|| bare(1.0, |_| ())),
    },
];

#[test]
fn what_an_evening_is_told() {
    seen_and_missed(&WARNINGS);
}
