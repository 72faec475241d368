//! Levels and findings of one sealer on one page.

use super::index::{LandedLiquid, MediumIndex, bleed_indices, sensitivity_of, worst_class};
use crate::catalog::{Family, Figure, FilmClass, Medium, Rules, Sealer, SolventClass, Trait};
use crate::diagnostic::and_list;
use crate::estimate::Basis;
use crate::finding::{Finding, Level, verdict};
use crate::input::Finish;
use crate::page::{Layer, Sheet};

/// A sealer judged on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// `go`, `care` or `hold` by the rules of fit alone.
    pub level: Level,
    /// Everything noticed.
    pub findings: Vec<Finding>,
    /// The bleed index of every medium.
    pub indices: Vec<MediumIndex>,
}

impl Fit {
    /// The largest bleed index, µm; 0 for a page without media.
    pub fn worst_bleed_um(&self) -> f64 {
        self.indices.iter().map(|index| index.bleed_um).fold(0.0, f64::max)
    }

    /// The medium that moves most, by place.
    pub fn most_moved(&self) -> Option<&MediumIndex> {
        self.indices
            .iter()
            .filter(|index| index.bleed_um > 0.0)
            .max_by(|a, b| a.bleed_um.total_cmp(&b.bleed_um).then(b.place.cmp(&a.place)))
    }
}

/// Judges a sealer on a page. `liquid` is what of it lands with the first coat.
pub fn assess(sheet: &Sheet<'_>, sealer: &Sealer, liquid: &LandedLiquid<'_>, rules: &Rules) -> Fit {
    let indices = bleed_indices(sheet, liquid, rules);
    let mut findings = Vec::new();
    findings.extend(refused(sealer));
    findings.extend(water_first(sheet, sealer));
    findings.extend(cockling(sheet, sealer, liquid, rules));
    findings.extend(slow_tail(sheet, liquid, rules));
    findings.extend(matting(sheet, sealer, rules));
    findings.extend(dulling(sheet, sealer, rules));
    findings.extend(darkening(sheet, rules));
    findings.extend(crawling(sheet, sealer, liquid, rules));
    findings.extend(moving(sheet, &indices, rules));
    Fit { level: verdict(&findings), findings, indices }
}

fn places<'s>(layers: impl Iterator<Item = &'s Layer<'s>>) -> Vec<usize> {
    layers.map(|layer| layer.place).collect()
}

/// Names of layers as `wax pencil and gouache`.
fn names(sheet: &Sheet<'_>, places: &[usize]) -> String {
    let mut words: Vec<String> = Vec::new();
    for layer in sheet.layers.iter().filter(|layer| places.contains(&layer.place)) {
        if !words.iter().any(|word| word == layer.name()) {
            words.push(layer.name().to_owned());
        }
    }
    and_list(&words)
}

fn having(sheet: &Sheet<'_>, fact: Trait) -> Vec<usize> {
    places(sheet.exposed().filter(|layer| layer.medium().is_some_and(|medium| medium.is(fact))))
}

/// Sealers that are never, or hardly ever, for paper.
fn refused(sealer: &Sealer) -> Option<Finding> {
    match sealer.family {
        Family::HairSpray => {
            let text = "Hair spray is no sealer: its alcohol bleeds markers, and the film stays tacky in damp air, \
                        holds dust and yellows";
            let finding = Finding::new("hair-spray", Level::Hold, text, Basis::Practice);
            Some(finding.remedy("Take a low-aromatic acrylic, or a fixative for loose work"))
        }
        Family::Dammar => {
            let text = "Dammar varnish on paper dries for days, browns with the years and cannot be taken off again";
            let finding = Finding::new("dammar-on-paper", Level::Care, text, Basis::Practice);
            Some(finding.remedy("Take an acrylic sealer unless this look is wanted"))
        }
        Family::Nitro => {
            let text = "Nitrocellulose yellows and turns acid with age: not for work that should last on paper";
            let finding = Finding::new("nitro-ages", Level::Note, text, Basis::Estimate);
            Some(finding.remedy("Take an acrylic sealer for work that should last"))
        }
        _ => None,
    }
}

/// Water-borne sealers never go first over colour that water moves.
fn water_first(sheet: &Sheet<'_>, sealer: &Sealer) -> Option<Finding> {
    if !matches!(sealer.family, Family::WaterBorne | Family::Casein) {
        return None;
    }
    let places = having(sheet, Trait::WaterSoluble);
    if places.is_empty() {
        return None;
    }
    let text = format!(
        "{} carries water and would lift the {} as a first coat",
        crate::diagnostic::sentence_start(&sealer.name),
        names(sheet, &places)
    );
    let finding = Finding::new("water-on-water-colour", Level::Hold, text, Basis::Practice).layers(places);
    Some(finding.remedy("Take a solvent acrylic for the first coats"))
}

/// A water-borne coat that lays more water than the paper takes without buckling.
fn cockling(sheet: &Sheet<'_>, sealer: &Sealer, liquid: &LandedLiquid<'_>, rules: &Rules) -> Option<Finding> {
    if !sheet.paper.swells {
        return None;
    }
    // A micrometre of water is a gram on a square metre.
    let water_g_m2 = rules.coats.build_median_um.get() * liquid.class_share(SolventClass::Water);
    let limit = rules.fit.water_coat_share.get() * sheet.paper.buckle_g_m2.mode();
    if water_g_m2 <= limit {
        return None;
    }
    let text = format!(
        "A build of {} lays {water_g_m2:.0} g/m² of water; more than {limit:.0} g/m² a coat can cockle this paper",
        sealer.name
    );
    let finding = Finding::on("water-coat-cockles", Level::Care, text, &rules.fit.water_coat_share.grounds);
    Some(finding.remedy("Take a solvent acrylic, or keep every coat a mist"))
}

/// Slow solvents on media they move: the one care that fit gates on.
fn slow_tail(sheet: &Sheet<'_>, liquid: &LandedLiquid<'_>, rules: &Rules) -> Option<Finding> {
    let boiling_c = rules.fit.slow_boiling_c.get();
    let slow = liquid.slow_share(boiling_c, None);
    if slow <= rules.fit.slow_share_care.get() {
        return None;
    }
    let limit = rules.fit.slow_sensitivity_care.get();
    let moved = places(sheet.exposed().filter(|layer| {
        layer.medium().is_some_and(|medium| {
            SolventClass::WORDS.iter().any(|(_, class)| {
                let present = liquid
                    .parts
                    .iter()
                    .any(|part| part.substance.is_some_and(|s| s.class == *class && s.boiling_point_c >= boiling_c));
                present && sensitivity_of(sheet, layer, medium, *class) >= limit
            }) || liquid.parts.iter().any(|part| part.substance.is_none()) && worst_class(&medium.sensitivity) >= limit
        })
    }));
    if moved.is_empty() {
        return None;
    }
    let text = format!(
        "{:.0} % of the liquid that lands boils above {boiling_c:.0} °C and stays long enough to move the {}",
        100.0 * slow,
        names(sheet, &moved)
    );
    let finding = Finding::on("slow-solvent", Level::Care, text, &rules.fit.slow_share_care.grounds).layers(moved);
    Some(finding.remedy("Keep every coat thin, test on a scrap, or take a sealer that dries faster"))
}

/// What loses its sparkle under a sealer: metal, mica and glitter, and what its own figure says.
fn sparkling(sheet: &Sheet<'_>, rules: &Rules) -> Vec<usize> {
    let from = rules.fit.dulling_from.get();
    let sparkles =
        |medium: &Medium| medium.is(Trait::Metallic) || medium.is(Trait::Glitter) || medium.dulling.mode() >= from;
    places(sheet.exposed().filter(|layer| layer.medium().is_some_and(sparkles)))
}

/// Matte over metal, shimmer, glitter or dark stock.
fn matting(sheet: &Sheet<'_>, sealer: &Sealer, rules: &Rules) -> Option<Finding> {
    if sealer.finish != Some(Finish::Matte) {
        return None;
    }
    let over = sparkling(sheet, rules);
    if over.is_empty() && !sheet.paper.dark {
        return None;
    }
    let what = match (over.is_empty(), sheet.paper.dark) {
        (true, _) => "dark paper".to_owned(),
        (false, true) => format!("{} on dark paper", names(sheet, &over)),
        (false, false) => names(sheet, &over),
    };
    let text = format!("A matte sealer greys and hazes {what}: its matting powder scatters the light");
    let finding = Finding::new("matte-dulls", Level::Care, text, Basis::Practice).layers(over);
    Some(finding.remedy("Take gloss or satin"))
}

fn dulling(sheet: &Sheet<'_>, sealer: &Sealer, rules: &Rules) -> Option<Finding> {
    if sealer.finish == Some(Finish::Matte) {
        return None;
    }
    let places = sparkling(sheet, rules);
    if places.is_empty() {
        return None;
    }
    let text = format!("The {} loses a little sparkle under any sealer", names(sheet, &places));
    let finding = Finding::new("sparkle-dulls", Level::Note, text, Basis::Practice).layers(places);
    Some(finding.remedy("Use as few coats as you can; gloss dulls least"))
}

fn darkening(sheet: &Sheet<'_>, rules: &Rules) -> Option<Finding> {
    let limit = rules.fit.darkening_note.get();
    let places =
        places(sheet.exposed().filter(|layer| layer.medium().is_some_and(|medium| medium.darkening.mode() >= limit)));
    if places.is_empty() {
        return None;
    }
    let text = format!(
        "The {} gets darker, and chalky lights turn glassy, once resin fills the air between the grains",
        names(sheet, &places)
    );
    let finding = Finding::on("lights-darken", Level::Note, text, &rules.fit.darkening_note.grounds).layers(places);
    Some(finding.remedy("Photograph it first, and put the last highlights on after sealing"))
}

/// A liquid that does not wet burnished wax or oil.
fn crawling(sheet: &Sheet<'_>, sealer: &Sealer, liquid: &LandedLiquid<'_>, rules: &Rules) -> Option<Finding> {
    // What nobody named tells nothing of its tension: the rest decides.
    let named = || liquid.parts.iter().filter_map(|part| Some((part.share, part.substance?)));
    let share: f64 = named().map(|(share, _)| share).sum();
    let tension = named().map(|(share, substance)| share * substance.surface_tension_mn_m).sum::<f64>() / share;
    let margin = rules.fit.crawl_margin_mn_m.get();
    let beads_on = |films: &[FilmClass], surface: &Figure| {
        let on = |layer: &&Layer<'_>| layer.medium().is_some_and(|medium| films.contains(&medium.film));
        if tension > surface.value.mode() + margin { places(sheet.exposed().filter(on)) } else { Vec::new() }
    };
    let wax = beads_on(&[FilmClass::Wax, FilmClass::Grease], &rules.fit.wax_surface_mn_m);
    let oil = beads_on(&[FilmClass::OilWax], &rules.fit.oil_surface_mn_m);
    let (what, grounds) = match (wax.is_empty(), oil.is_empty()) {
        (true, true) => return None,
        (false, true) => ("burnished wax", &rules.fit.wax_surface_mn_m.grounds),
        (true, false) => ("burnished oil pencil", &rules.fit.oil_surface_mn_m.grounds),
        (false, false) => ("burnished wax and oil", &rules.fit.wax_surface_mn_m.grounds),
    };
    let mut waxy = [wax, oil].concat();
    waxy.sort_unstable();
    let text = format!("{} can bead on {what}", crate::diagnostic::sentence_start(&sealer.name));
    let finding = Finding::on("crawls-on-wax", Level::Note, text, grounds).layers(waxy);
    Some(finding.remedy("Keep the first coat a dry, thin mist"))
}

/// Which medium the liquid moves most, for the scrap test.
fn moving(sheet: &Sheet<'_>, indices: &[MediumIndex], rules: &Rules) -> Option<Finding> {
    let limit = rules.fit.bleed_note_um.get();
    let mut moved: Vec<usize> =
        indices.iter().filter(|index| index.bleed_um >= limit).map(|index| index.place).collect();
    moved.sort_unstable();
    if moved.is_empty() {
        return None;
    }
    let text = format!("The {} can move in this sealer if a coat lands wet", names(sheet, &moved));
    let finding = Finding::on("media-move", Level::Note, text, &rules.fit.bleed_note_um.grounds).layers(moved);
    Some(finding.remedy("Keep to the mist as planned, and try these media on a scrap first"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use crate::fit::LiquidShare;
    use crate::page::{PageWords, page_from_words};

    fn on_sheet<T>(media: &str, ask: impl FnOnce(&Sheet<'_>, &Catalog) -> T) -> T {
        let now = "2026-11-28T14:00[UTC]".parse().expect("a moment");
        let words = PageWords { media, paper: Some("cardstock"), size: Some("A4"), finish: None };
        let (page, source) = page_from_words(&words, &now).expect("valid words");
        let catalog = Catalog::builtin();
        let sheet = Sheet::resolve(&page, &source, &catalog).expect("known names");
        ask(&sheet, &catalog)
    }

    /// What is said of beading when these substances land on media, as shares of the liquid; `None` is nobody's.
    fn beading(media: &str, liquid: &[(Option<&str>, f64)]) -> Option<String> {
        on_sheet(media, |sheet, catalog| {
            let part = |(id, share): &(Option<&str>, f64)| LiquidShare {
                substance: id.map(|id| &catalog.substances[id]),
                share: *share,
                stays_s: 10.0,
            };
            let liquid = LandedLiquid { parts: liquid.iter().map(part).collect() };
            let fit = assess(sheet, &catalog.sealers["acrylic-gloss"], &liquid, &catalog.rules);
            fit.findings.into_iter().find(|finding| finding.code == "crawls-on-wax").map(|finding| finding.text)
        })
    }

    #[test]
    fn water_beads_on_wax_and_on_oil_and_acetone_on_neither() {
        // Critical tensions of the films and tensions of the liquids: from memory, as the profile has them.
        let said = |media, liquid: &[(Option<&str>, f64)]| beading(media, liquid).unwrap_or_default();
        assert!(said("wax-pencil", &[(Some("water"), 1.0)]).ends_with("on burnished wax"));
        assert!(said("oil-pencil", &[(Some("water"), 1.0)]).ends_with("on burnished oil pencil"));
        assert!(said("oil-pencil, wax-pencil", &[(Some("water"), 1.0)]).ends_with("on burnished wax and oil"));
        assert_eq!(said("toner, oil-pencil, wax-pencil", &[(Some("acetone"), 1.0)]), "");
        assert_eq!(said("toner", &[(Some("water"), 1.0)]), "");
        // What nobody named makes the rest wet no better.
        assert!(said("oil-pencil", &[(Some("water"), 0.4), (None, 0.6)]).ends_with("oil pencil"));
        assert_eq!(said("oil-pencil, wax-pencil", &[]), "");
    }

    #[test]
    fn the_same_medium_is_named_once() {
        let said = on_sheet("wax-pencil, gouache, wax-pencil", |sheet, _| names(sheet, &[1, 2, 3]));
        let other = on_sheet("gouache", |sheet, _| names(sheet, &[1]));
        assert_eq!(said.matches(" and ").count(), 1, "{said}");
        assert!(said.ends_with(&format!(" and {other}")), "{said}");
    }
}
