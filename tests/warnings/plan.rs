//! What only a whole plan, or the air of an amount, is warned of.

use coatbell::finding::{Finding, Level};
use coatbell::plan::{Amount, safety_of_amount};

use super::{Warning, seen_and_missed};
use crate::support::{CATALOG, REFERENCE_ROOM, plan, plan_with_can, room};

/// One layer on cardstock, dry for long, with a finish wanted.
fn page(finish: &str) -> String {
    format!(
        "size = \"A5\"\npaper = \"cardstock\"\nfinish = \"{finish}\"\nfinished = \"60 days ago\"\n\
         [[layer]]\nmedium = \"graphite\"\ncover = \"30 %\"\n"
    )
}

/// Metal on black, which no matte sealer is chosen for.
fn dark(finish: &str) -> Vec<Finding> {
    let text = page(finish).replace("cardstock", "black-card").replace("graphite", "metallic-pen");
    plan(&text, REFERENCE_ROOM, None).findings
}

fn with(finish: &str, sealer: &str) -> Vec<Finding> {
    plan(&page(finish), REFERENCE_ROOM, Some(sealer)).findings
}

fn in_room(keys: &str) -> Vec<Finding> {
    let keys = format!("{keys}temperature = \"21 C\"\nhumidity = \"48 %\"\n");
    plan(&page("satin"), &keys, Some("acrylic-satin")).findings
}

fn with_window(window: &str) -> Vec<Finding> {
    let can = format!("extends = \"acrylic-satin\"\n[label]\nrecoat_window = \"{window}\"\n");
    plan_with_can(&page("satin"), REFERENCE_ROOM, &can).findings
}

/// Two coats of an amount, one so many minutes after the other.
fn amount(every_min: f64) -> Vec<Finding> {
    let room = room(REFERENCE_ROOM);
    let amount = Amount {
        sealer: &CATALOG.sealers["acrylic-satin"],
        grams: 8.0,
        coats: 2,
        every_min,
        room: Some(&room),
        room_named: true,
        respirator: None,
    };
    safety_of_amount(&amount, &CATALOG).findings
}

pub(super) const WARNINGS: [Warning; 6] = [
    Warning {
        code: "air-not-today",
        level: Level::Hold,
        called_for: || in_room("volume = \"1 m3\"\nairflow = \"closed\"\n"),
        not_called_for: Some(|| in_room("volume = \"20 m3\"\nairflow = \"cross-draught\"\n")),
    },
    Warning {
        code: "coats-before-return",
        level: Level::Care,
        called_for: || amount(2.0),
        not_called_for: Some(|| amount(12.0 * 60.0)),
    },
    Warning {
        code: "recoat-window",
        level: Level::Hold,
        called_for: || with_window("within 3 min"),
        not_called_for: Some(|| with_window("within 2 h")),
    },
    // A window that closes and opens again is waited out.
    Warning {
        code: "recoat-window",
        level: Level::Hold,
        called_for: || with_window("within 3 min"),
        not_called_for: Some(|| with_window("within 3 min or after 24 h")),
    },
    Warning {
        code: "finish-changed",
        level: Level::Care,
        called_for: || dark("matte"),
        not_called_for: Some(|| dark("gloss")),
    },
    Warning {
        code: "finish-differs",
        level: Level::Note,
        called_for: || with("satin", "acrylic-gloss"),
        not_called_for: Some(|| with("satin", "acrylic-satin")),
    },
];

#[test]
fn what_a_whole_plan_is_told() {
    seen_and_missed(&WARNINGS);
}
