//! What a page itself is warned of: its order, its paper, what has not dried and what never does.

use coatbell::finding::{Finding, Level};

use super::{Warning, seen_and_missed};
use crate::practice::bench::{reviewed, sheet, stack};
use crate::support::CATALOG;

fn page(text: &str) -> Vec<Finding> {
    let text = format!("size = \"A4\"\npaper = \"cold-press\"\n{text}");
    reviewed(&sheet(&text, &CATALOG), &CATALOG).findings().cloned().collect()
}

fn laid(paper: &str, layers: &[&str]) -> Vec<Finding> {
    reviewed(&stack(paper, layers, true, &CATALOG), &CATALOG).findings().cloned().collect()
}

fn to_be_laid(paper: &str, layers: &[&str]) -> Vec<Finding> {
    reviewed(&stack(paper, layers, false, &CATALOG), &CATALOG).findings().cloned().collect()
}

/// A page finished long ago, with a key of its own.
fn old(key: &str, medium: &str, of_layer: &str) -> Vec<Finding> {
    page(&format!("finished = \"300 days ago\"\n{key}[[layer]]\nmedium = \"{medium}\"\n{of_layer}"))
}

fn finished(medium: &str, ago: &str, of_layer: &str) -> Vec<Finding> {
    page(&format!("[[layer]]\nmedium = \"{medium}\"\nfinished = \"{ago}\"\n{of_layer}"))
}

pub(super) const WARNINGS: [Warning; 25] = [
    Warning {
        code: "never-sealed",
        level: Level::Hold,
        called_for: || old("", "oil-pastel", ""),
        not_called_for: Some(|| old("", "wax-pencil", "")),
    },
    Warning {
        code: "never-sealed-masked",
        level: Level::Care,
        called_for: || old("", "oil-pastel", "masked = true\n"),
        not_called_for: Some(|| old("", "wax-pencil", "masked = true\n")),
    },
    Warning {
        code: "never-sealed",
        level: Level::Hold,
        called_for: || old("", "oil-pastel", ""),
        not_called_for: Some(|| old("", "oil-pastel", "masked = true\n")),
    },
    Warning {
        code: "masking-left",
        level: Level::Hold,
        called_for: || old("", "masking-fluid", ""),
        not_called_for: Some(|| old("", "white-gouache", "")),
    },
    // Acrylic dries a day at least and three as a rule (common practice, no source).
    Warning {
        code: "layer-wet",
        level: Level::Hold,
        called_for: || finished("acrylic", "20 h ago", ""),
        not_called_for: Some(|| finished("acrylic", "80 h ago", "")),
    },
    Warning {
        code: "layer-wet",
        level: Level::Care,
        called_for: || finished("acrylic", "60 h ago", ""),
        not_called_for: Some(|| finished("acrylic", "80 h ago", "")),
    },
    Warning {
        code: "layer-to-be-laid",
        level: Level::Hold,
        called_for: || to_be_laid("cold-press", &["acrylic"]),
        not_called_for: Some(|| laid("cold-press", &["acrylic"])),
    },
    Warning {
        code: "laid-over-unlaid",
        level: Level::Care,
        called_for: || {
            page("[[layer]]\nmedium = \"acrylic\"\n[[layer]]\nmedium = \"gel-pen\"\nfinished = \"9 days ago\"\n")
        },
        not_called_for: Some(|| {
            page("[[layer]]\nmedium = \"acrylic\"\nfinished = \"9 days ago\"\n[[layer]]\nmedium = \"gel-pen\"\n")
        }),
    },
    Warning {
        code: "bowed",
        level: Level::Hold,
        called_for: || old("bow = \"3.1 mm\"\n", "gel-pen", ""),
        not_called_for: Some(|| old("bow = \"3 mm\"\n", "gel-pen", "")),
    },
    Warning {
        code: "wax-bloom",
        level: Level::Care,
        called_for: || finished("wax-pencil", "2 days ago", "laydown = \"heavy\"\n"),
        not_called_for: Some(|| finished("wax-pencil", "2 days ago", "")),
    },
    Warning {
        code: "wax-bloom",
        level: Level::Care,
        called_for: || finished("wax-pencil", "2 days ago", "laydown = \"heavy\"\n"),
        not_called_for: Some(|| finished("wax-pencil", "300 days ago", "laydown = \"heavy\"\n")),
    },
    Warning {
        code: "loose-pigment",
        level: Level::Care,
        called_for: || old("", "soft-pastel", ""),
        not_called_for: Some(|| old("", "graphite", "")),
    },
    Warning {
        code: "glitter-loose",
        level: Level::Care,
        called_for: || old("", "glitter", "technique = \"loose\"\n"),
        not_called_for: Some(|| old("", "glitter", "technique = \"glue\"\n")),
    },
    Warning {
        code: "strike-through",
        level: Level::Note,
        called_for: || laid("colouring-book", &["alcohol-marker"]),
        not_called_for: Some(|| laid("cardstock", &["alcohol-marker"])),
    },
    Warning {
        code: "strike-through",
        level: Level::Note,
        called_for: || laid("colouring-book", &["alcohol-marker"]),
        not_called_for: Some(|| laid("colouring-book", &["wax-pencil"])),
    },
    Warning {
        code: "pair-avoid",
        level: Level::Hold,
        called_for: || to_be_laid("cold-press", &["wax-pencil", "watercolour:wet-on-dry"]),
        not_called_for: Some(|| to_be_laid("cold-press", &["watercolour:wet-on-dry", "wax-pencil"])),
    },
    Warning {
        code: "pair-care",
        level: Level::Care,
        called_for: || to_be_laid("cold-press", &["wax-pencil", "oil-pencil"]),
        not_called_for: Some(|| to_be_laid("cold-press", &["oil-pencil", "wax-pencil"])),
    },
    Warning {
        code: "pair-disputed",
        level: Level::Note,
        called_for: || laid("cold-press", &["wax-pencil", "acrylic"]),
        not_called_for: Some(|| laid("cold-press", &["watercolour:wet-on-dry", "acrylic"])),
    },
    Warning {
        code: "order-better",
        level: Level::Note,
        called_for: || to_be_laid("cold-press", &["wax-pencil", "watercolour:wet-on-dry"]),
        not_called_for: Some(|| to_be_laid("cold-press", &["watercolour:wet-on-dry", "wax-pencil"])),
    },
    Warning {
        code: "surface-avoid",
        level: Level::Hold,
        called_for: || to_be_laid("colouring-book", &["watercolour:wet-on-wet"]),
        not_called_for: Some(|| to_be_laid("cold-press", &["watercolour:wet-on-wet"])),
    },
    Warning {
        code: "surface-care",
        level: Level::Care,
        called_for: || to_be_laid("cardstock", &["watercolour:wet-on-wet"]),
        not_called_for: Some(|| to_be_laid("cold-press", &["watercolour:wet-on-wet"])),
    },
    Warning {
        code: "surface-cockle",
        level: Level::Note,
        called_for: || to_be_laid("toned", &["watercolour:wet-on-dry"]),
        not_called_for: Some(|| to_be_laid("cold-press", &["watercolour:wet-on-dry"])),
    },
    Warning {
        code: "technique-not-stated",
        level: Level::Note,
        called_for: || old("", "watercolour", ""),
        not_called_for: Some(|| old("", "watercolour", "technique = \"wet-on-dry\"\n")),
    },
    Warning {
        code: "cover-not-stated",
        level: Level::Note,
        called_for: || old("", "wax-pencil", ""),
        not_called_for: Some(|| old("", "wax-pencil", "cover = \"20 %\"\n")),
    },
    // A layer under a mask is not sprayed, so that its cover does not count.
    Warning {
        code: "cover-not-stated",
        level: Level::Note,
        called_for: || old("", "wax-pencil", ""),
        not_called_for: Some(|| old("", "wax-pencil", "masked = true\n")),
    },
];

#[test]
fn what_a_page_is_told_of_its_layers_and_its_paper() {
    seen_and_missed(&WARNINGS);
}
