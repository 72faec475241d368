//! How full the limits get: peaks, means and sums at the face and in the room.

use super::inventory::{Airborne, CoatSources, Inventory, Kind};
use super::release::Sources;
use super::run::RunAir;
use super::timeline::Timeline;
use super::zone::{Place, Zones};
use crate::catalog::{AirRules, Catalog};

/// A minute, s.
const MINUTE_S: f64 = 60.0;
/// The window of a short-term limit, s.
const SHORT_TERM_S: f64 = 900.0;
/// The window of an 8-hour limit, s.
const EIGHT_HOURS_S: f64 = 28_800.0;

/// How far a bound is mistrusted for rounding.
const ROUNDING: f64 = 1e-9;

/// What the limits compare with, for the low end of the air flow.
#[derive(Debug, Clone, PartialEq)]
pub struct Exposure {
    /// Σ 15-minute mean over 8-hour limit, at the face.
    pub index_15min: f64,
    /// Σ 15-minute mean over short-term limit, at the face.
    pub index_short_term: f64,
    /// Σ 8-hour mean over 8-hour limit, in the room.
    pub index_8h: f64,
    /// `index_15min` of what the mask does not hold.
    pub index_unmasked_only: f64,
    /// `index_15min` of what the mask holds, behind the mask.
    pub index_masked: f64,
    /// Highest share of the explosive limit at the face; the highest moment, so never below a 1-second mean.
    pub near_explosive: f64,
    /// Highest share of the explosive limit in the room.
    pub room_explosive: f64,
    /// Substances whose 1-minute mean at the face reaches what no one may breathe: name, ppm, threshold ppm.
    pub acute: Vec<(String, f64, f64)>,
    /// Highest 8-hour mean of mist at the face, mg/m³; nothing settles in this figure.
    pub mist_mg_m3: f64,
}

/// A run with its zones and the timelines of its sums.
pub(super) struct Lines<'a> {
    pub(super) run: &'a RunAir,
    pub(super) rules: &'a AirRules,
    pub(super) zones: Zones,
    pub(super) inventory: Inventory,
    /// What each coat releases.
    pub(super) coats: Vec<CoatSources>,
    /// Fullness of the 8-hour limits.
    pub(super) full: Timeline,
    /// The same of what the mask holds.
    pub(super) held: Timeline,
    /// The same of what it does not hold.
    pub(super) unheld: Timeline,
    /// Share of the explosive limit.
    pub(super) explosive: Timeline,
}

impl<'a> Lines<'a> {
    pub(super) fn of(run: &'a RunAir, catalog: &'a Catalog) -> Self {
        let rules = &catalog.rules.air;
        let zones = run.room.zones(rules);
        let inventory = Inventory::of(run, catalog);
        let coats: Vec<CoatSources> = run.coats.iter().map(|coat| inventory.coat(coat)).collect();
        let line = |pick: fn(&CoatSources) -> &Sources| {
            let mut all = Sources::default();
            for coat in &coats {
                all.extend(pick(coat));
            }
            Timeline::new(zones, &all)
        };
        Self {
            full: line(|coat| &coat.full),
            held: line(|coat| &coat.held),
            unheld: line(|coat| &coat.unheld),
            explosive: line(|coat| &coat.explosive),
            coats,
            run,
            rules,
            zones,
            inventory,
        }
    }

    /// A timeline of some of the sources.
    pub(super) fn line(&self, sources: &Sources) -> Timeline {
        Timeline::new(self.zones, sources)
    }

    /// How far ahead to look for the highest values, s: a day after the last change.
    pub(super) fn horizon_s(&self) -> f64 {
        let changes = [&self.full, &self.explosive].map(Timeline::last_change_s);
        changes.into_iter().fold(0.0, f64::max) + self.rules.longest_wait_h.get() * 3600.0
    }

    /// 15-minute mean at the face.
    pub(super) fn short_mean(&self, line: &Timeline) -> f64 {
        line.highest_mean(Place::NearField, SHORT_TERM_S, self.horizon_s())
    }

    /// 8-hour mean in the room.
    pub(super) fn long_mean(&self, line: &Timeline) -> f64 {
        line.highest_mean(Place::Room, EIGHT_HOURS_S, self.horizon_s())
    }

    /// Everything the limits compare with.
    pub(super) fn exposure(&self) -> Exposure {
        let horizon = self.horizon_s();
        let short = self.line(&self.inventory.sources(&self.run.coats, Airborne::short_term));
        let mist = self.line(&self.inventory.sources(&self.run.coats, Airborne::mist));
        Exposure {
            index_15min: self.short_mean(&self.full),
            index_short_term: self.short_mean(&short),
            index_8h: self.long_mean(&self.full),
            index_unmasked_only: self.short_mean(&self.unheld),
            index_masked: self.short_mean(&self.held) / self.run.mask().protection_factor(),
            near_explosive: self.explosive.peak(Place::NearField, horizon),
            room_explosive: self.explosive.peak(Place::Room, horizon),
            acute: self.acute(horizon),
            mist_mg_m3: mist.highest_mean(Place::NearField, EIGHT_HOURS_S, horizon),
        }
    }

    /// The same, exact only where it decides: a figure that cannot reach the least threshold it is held against is given
    /// as what it cannot be above. Its level is that of [`Self::exposure`], and it costs a fraction.
    pub(super) fn deciding_exposure(&self) -> Exposure {
        let (rules, horizon) = (self.rules, self.horizon_s());
        let factor = self.run.mask().protection_factor();
        let exact_from = |threshold: f64, at_most: f64, exact: &dyn Fn() -> f64| {
            if at_most * (1.0 + ROUNDING) < threshold { at_most } else { exact() }
        };
        let near = |line: &Timeline| line.mean_at_most(Place::NearField, SHORT_TERM_S);
        let care = rules.index_care.get();
        let index_15min = exact_from(care, near(&self.full), &|| self.short_mean(&self.full));
        // No short-term limit of the catalog is below the limit over 8 hours, but one of a user's might be.
        let steepest = self.inventory.items.iter().map(Airborne::short_over_long).fold(0.0, f64::max);
        let short = || self.line(&self.inventory.sources(&self.run.coats, Airborne::short_term));
        // What a mask holds and what it does not are parts of the whole.
        let part = |line: &Timeline| near(line).min(index_15min);
        let mist = self.line(&self.inventory.sources(&self.run.coats, Airborne::mist));
        Exposure {
            index_15min,
            index_short_term: exact_from(care, steepest * index_15min, &|| self.short_mean(&short())),
            index_8h: exact_from(care, self.full.mean_at_most(Place::Room, EIGHT_HOURS_S), &|| {
                self.long_mean(&self.full)
            }),
            index_unmasked_only: exact_from(care, part(&self.unheld), &|| self.short_mean(&self.unheld)),
            index_masked: exact_from(rules.masked_hold.get(), part(&self.held) / factor, &|| {
                self.short_mean(&self.held) / factor
            }),
            near_explosive: self.explosive.peak(Place::NearField, horizon),
            room_explosive: self.explosive.peak(Place::Room, horizon),
            acute: self.acute(horizon),
            mist_mg_m3: exact_from(rules.mist_mg_m3.get(), mist.mean_at_most(Place::NearField, EIGHT_HOURS_S), &|| {
                mist.highest_mean(Place::NearField, EIGHT_HOURS_S, horizon)
            }),
        }
    }

    /// Substances too strong for even a minute.
    fn acute(&self, horizon: f64) -> Vec<(String, f64, f64)> {
        let mut found = Vec::new();
        let fullest = self.full.peak(Place::NearField, horizon);
        for (place, item) in self.inventory.items.iter().enumerate() {
            let Some(threshold) = item.acute_ppm.filter(|_| item.kind != Kind::Water) else { continue };
            // What fills the limits is a sum: no part of it is above the whole.
            let most = item.limits.as_ref().map_or(f64::INFINITY, |limits| fullest * limits.eight_hour_ppm);
            if most * (1.0 + ROUNDING) < threshold {
                continue;
            }
            let line = self.line(&self.inventory.ppm_sources(&self.run.coats, place));
            // A minute's mean is never above the highest moment, which is quicker to find.
            if line.peak(Place::NearField, horizon) < threshold {
                continue;
            }
            let mean = line.highest_mean(Place::NearField, MINUTE_S, horizon);
            if mean >= threshold {
                found.push((item.name.clone(), mean, threshold));
            }
        }
        found
    }
}
