//! What is in the air and how each part counts.

use std::collections::BTreeMap;

use super::limits::UsedLimits;
use super::release::{CoatAir, Sources};
use super::run::RunAir;
use super::vapour_units::{ppm_per_g_m3, ten_percent_lel_ppm};
use crate::catalog::{AirRules, Catalog, Component, SolventClass, Substance};

/// How a component counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A substance of the catalog.
    Known,
    /// An unknown CAS number.
    Unknown,
    /// What a safety data sheet does not list.
    Undeclared,
    /// Water: in the air, in no index.
    Water,
    /// Solids: mist, in no index.
    Mist,
}

/// One component in the air with everything that turns its grams into fullness of limits.
#[derive(Debug, Clone)]
pub(super) struct Airborne {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) kind: Kind,
    pub(super) released_g: f64,
    pub(super) ppm_per_g_m3: f64,
    pub(super) limits: Option<UsedLimits>,
    /// Lowest lower explosive limit of any source, vol %.
    pub(super) lel_vol_pct: Option<f64>,
    /// What no one may breathe even a minute, ppm.
    pub(super) acute_ppm: Option<f64>,
    /// Whether the mask holds it.
    pub(super) held: bool,
    pub(super) boiling_point_c: Option<f64>,
}

impl Airborne {
    /// Share of the 8-hour limit per g/m³.
    pub(super) fn eight_hour(&self) -> f64 {
        self.limits.as_ref().map_or(0.0, |limits| self.ppm_per_g_m3 / limits.eight_hour_ppm)
    }

    /// Share of the short-term limit per g/m³.
    pub(super) fn short_term(&self) -> f64 {
        self.limits.as_ref().map_or(0.0, |limits| self.ppm_per_g_m3 / limits.short_term_ppm)
    }

    /// How much more of its short-term limit than of its 8-hour limit a concentration fills; 0 without limits.
    pub(super) fn short_over_long(&self) -> f64 {
        self.limits.as_ref().map_or(0.0, |limits| limits.eight_hour_ppm / limits.short_term_ppm)
    }

    /// Share of the explosive limit per g/m³; the shares of a mixture add up (Le Chatelier).
    pub(super) fn explosive(&self) -> f64 {
        self.lel_vol_pct.map_or(0.0, |limit| self.ppm_per_g_m3 / 1e4 / limit)
    }

    /// Share of the 8-hour limit per g/m³ of what the mask holds, before its protection factor.
    pub(super) fn held_eight_hour(&self) -> f64 {
        if self.masked() && self.held { self.eight_hour() } else { 0.0 }
    }

    /// The same of what it does not hold.
    pub(super) fn unheld_eight_hour(&self) -> f64 {
        if self.is_not_held() { self.eight_hour() } else { 0.0 }
    }

    /// Whether it counts in what a mask holds or does not: everything with a limit but the undeclared share, which is
    /// resin and water as far as anyone knows and raises a care at most.
    fn masked(&self) -> bool {
        self.limits.is_some() && self.kind != Kind::Undeclared
    }

    /// Whether it counts as what the mask lets through.
    pub(super) fn is_not_held(&self) -> bool {
        self.masked() && !self.held
    }

    /// mg of mist per g.
    pub(super) fn mist(&self) -> f64 {
        if self.kind == Kind::Mist { 1000.0 } else { 0.0 }
    }
}

/// Everything a run releases.
#[derive(Debug, Clone)]
pub(super) struct Inventory {
    pub(super) items: Vec<Airborne>,
    places: BTreeMap<Component, usize>,
}

impl Inventory {
    /// The inventory of a run.
    pub(super) fn of(run: &RunAir, catalog: &Catalog) -> Self {
        let rules = &catalog.rules.air;
        let mut inventory = Self { items: Vec::new(), places: BTreeMap::new() };
        for release in run.coats.iter().flat_map(|coat| &coat.releases) {
            let place = match inventory.places.get(&release.component) {
                Some(place) => *place,
                None => {
                    inventory.items.push(airborne(&release.component, run, catalog, rules));
                    inventory.places.insert(release.component.clone(), inventory.items.len() - 1);
                    inventory.items.len() - 1
                }
            };
            inventory.items[place].released_g += release.mass_g.max(0.0);
        }
        inventory
    }

    /// What a component counts as.
    pub(super) fn item(&self, component: &Component) -> Option<&Airborne> {
        self.places.get(component).map(|place| &self.items[*place])
    }

    /// The releases of one coat in one currency.
    fn coat_sources(&self, coat: &CoatAir, weight: impl Fn(&Airborne) -> f64) -> Sources {
        let mut sources = Sources::default();
        for release in &coat.releases {
            if let Some(place) = self.places.get(&release.component) {
                sources.add(release, weight(&self.items[*place]));
            }
        }
        sources.close();
        sources
    }

    /// The releases of one coat in the currencies that the times after it need.
    pub(super) fn coat(&self, coat: &CoatAir) -> CoatSources {
        CoatSources {
            full: self.coat_sources(coat, Airborne::eight_hour),
            held: self.coat_sources(coat, Airborne::held_eight_hour),
            unheld: self.coat_sources(coat, Airborne::unheld_eight_hour),
            explosive: self.coat_sources(coat, Airborne::explosive),
        }
    }

    /// The releases of all coats in one currency.
    pub(super) fn sources(&self, coats: &[CoatAir], weight: impl Fn(&Airborne) -> f64) -> Sources {
        let mut sources = Sources::default();
        for coat in coats {
            sources.extend(&self.coat_sources(coat, &weight));
        }
        sources
    }

    /// The releases of one item, in ppm times m³.
    pub(super) fn ppm_sources(&self, coats: &[CoatAir], place: usize) -> Sources {
        let wanted = &self.items[place];
        self.sources(coats, |item| if std::ptr::eq(item, wanted) { item.ppm_per_g_m3 } else { 0.0 })
    }
}

/// The releases of a coat as fullness of limits.
pub(super) struct CoatSources {
    /// Of the 8-hour limits.
    pub(super) full: Sources,
    /// The same of what the mask holds.
    pub(super) held: Sources,
    /// The same of what it does not hold.
    pub(super) unheld: Sources,
    /// Of the explosive limit.
    pub(super) explosive: Sources,
}

fn airborne(component: &Component, run: &RunAir, catalog: &Catalog, rules: &AirRules) -> Airborne {
    match component {
        Component::Substance(id) => match catalog.substances.get(id) {
            Some(substance) => known(substance, run, rules),
            None => careful(id.clone(), id.clone(), Kind::Unknown, run, catalog),
        },
        Component::Unknown { cas } => {
            careful(format!("cas:{cas}"), format!("the unknown substance CAS {cas}"), Kind::Unknown, run, catalog)
        }
        Component::Undeclared => undeclared(run, catalog, rules),
        Component::Solid(_) => Airborne {
            id: "mist".to_owned(),
            name: "mist".to_owned(),
            kind: Kind::Mist,
            released_g: 0.0,
            ppm_per_g_m3: 0.0,
            limits: None,
            lel_vol_pct: None,
            acute_ppm: None,
            held: true,
            boiling_point_c: None,
        },
    }
}

fn known(substance: &Substance, run: &RunAir, rules: &AirRules) -> Airborne {
    let lel = lower_limit(substance);
    // min(IDLH, 10 % of the lowest explosive limit); the rule's share replaces the tenth.
    let explosive = lel.map(|limit| ten_percent_lel_ppm(limit) * 10.0 * rules.idlh_lel_share.get());
    let acute = match (substance.limits.idlh_ppm, explosive) {
        (Some(idlh), Some(explosive)) => Some(idlh.min(explosive)),
        (one, other) => one.or(other),
    };
    let low_boiler = substance.is_propellant() || substance.boiling_point_c <= rules.not_held_boiling_c.get();
    Airborne {
        id: substance.id.clone(),
        name: substance.name.clone(),
        kind: if substance.class == SolventClass::Water { Kind::Water } else { Kind::Known },
        released_g: 0.0,
        ppm_per_g_m3: ppm_per_g_m3(substance.molar_mass_g_mol, run.room.temperature_c, run.room.pressure_pa),
        limits: UsedLimits::of(substance, rules),
        lel_vol_pct: lel,
        acute_ppm: acute,
        held: run.mask().supplies_air() || !low_boiler,
        boiling_point_c: Some(substance.boiling_point_c),
    }
}

/// Lowest lower explosive limit of a substance, vol %.
fn lower_limit(substance: &Substance) -> Option<f64> {
    match (substance.lowest_lel_vol_pct, substance.lel_vol_pct) {
        (Some(lowest), Some(usual)) => Some(lowest.min(usual)),
        (one, other) => one.or(other),
    }
}

/// A stand-in for something unknown: as light as the lightest liquid of the catalog, so that a gram gives the most parts
/// per million; as easily lit by the gram as the worst of them; no credit for a mask.
fn careful(id: String, name: String, kind: Kind, run: &RunAir, catalog: &Catalog) -> Airborne {
    let rules = &catalog.rules.air;
    let liquids = || catalog.substances.values().filter(|one| one.class != SolventClass::Water && !one.is_propellant());
    let lightest = liquids().map(|one| one.molar_mass_g_mol).fold(f64::INFINITY, f64::min);
    let molar_mass = if lightest.is_finite() { lightest } else { 40.0 };
    // The explosive limit by mass, vol % × g/mol, of the worst.
    let by_mass = liquids()
        .filter_map(|one| lower_limit(one).map(|limit| limit * one.molar_mass_g_mol))
        .fold(f64::INFINITY, f64::min);
    let lel = by_mass.is_finite().then_some(by_mass / molar_mass);
    Airborne {
        id,
        name,
        kind,
        released_g: 0.0,
        ppm_per_g_m3: ppm_per_g_m3(molar_mass, run.room.temperature_c, run.room.pressure_pa),
        limits: Some(UsedLimits::unknown(rules)),
        lel_vol_pct: lel,
        acute_ppm: lel.map(|limit| limit * 1e4 * rules.idlh_lel_share.get()),
        held: run.mask().supplies_air(),
        boiling_point_c: None,
    }
}

/// An undeclared share that evaporates fills the limits as the listed substance does that fills them most by the gram. It
/// is no fuel and no poison of a minute: those are guesses that would forbid every water-borne can.
fn undeclared(run: &RunAir, catalog: &Catalog, rules: &AirRules) -> Airborne {
    let worst = run
        .shares
        .iter()
        .filter_map(|part| match &part.component {
            Component::Substance(id) => catalog.substances.get(id),
            _ => None,
        })
        .map(|substance| known(substance, run, rules))
        .filter(|one| one.limits.is_some())
        .max_by(|one, other| one.eight_hour().total_cmp(&other.eight_hour()));
    let (id, name) = ("undeclared".to_owned(), "the undeclared share".to_owned());
    let like = worst.unwrap_or_else(|| careful(id.clone(), name.clone(), Kind::Undeclared, run, catalog));
    Airborne { id, name, kind: Kind::Undeclared, lel_vol_pct: None, acute_ppm: None, boiling_point_c: None, ..like }
}
