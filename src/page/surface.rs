//! Each medium on the paper: how much water it lays, and whether the sheet stands it.

use super::pairs::level_of;
use super::{Laid, Layer, Sheet};
use crate::catalog::{Catalog, PairVerdict, Paper, Trait};
use crate::diagnostic::{or_list, sentence_start};
use crate::estimate::{Basis, Grounds};
use crate::finding::{Finding, Level};
use crate::quantity::number;

/// What a layer does to the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stress {
    /// Nothing to say.
    None,
    /// Up to the paper's limit, or a little over its most likely one.
    SlightCockle,
    /// Cockles.
    Cockle,
    /// Saturates and lifts.
    Saturate,
    /// Scrubs up the tooth.
    RoughTooth,
    /// Nothing takes the water up.
    NotAbsorbed,
}

/// The judgement of one layer on the paper.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceFinding<'c> {
    /// Id of the medium.
    pub medium: &'c str,
    /// Place of the layer, from 1 at the bottom.
    pub place: usize,
    /// The verdict.
    pub verdict: PairVerdict,
    /// How much it weighs on this page: less once it is laid and dry.
    pub level: Level,
    /// What is seen.
    pub effect: String,
    /// What to do.
    pub remedy: Option<String>,
    /// Water laid where it lies, g/m².
    pub load_g_m2: f64,
    /// What the verdict stands on.
    pub grounds: Grounds,
}

/// The wettest layer against the paper. Loads are judged where they lie and never added up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterSummary {
    /// Largest water load of a layer, g/m².
    pub load_g_m2: f64,
    /// Load at which the paper most likely begins to cockle, g/m²; `None` if water does not swell it.
    pub cockles_at_g_m2: Option<f64>,
    /// Verdict of the worst layer.
    pub verdict: PairVerdict,
}

/// Judges every layer that is a medium.
pub(super) fn judge_surface<'c>(sheet: &Sheet<'c>, catalog: &'c Catalog) -> Vec<SurfaceFinding<'c>> {
    sheet.layers.iter().filter_map(|layer| judge(layer, sheet, catalog)).collect()
}

/// The wettest layer.
pub(super) fn summarise(sheet: &Sheet<'_>, surface: &[SurfaceFinding<'_>]) -> WaterSummary {
    WaterSummary {
        load_g_m2: surface.iter().map(|finding| finding.load_g_m2).fold(0.0, f64::max),
        cockles_at_g_m2: sheet.paper.swells.then(|| sheet.paper.buckle_g_m2.mode()),
        verdict: surface.iter().map(|finding| finding.verdict).max().unwrap_or(PairVerdict::Good),
    }
}

/// Whether a layer could be laid on this paper without any care.
pub(super) fn lies_flat(layer: &Layer<'_>, sheet: &Sheet<'_>, catalog: &Catalog) -> bool {
    verdict_of(stress(layer, sheet.paper, catalog)) == PairVerdict::Good
}

fn stress(layer: &Layer<'_>, paper: &Paper, catalog: &Catalog) -> Stress {
    let Laid::Medium(medium, technique) = layer.what else { return Stress::None };
    let rules = &catalog.rules.layers;
    let load = technique.water_load_g_m2.mode();
    let limits = paper.buckle_g_m2;
    let water = if medium.is(Trait::WaterMedium) && !paper.absorbing {
        Stress::NotAbsorbed
    } else if !paper.swells || load < limits.mode() {
        Stress::None
    } else if load <= limits.high() {
        Stress::SlightCockle
    } else if load <= limits.high() * rules.water_avoid_times_high.get() {
        Stress::Cockle
    } else {
        Stress::Saturate
    };
    let small = layer.cover.is_some_and(|cover| cover <= rules.rough_tooth_cover.get());
    if medium.is(Trait::RoughsTooth) && !small && verdict_of(water) == PairVerdict::Good {
        return Stress::RoughTooth;
    }
    water
}

fn verdict_of(stress: Stress) -> PairVerdict {
    match stress {
        Stress::None | Stress::SlightCockle => PairVerdict::Good,
        Stress::Cockle | Stress::RoughTooth => PairVerdict::Care,
        Stress::Saturate | Stress::NotAbsorbed => PairVerdict::Avoid,
    }
}

fn judge<'c>(layer: &Layer<'c>, sheet: &Sheet<'c>, catalog: &'c Catalog) -> Option<SurfaceFinding<'c>> {
    let Laid::Medium(medium, technique) = layer.what else { return None };
    let (paper, load) = (sheet.paper, technique.water_load_g_m2.mode());
    let stress = stress(layer, paper, catalog);
    let verdict = verdict_of(stress);
    let level = match stress {
        Stress::SlightCockle => Level::Note,
        _ => level_of(verdict, layer.finished.is_some()),
    };
    let amounts = || {
        format!(
            "lays about {} g/m² of water where it lies; {} begins to cockle at about {} g/m²",
            number(load),
            paper.name,
            number(paper.buckle_g_m2.mode())
        )
    };
    let effect = match stress {
        Stress::None => "lies flat".to_owned(),
        Stress::SlightCockle => format!("{}, so it may cockle a little", amounts()),
        Stress::Cockle => format!("{}, so it swells and cockles", amounts()),
        Stress::Saturate => format!("{}, so it soaks through and the surface lifts", amounts()),
        Stress::RoughTooth => "roughs up the tooth and pills when scrubbed".to_owned(),
        Stress::NotAbsorbed => {
            format!("stays on top of {}, which takes up no water: it beads and wipes off", paper.name)
        }
    };
    let grounds = match stress {
        Stress::RoughTooth => Grounds::plain(Basis::Practice),
        Stress::NotAbsorbed => catalog.rules.layers.water_avoid_times_high.grounds.clone(),
        _ => medium.grounds.of("water_load_g_m2").clone(),
    };
    let remedy = (level >= Level::Note).then(|| remedy(stress, layer, sheet, catalog)).flatten();
    Some(SurfaceFinding {
        medium: &medium.id,
        place: layer.place,
        verdict,
        level,
        effect,
        remedy,
        load_g_m2: load,
        grounds,
    })
}

fn remedy(stress: Stress, layer: &Layer<'_>, sheet: &Sheet<'_>, catalog: &Catalog) -> Option<String> {
    let laid = layer.finished.is_some();
    Some(match stress {
        Stress::None => return None,
        Stress::RoughTooth if laid => "Lay no more of it over the same place, and brush off what has pilled".to_owned(),
        Stress::RoughTooth => {
            let small = number(catalog.rules.layers.rough_tooth_cover.get() * 100.0);
            format!("Keep it to small areas and do not scrub; state `cover` if it covers {small} % of the page or less")
        }
        _ if laid => "Check how far the sheet bows and state `bow`; flatten it before sealing".to_owned(),
        Stress::NotAbsorbed => "Use paper that takes up water, or permanent markers and pencils here".to_owned(),
        Stress::SlightCockle => "Tape the sheet down and let it dry flat".to_owned(),
        Stress::Cockle | Stress::Saturate => {
            let mut ways = drier_ways(layer, sheet, catalog);
            let papers = papers_that_stand(layer, catalog);
            if !papers.is_empty() {
                ways.extend(papers.iter().map(|paper| format!("take {paper}")));
            }
            if stress == Stress::Cockle {
                ways.push("stretch the sheet, or tape it down and lay small parts".to_owned());
            }
            if ways.is_empty() {
                return None;
            }
            sentence_start(&or_list(&ways))
        }
    })
}

/// Other techniques of the same medium that lie flat.
fn drier_ways(layer: &Layer<'_>, sheet: &Sheet<'_>, catalog: &Catalog) -> Vec<String> {
    let Laid::Medium(medium, used) = layer.what else { return Vec::new() };
    let dry = medium.techniques.iter().filter(|way| way.id != used.id).filter(|way| {
        let stand_in = Layer { what: Laid::Medium(medium, way), ..layer.clone() };
        lies_flat(&stand_in, sheet, catalog)
    });
    dry.map(|way| format!("lay it {}", way.id)).collect()
}

/// Up to two papers on which the layer lies flat, those that just stand it first.
fn papers_that_stand(layer: &Layer<'_>, catalog: &Catalog) -> Vec<String> {
    let mut papers: Vec<&Paper> = catalog
        .papers
        .values()
        .filter(|paper| paper.swells && !paper.dark)
        .filter(|paper| verdict_of(stress(layer, paper, catalog)) == PairVerdict::Good)
        .collect();
    papers.sort_by(|one, other| one.buckle_g_m2.mode().total_cmp(&other.buckle_g_m2.mode()));
    papers.iter().take(2).map(|paper| paper.id.replace('-', " ")).collect()
}

impl SurfaceFinding<'_> {
    /// The finding, unless there is nothing to say.
    pub(super) fn finding(&self, sheet: &Sheet<'_>) -> Option<Finding> {
        let layer = sheet.layers.get(self.place - 1)?;
        if self.level < Level::Note {
            return None;
        }
        let code = if self.verdict == PairVerdict::Avoid { "surface-avoid" } else { "surface-care" };
        let code = if self.verdict == PairVerdict::Good { "surface-cockle" } else { code };
        let text = format!("{} {}", layer.titled(), self.effect);
        let finding = Finding::on(code, self.level, text, &self.grounds).layers([self.place]);
        Some(match &self.remedy {
            Some(remedy) => finding.remedy(remedy.clone()),
            None => finding,
        })
    }
}
