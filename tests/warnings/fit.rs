//! What a sealer is warned of on a page it does not suit.

use coatbell::finding::{Finding, Level};

use super::{Warning, seen_and_missed};
use crate::support::plan;

/// The open air on a good day: nothing but page and sealer have anything to be told.
const GARDEN: &str = "airflow = \"outdoors\"\nwind = \"2 m/s\"\ntemperature = \"21 C\"\nhumidity = \"45 %\"\n";

/// One layer on a paper, dry for long, under a sealer.
fn under(sealer: &str, medium: &str, paper: &str) -> Vec<Finding> {
    let page = format!(
        "size = \"A6\"\npaper = \"{paper}\"\nfinished = \"60 days ago\"\n[[layer]]\nmedium = \"{medium}\"\ncover = \"30 %\"\n"
    );
    plan(&page, GARDEN, Some(sealer)).findings
}

pub(super) const WARNINGS: [Warning; 15] = [
    Warning {
        code: "hair-spray",
        level: Level::Hold,
        called_for: || under("hair-spray", "graphite", "cardstock"),
        not_called_for: Some(|| under("acrylic-gloss", "graphite", "cardstock")),
    },
    Warning {
        code: "dammar-on-paper",
        level: Level::Care,
        called_for: || under("dammar-varnish", "graphite", "cardstock"),
        not_called_for: Some(|| under("ketone-varnish", "graphite", "cardstock")),
    },
    Warning {
        code: "nitro-ages",
        level: Level::Note,
        called_for: || under("nitro-lacquer", "graphite", "cardstock"),
        not_called_for: Some(|| under("acrylic-gloss", "graphite", "cardstock")),
    },
    Warning {
        code: "water-on-water-colour",
        level: Level::Hold,
        called_for: || under("water-clear", "watercolour", "cold-press"),
        not_called_for: Some(|| under("water-clear", "wax-pencil", "cold-press")),
    },
    Warning {
        code: "water-on-water-colour",
        level: Level::Hold,
        called_for: || under("casein-fixative", "watercolour", "cold-press"),
        not_called_for: Some(|| under("acrylic-gloss", "watercolour", "cold-press")),
    },
    Warning {
        code: "water-coat-cockles",
        level: Level::Care,
        called_for: || under("water-clear", "graphite", "cardstock"),
        not_called_for: Some(|| under("water-clear", "graphite", "cold-press")),
    },
    Warning {
        code: "water-coat-cockles",
        level: Level::Care,
        called_for: || under("water-clear", "graphite", "cardstock"),
        not_called_for: Some(|| under("acrylic-gloss", "graphite", "cardstock")),
    },
    Warning {
        code: "slow-solvent",
        level: Level::Care,
        called_for: || under("acrylic-spirit", "wax-pencil", "cardstock"),
        not_called_for: Some(|| under("acrylic-gloss", "wax-pencil", "cardstock")),
    },
    Warning {
        code: "matte-dulls",
        level: Level::Care,
        called_for: || under("acrylic-matte", "metallic-pen", "cardstock"),
        not_called_for: Some(|| under("acrylic-matte", "graphite", "cardstock")),
    },
    Warning {
        code: "matte-dulls",
        level: Level::Care,
        called_for: || under("acrylic-matte", "graphite", "black-card"),
        not_called_for: Some(|| under("acrylic-gloss", "graphite", "black-card")),
    },
    Warning {
        code: "sparkle-dulls",
        level: Level::Note,
        called_for: || under("acrylic-gloss", "metallic-pen", "cardstock"),
        not_called_for: Some(|| under("acrylic-gloss", "graphite", "cardstock")),
    },
    Warning {
        code: "lights-darken",
        level: Level::Note,
        called_for: || under("acrylic-gloss", "soft-pastel", "cardstock"),
        not_called_for: Some(|| under("acrylic-gloss", "graphite", "cardstock")),
    },
    Warning {
        code: "crawls-on-wax",
        level: Level::Note,
        called_for: || under("water-clear", "wax-pencil", "cold-press"),
        not_called_for: Some(|| under("water-clear", "graphite", "cold-press")),
    },
    Warning {
        code: "crawls-on-wax",
        level: Level::Note,
        called_for: || under("water-clear", "wax-pencil", "cold-press"),
        not_called_for: Some(|| under("acrylic-spirit", "wax-pencil", "cold-press")),
    },
    Warning {
        code: "media-move",
        level: Level::Note,
        called_for: || under("acrylic-spirit", "wax-pencil", "cardstock"),
        not_called_for: Some(|| under("acrylic-gloss", "wax-pencil", "cardstock")),
    },
];

#[test]
fn what_a_sealer_does_to_a_page() {
    seen_and_missed(&WARNINGS);
}
