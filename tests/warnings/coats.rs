//! What the settings of the coats are warned of.

use coatbell::catalog::{Catalog, Sealer};
use coatbell::estimate::Triple;
use coatbell::finding::{Finding, Level};
use coatbell::solve::plan_coats;

use super::{Warning, seen_and_missed};
use crate::pages::{FRIABLE, LOADED, ordinary_air, sheet};
use crate::support::CATALOG;

fn sprayed(page: &str, sealer: &str, change: fn(&mut Sealer, &mut Catalog)) -> Vec<Finding> {
    let mut catalog = CATALOG.clone();
    let mut sealer = CATALOG.sealers[sealer].clone();
    change(&mut sealer, &mut catalog);
    plan_coats(&sheet(page, &catalog), &sealer, &ordinary_air(), &catalog, 1).findings
}

fn loaded(change: fn(&mut Sealer, &mut Catalog)) -> Vec<Finding> {
    sprayed(LOADED, "acrylic-satin", change)
}

fn glossy() -> String {
    LOADED.replace("satin", "gloss")
}

fn label_m(sealer: &mut Sealer, low: f64, high: f64) {
    sealer.label.distance_m = Some((low, high));
}

/// A can that empties many times as fast.
fn rush(sealer: &mut Sealer) {
    sealer.discharge_g_s = sealer.discharge_g_s.scaled(8.0);
}

pub(super) const WARNINGS: [Warning; 9] = [
    Warning {
        code: "first-coat-over-cap",
        level: Level::Care,
        called_for: || loaded(|sealer, _| rush(sealer)),
        not_called_for: Some(|| loaded(|_, _| ())),
    },
    Warning {
        code: "build-over-limit",
        level: Level::Care,
        called_for: || loaded(|sealer, _| rush(sealer)),
        not_called_for: Some(|| loaded(|_, _| ())),
    },
    Warning {
        code: "dry-spray",
        level: Level::Care,
        called_for: || loaded(|sealer, _| label_m(sealer, 0.40, 0.45)),
        not_called_for: Some(|| loaded(|sealer, _| label_m(sealer, 0.15, 0.20))),
    },
    Warning {
        code: "dry-mist",
        level: Level::Note,
        called_for: || loaded(|sealer, _| label_m(sealer, 0.40, 0.45)),
        not_called_for: Some(|| loaded(|_, _| ())),
    },
    Warning {
        code: "label-nearer-than-mist",
        level: Level::Note,
        called_for: || loaded(|sealer, _| label_m(sealer, 0.15, 0.20)),
        not_called_for: Some(|| loaded(|sealer, _| label_m(sealer, 0.30, 0.35))),
    },
    Warning {
        code: "mist-gives-no-gloss",
        level: Level::Note,
        called_for: || loaded(|_, _| ()),
        // Every plan begins with a mist.
        not_called_for: None,
    },
    Warning {
        code: "finish-out-of-reach",
        level: Level::Care,
        called_for: || {
            sprayed(&glossy(), "acrylic-gloss", |_, catalog| {
                catalog.papers.get_mut("cardstock-heavy").expect("built in").tooth_um = Triple::exact(80.0);
            })
        },
        not_called_for: Some(|| sprayed(&glossy(), "acrylic-gloss", |_, _| ())),
    },
    Warning {
        code: "finish-out-of-reach",
        level: Level::Care,
        called_for: || sprayed(FRIABLE, "acrylic-gloss", |_, _| ()),
        not_called_for: Some(|| sprayed(&FRIABLE.replace("\"gloss\"", "\"matte\""), "acrylic-gloss", |_, _| ())),
    },
    Warning {
        code: "cover-not-stated",
        level: Level::Note,
        called_for: || sprayed(&LOADED.replace("cover = \"40 %\"\n", ""), "acrylic-satin", |_, _| ()),
        not_called_for: Some(|| loaded(|_, _| ())),
    },
];

#[test]
fn what_no_setting_can_do() {
    seen_and_missed(&WARNINGS);
}
