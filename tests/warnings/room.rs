//! What the description of a room is warned of.

use coatbell::air::RoomAir;
use coatbell::finding::{Finding, Level};

use super::{Warning, seen_and_missed};
use crate::support::{CATALOG, room};

fn of(keys: &str) -> Vec<Finding> {
    RoomAir::of(Some(&room(keys)), &CATALOG.rules.air).findings
}

pub(super) const WARNINGS: [Warning; 6] = [
    Warning {
        code: "airflow-unknown",
        level: Level::Care,
        called_for: || of("volume = \"40 m3\"\n"),
        not_called_for: Some(|| of("volume = \"40 m3\"\nairflow = \"closed\"\n")),
    },
    Warning {
        code: "fan-no-inlet",
        level: Level::Care,
        called_for: || of("volume = \"30 m3\"\nfan = \"1000 m3/h\"\nsealed = true\n"),
        not_called_for: Some(|| {
            of(
                "volume = \"30 m3\"\nfan = \"1000 m3/h\"\nsealed = true\nwindow = { area = \"0.5 m2\", height = \"1 m\" }\n",
            )
        }),
    },
    Warning {
        code: "fan-beats-opening",
        level: Level::Care,
        called_for: || {
            of(
                "volume = \"30 m3\"\nfan = \"1000 m3/h\"\nsealed = true\nwindow = { area = \"0.05 m2\", height = \"1 m\" }\n",
            )
        },
        not_called_for: Some(|| {
            of(
                "volume = \"30 m3\"\nfan = \"1000 m3/h\"\nsealed = true\nwindow = { area = \"0.5 m2\", height = \"1 m\" }\n",
            )
        }),
    },
    Warning {
        code: "wind-unknown",
        level: Level::Note,
        called_for: || of("airflow = \"outdoors\"\n"),
        not_called_for: Some(|| of("airflow = \"outdoors\"\nwind = \"0.3 m/s\"\n")),
    },
    // The random movement of air in a room without a source of it: 3.6 m/min.
    Warning {
        code: "calm-outdoors",
        level: Level::Care,
        called_for: || of("airflow = \"outdoors\"\nwind = \"0.05 m/s\"\n"),
        not_called_for: Some(|| of("airflow = \"outdoors\"\nwind = \"0.07 m/s\"\n")),
    },
    Warning {
        code: "brisk-wind",
        level: Level::Note,
        called_for: || of("airflow = \"outdoors\"\nwind = \"3.1 m/s\"\n"),
        not_called_for: Some(|| of("airflow = \"outdoors\"\nwind = \"3 m/s\"\n")),
    },
];

#[test]
fn what_a_room_leaves_unsaid_or_says_too_much_of() {
    seen_and_missed(&WARNINGS);
}
