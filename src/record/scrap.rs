//! The scrap test that would settle what a plan is unsure of.

use serde::Serialize;

use crate::plan::{Coat, CoatKind, Plan, name_to_type};

/// A bar of one medium across the scrap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bar {
    /// Id of the medium.
    pub medium: String,
    /// What to look for.
    pub look_for: String,
}

/// A zone of the scrap, with the coats it gets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Zone {
    /// `mist`, `mist + build`, `full`.
    pub name: String,
    /// How many coats it gets; the rest is covered.
    pub coats: usize,
    /// Wet film of its wettest coat, µm: what half the places have.
    pub wet_um: f64,
}

/// A scrap test.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScrapSheet {
    /// `coatbell.scrap/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// Paper to take an offcut of.
    pub paper: String,
    /// Id of the sealer.
    pub sealer: String,
    /// The bars, the most doubtful first.
    pub bars: Vec<Bar>,
    /// The zones.
    pub zones: Vec<Zone>,
    /// What to do, in order.
    pub steps: Vec<String>,
    /// The grid, line by line, to copy onto the scrap.
    pub grid: Vec<String>,
    /// The cautions.
    pub cautions: Vec<String>,
}

/// The test of a plan's page. `look_for` says of a medium what fails first.
pub fn scrap_sheet(plan: &Plan, look_for: impl Fn(&str) -> String) -> ScrapSheet {
    let mut bars: Vec<Bar> = Vec::new();
    let limiting = plan.coats.first().map(|coat| coat.limited_by.clone()).unwrap_or_default();
    for layer in plan.layers.iter().rev() {
        if bars.iter().all(|bar| bar.medium != layer.medium) {
            bars.push(Bar { medium: layer.medium.clone(), look_for: look_for(&layer.medium) });
        }
    }
    // The medium that sets the first coat's cap is the one whose answer changes most.
    bars.sort_by_key(|bar| !limiting.contains(&bar.medium.replace('-', " ")));
    let zones = zones(&plan.coats);
    let wait = plan.coats.first().map_or(0, |coat| coat.wait_min);
    let mut steps = vec![
        format!("Take an offcut of the same {}, at least 12 x 15 cm", plan.page.paper),
        "Draw a bar of each medium across it as you laid it on the page, and let it dry as long".to_owned(),
        format!("Mark {} zones across the bars: {}", zones.len().max(1), zone_names(&zones)),
    ];
    if let Some(first) = plan.coats.first() {
        steps.push(format!(
            "Spray as the plan says, the mist from {:.0} cm, {wait} min before the next coat; cover a zone with a card \
             as soon as it has its coats",
            first.distance_cm
        ));
    }
    steps.push(
        "Look when it is touch-dry and again the next day, in slanting light, beside an unsprayed strip".to_owned(),
    );
    steps.push(
        "Measure how far colour ran; rub with a white cloth; press a fingernail across; look for white or grey"
            .to_owned(),
    );
    let record = |zone: &Zone, word: &str, result: &str| {
        format!(
            "`coatbell scrap record --sealer {} --medium MEDIUM --zone {word} --film \"{:.1} um\" --result {result}`",
            name_to_type(&plan.sealer.id),
            zone.wet_um
        )
    };
    if let Some(first) = zones.first() {
        steps.push(format!("Keep what you saw of each medium: {}, or `bled`, `lifted`", record(first, "mist", "held")));
    }
    if let Some(second) = zones.get(1) {
        steps.push(format!("If it bled only where a build lay on the mist: {}", record(second, "build", "bled")));
    }
    ScrapSheet {
        schema: "coatbell.scrap/1",
        version: env!("CARGO_PKG_VERSION"),
        paper: plan.page.paper.clone(),
        sealer: plan.sealer.id.clone(),
        grid: grid(&bars, &zones),
        bars,
        zones,
        steps,
        cautions: plan.cautions.clone(),
    }
}

fn zone_names(zones: &[Zone]) -> String {
    let names: Vec<String> =
        zones.iter().map(|zone| format!("{} (about {:.0} µm wet)", zone.name, zone.wet_um)).collect();
    names.join(", ")
}

fn zones(coats: &[Coat]) -> Vec<Zone> {
    let mists = coats.iter().filter(|coat| coat.kind == CoatKind::Mist).count();
    let wettest = |count: usize| coats[..count].iter().map(|coat| coat.wet_film_um.p50).fold(0.0, f64::max);
    let mut zones = Vec::new();
    for (name, count) in [("mist", mists), ("mist + build", mists + 1), ("full", coats.len())] {
        if count > 0 && count <= coats.len() && zones.iter().all(|zone: &Zone| zone.coats < count) {
            zones.push(Zone { name: name.to_owned(), coats: count, wet_um: wettest(count) });
        }
    }
    zones
}

fn grid(bars: &[Bar], zones: &[Zone]) -> Vec<String> {
    const LABEL: usize = 14;
    let fit = |text: &str, width: usize| format!("{:<width$}", text.chars().take(width).collect::<String>());
    // Three zones and the label stay within forty columns.
    let cells = 6;
    let rule = format!("+{}+{}", "-".repeat(LABEL), format!("{}+", "-".repeat(cells)).repeat(zones.len()));
    let row = |label: &str, cell: &dyn Fn(&Zone) -> String| {
        let marks: Vec<String> = zones.iter().map(|zone| fit(&cell(zone), cells)).collect();
        format!("|{}|{}|", fit(label, LABEL), marks.join("|"))
    };
    let mut lines = vec![rule.clone(), row("zone", &|zone| zone.name.replace("mist + build", "+build")), rule.clone()];
    for bar in bars {
        lines.push(row(&bar.medium, &|_| String::new()));
        lines.push(rule.clone());
    }
    lines
}
