//! The cap of the first coat: how much may land, and which layer or sheet says so.

use crate::catalog::{Paper, Rules, Sealer};
use crate::estimate::Triple;
use crate::finding::{Finding, Level};
use crate::input::Laydown;
use crate::page::Sheet;

/// What one layer allows.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerCap {
    /// Place from 1 at the bottom.
    pub place: usize,
    /// Id of the medium.
    pub medium: String,
    /// Most wet film it bears, µm.
    pub cap_um: f64,
    /// The layer in words, with what lowered its cap.
    pub words: String,
}

/// The cap of the first coat.
#[derive(Debug, Clone, PartialEq)]
pub struct Cap {
    /// Most wet film of the first coat, µm.
    pub cap_um: f64,
    /// What sets it, in words.
    pub limited_by: String,
    /// What each layer allows.
    pub layers: Vec<LayerCap>,
    /// What the pores allow, µm; `None` on paper that takes nothing up.
    pub pores_um: Option<f64>,
    /// What was assumed.
    pub findings: Vec<Finding>,
}

/// Most wet film a layer bears, µm, from its medium's three figures (thick and unknown, ordinary, thin on absorbent
/// stock): ordinary laydown takes the middle, light half way to the high one, each times the broad factor where it
/// covers most of the page or its cover is not stated; heavy takes the low one, or the heavy-and-broad factor times
/// the middle where that is smaller. The two reductions never multiply. On paper that takes nothing up the result is
/// lowered once more.
pub fn layer_cap_um(first_coat_um: Triple, laydown: Laydown, cover: Option<f64>, paper: &Paper, rules: &Rules) -> f64 {
    let coats = &rules.coats;
    let broad = is_broad(cover, rules);
    let broadly = if broad { coats.broad_cap_factor.get() } else { 1.0 };
    let bears = match laydown {
        Laydown::Normal => first_coat_um.mode() * broadly,
        Laydown::Light => f64::midpoint(first_coat_um.mode(), first_coat_um.high()) * broadly,
        Laydown::Heavy if broad => first_coat_um.low().min(coats.heavy_broad_factor.get() * first_coat_um.mode()),
        Laydown::Heavy => first_coat_um.low(),
    };
    if paper.absorbing { bears } else { bears * coats.non_absorbing_factor.get() }
}

fn is_broad(cover: Option<f64>, rules: &Rules) -> bool {
    cover.is_none_or(|cover| cover > rules.layers.broad_cover.get())
}

/// The cap of the first coat: the least of what the layers bear, the pores' share on paper that takes liquid up, and
/// the most a first coat may be at all. Masked layers are left out; sealers and fixatives as layers have no cap.
pub fn first_coat_cap(sheet: &Sheet<'_>, rules: &Rules) -> Cap {
    let coats = &rules.coats;
    let layers: Vec<LayerCap> = sheet
        .exposed()
        .filter_map(|layer| {
            let medium = layer.medium()?;
            let cap_um = layer_cap_um(medium.first_coat_um, layer.laydown, layer.cover, sheet.paper, rules);
            let mut words = medium.name.clone();
            if layer.laydown == Laydown::Heavy {
                words.push_str(", laid heavily");
            }
            if layer.cover.is_none() {
                words.push_str(", cover not stated");
            } else if is_broad(layer.cover, rules) {
                words.push_str(", over most of the page");
            }
            Some(LayerCap { place: layer.place, medium: medium.id.clone(), cap_um, words })
        })
        .collect();
    let pores_um = sheet
        .paper
        .absorbing
        .then(|| coats.mist_capacity_share.get() * sheet.paper.capacity_at(sheet.grammage_g_m2).mode());
    let (cap_um, limited_by) = least(&layers, pores_um, sheet, rules);
    Cap { cap_um, limited_by, layers, pores_um, findings: unstated_cover(sheet, rules) }
}

/// The least of what a first coat may be, what the pores allow and what the layers bear, with its reason.
fn least(layers: &[LayerCap], pores_um: Option<f64>, sheet: &Sheet<'_>, rules: &Rules) -> (f64, String) {
    let mut cap_um = rules.coats.mist_cap_um.get();
    let mut limited_by = "a first coat is never wetter".to_owned();
    if let Some(pores) = pores_um
        && pores < cap_um
    {
        (cap_um, limited_by) = (pores, format!("the pores of the {}", sheet.paper.name));
    }
    for layer in layers {
        if layer.cap_um < cap_um {
            (cap_um, limited_by) = (layer.cap_um, layer.words.clone());
        }
    }
    (cap_um, limited_by)
}

impl Cap {
    /// The cap with what was seen under this can. A first coat that bled lowers what its medium bears to a share of that
    /// film. One that held raises it to a factor of that film: the film is what half the places had, the cap what nearly
    /// all stay under. It is never raised past a share of a film that bled, nor past what is known of the medium on this
    /// paper: its highest figure, the ordinary one where it is laid heavily.
    #[must_use]
    pub fn as_borne(mut self, sheet: &Sheet<'_>, sealer: &Sealer, rules: &Rules) -> Self {
        if sealer.can.bears.is_empty() {
            return self;
        }
        let exposed: Vec<_> = sheet.exposed().collect();
        for layer in &mut self.layers {
            let Some(borne) = sealer.can.bears.get(&layer.medium) else { continue };
            let medium = exposed.iter().find(|other| other.place == layer.place).and_then(|other| other.medium());
            let Some(medium) = medium else { continue };
            let before_um = layer.cap_um;
            if let Some(held_um) = borne.held_um {
                let laydown = exposed.iter().find(|other| other.place == layer.place).map(|other| other.laydown);
                let figures = medium.first_coat_um;
                let known_um = if laydown == Some(Laydown::Heavy) { figures.mode() } else { figures.high() };
                let paper = if sheet.paper.absorbing { 1.0 } else { rules.coats.non_absorbing_factor.get() };
                let most_um = (known_um * paper).max(before_um);
                layer.cap_um = (rules.coats.held_cap_factor.get() * held_um).min(most_um).max(before_um);
            }
            if let Some(failed_um) = borne.failed_um {
                layer.cap_um = layer.cap_um.min(rules.coats.after_bleed_share.get() * failed_um);
            }
            if layer.cap_um < before_um {
                layer.words.push_str(", which bled under this can");
            } else if layer.cap_um > before_um {
                layer.words.push_str(", which held under this can");
            }
        }
        (self.cap_um, self.limited_by) = least(&self.layers, self.pores_um, sheet, rules);
        self
    }
}

/// A note on layers whose cover was not stated.
fn unstated_cover(sheet: &Sheet<'_>, rules: &Rules) -> Vec<Finding> {
    let missing: Vec<_> = sheet.exposed().filter(|layer| layer.cover.is_none() && layer.medium().is_some()).collect();
    if missing.is_empty() {
        return Vec::new();
    }
    let names: Vec<&str> = missing.iter().map(|layer| layer.name()).collect();
    let text = format!(
        "How much of the page is covered is not stated for {}, so the first coat is planned as for more than half",
        names.join(", ")
    );
    let grounds = &rules.layers.broad_cover.grounds;
    let note = Finding::on("cover-not-stated", Level::Note, text, grounds)
        .remedy("State `cover` for these layers: a smaller one may allow a wetter first coat")
        .layers(missing.iter().map(|layer| layer.place));
    vec![note]
}
