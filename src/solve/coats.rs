//! The coats of one page: structure, settings, films, and where everything that leaves the can goes.

use super::cap::{Cap, first_coat_cap};
use super::settings::{Chosen, choose_build, choose_mist};
use super::structure::{CoatKind, Position, Structure, finish_reached, structure};
use crate::catalog::{Catalog, Rules, Sealer};
use crate::estimate::{Basis, Quantiles};
use crate::finding::{Finding, Level};
use crate::page::Sheet;
use crate::spray::{Deposit, FilmSample, Pattern, Samples, Setting, Spray, deposit, pattern_width_m, raster_variation};
use crate::vapour::MoistAir;

/// Quasi-random points a film is sampled with.
pub const SAMPLES: usize = 1024;

/// One planned coat.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedCoat<'c> {
    /// From 1.
    pub number: usize,
    /// Mist or build.
    pub kind: CoatKind,
    /// How it is sprayed: exactly the numbers the rest was computed with.
    pub setting: Setting,
    /// The passes.
    pub pattern: Pattern,
    /// Visible width of the pattern, cm.
    pub pattern_width_cm: f64,
    /// How the sheet lies.
    pub position: Position,
    /// Wet film at a random place, µm.
    pub wet_um: Quantiles,
    /// Dry film at a random place, µm.
    pub dry_um: Quantiles,
    /// The most this coat may be, µm wet.
    pub cap_um: f64,
    /// What sets it.
    pub limited_by: String,
    /// Share of samples at or under it, per cent.
    pub under_cap_pct: f64,
    /// Evenness of the passes: coefficient of variation, per cent.
    pub ripple_pct: f64,
    /// Share of the solids arriving dry, per cent.
    pub dry_spray_pct: f64,
    /// Most likely discharge at this temperature, g/s.
    pub discharge_g_s: f64,
    /// What lands and where the rest goes, at the most likely.
    pub deposit: Deposit<'c>,
    /// Dry film of the earlier coats at the most likely, µm.
    pub below_dry_um: f64,
    /// What of the label was applied.
    pub label_applied: Vec<String>,
}

impl PlannedCoat<'_> {
    /// Out of the can, g.
    pub fn grams(&self) -> f64 {
        self.deposit.balance.left_can_g
    }
}

/// The coats of one page.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatPlan<'c> {
    /// The cap of the first coat.
    pub cap: Cap,
    /// How many coats of which kind, and why.
    pub structure: Structure,
    /// The coats in order: mists, then builds.
    pub coats: Vec<PlannedCoat<'c>>,
    /// Dry film in all at a random place, µm.
    pub dry_total_um: Quantiles,
    /// Out of the can in all, g.
    pub total_g: f64,
    /// What a person should know.
    pub findings: Vec<Finding>,
}

/// Plans the coats of a page with a sealer in the air at the bench. The same seed gives the same plan.
pub fn plan_coats<'c>(
    sheet: &Sheet<'_>,
    sealer: &'c Sealer,
    air: &MoistAir,
    catalog: &'c Catalog,
    seed: u64,
) -> CoatPlan<'c> {
    let rules = &catalog.rules;
    let cap = first_coat_cap(sheet, rules).as_borne(sheet, sealer, rules);
    let structure = structure(sheet, sealer, &cap, rules);
    let spray = Spray::new(sealer, air, catalog);
    let samples = Samples::new(&spray, SAMPLES, seed);
    let mist = choose_mist(&spray, &samples, cap.cap_um, &structure.mist_band, rules);
    let build = (structure.builds > 0).then(|| {
        let band = structure.build_band.no_further(mist.setting.distance_cm);
        choose_build(&spray, &samples, &structure.build_limit, &band, mist.setting.speed_cm_s, rules)
    });
    let table = Table { sheet, spray: &spray, rules, cap: &cap, structure: &structure };
    let mut coats = Vec::new();
    let mut dry_total = vec![0.0; samples.len()];
    let of_each = [(CoatKind::Mist, Some(&mist), structure.mists), (CoatKind::Build, build.as_ref(), structure.builds)];
    for (kind, chosen, count) in of_each {
        let Some(chosen) = chosen else { continue };
        let film = samples.film(&chosen.field, &chosen.setting, 0);
        for _ in 0..count {
            // The hand of every coat is its own; the figures of one coat are those its setting was chosen with.
            let place = coats.len();
            samples.add_dry(&chosen.field, &chosen.setting, place, &mut dry_total);
            let below_dry_um = coats.iter().map(|coat: &PlannedCoat<'_>| coat.deposit.landed.dry_um()).sum();
            coats.push(PlannedCoat { below_dry_um, ..table.coat(kind, chosen.setting, &film, place) });
        }
    }
    let dry_total_um = Quantiles::of(&mut dry_total);
    let mut findings = cap.findings.clone();
    findings.extend(structure.findings.iter().cloned());
    findings.extend(no_gloss_yet(&coats));
    findings.extend(finish_reached(sheet, sealer, structure.builds, dry_total_um.p50, rules));
    findings.extend(over_cap(&mist, &coats, rules));
    findings.extend(over_limit(build.as_ref(), &coats, rules));
    findings.extend(dry_spray(&coats, rules));
    let total_g = coats.iter().map(PlannedCoat::grams).sum();
    CoatPlan { cap, structure, coats, dry_total_um, total_g, findings }
}

/// Share of a fresh sample, with a seed of its own, that a setting keeps at or under a film (µm).
pub fn fresh_share_under(
    sealer: &Sealer,
    air: &MoistAir,
    catalog: &Catalog,
    setting: &Setting,
    limit_um: f64,
    seed: u64,
) -> f64 {
    let spray = Spray::new(sealer, air, catalog);
    let samples = Samples::new(&spray, SAMPLES, seed);
    samples.film(&samples.at(setting.distance_cm), setting, 0).share_under(limit_um)
}

/// What every row of the coat table is computed from.
struct Table<'t, 'c> {
    sheet: &'t Sheet<'t>,
    spray: &'t Spray<'c>,
    rules: &'t Rules,
    cap: &'t Cap,
    structure: &'t Structure,
}

impl<'c> Table<'_, 'c> {
    fn coat(&self, kind: CoatKind, setting: Setting, film: &FilmSample, place: usize) -> PlannedCoat<'c> {
        let plume = self.spray.at_mode(setting.distance_cm / 100.0);
        let sigma_cm = plume.sigma_m * 100.0;
        let pattern = Pattern::new(
            self.sheet.width_m * 100.0,
            self.sheet.height_m * 100.0,
            &setting,
            sigma_cm,
            self.rules.coats.overrun_cm.get(),
            place,
        );
        let limit = &self.structure.build_limit;
        let (cap_um, limited_by, label) = match kind {
            CoatKind::Mist => (self.cap.cap_um, &self.cap.limited_by, &self.structure.mist_label),
            CoatKind::Build => (limit.limit_um, &limit.limited_by, &self.structure.build_label),
        };
        PlannedCoat {
            number: place + 1,
            kind,
            setting,
            pattern_width_cm: pattern_width_m(plume.sigma_m) * 100.0,
            position: self.structure.position,
            wet_um: film.wet_quantiles(),
            dry_um: film.dry_quantiles(),
            cap_um,
            limited_by: limited_by.clone(),
            under_cap_pct: 100.0 * film.share_under(cap_um),
            ripple_pct: 100.0 * raster_variation(setting.step_cm / sigma_cm),
            dry_spray_pct: 100.0 * plume.dry_share,
            discharge_g_s: plume.discharge_g_s,
            deposit: deposit(self.spray, &plume, &setting, &pattern),
            pattern,
            below_dry_um: 0.0,
            label_applied: label.clone(),
        }
    }
}

/// What the first coat is not for.
fn no_gloss_yet(coats: &[PlannedCoat<'_>]) -> Option<Finding> {
    let mist = coats.iter().find(|coat| coat.kind == CoatKind::Mist)?;
    let text = format!(
        "The first coat gives no gloss yet: {:.1} µm of dry resin holds the layers and cannot level",
        mist.dry_um.p50
    );
    let finding = Finding::new("mist-gives-no-gloss", Level::Note, text, Basis::Practice);
    Some(finding.remedy("Leave it thin; the finish comes with the later coats"))
}

/// A first coat that even the gentlest setting does not keep under its cap.
fn over_cap(mist: &Chosen, coats: &[PlannedCoat<'_>], rules: &Rules) -> Option<Finding> {
    if mist.keeps {
        return None;
    }
    let coat = coats.iter().find(|coat| coat.kind == CoatKind::Mist)?;
    let text = format!(
        "Even from {:.0} cm, at {:.0} cm/s, only {:.0} % of likely first coats stay under {:.1} µm",
        coat.setting.distance_cm, coat.setting.speed_cm_s, coat.under_cap_pct, coat.cap_um
    );
    let finding = Finding::on("first-coat-over-cap", Level::Care, text, &rules.coats.under_cap_aim.grounds);
    Some(finding.remedy("Try it on a scrap, keep the hand quick, and weigh the can to learn its own rate"))
}

/// Builds that no setting keeps under their limit.
fn over_limit(build: Option<&Chosen>, coats: &[PlannedCoat<'_>], rules: &Rules) -> Option<Finding> {
    if build?.keeps {
        return None;
    }
    let coat = coats.iter().find(|coat| coat.kind == CoatKind::Build)?;
    let text = format!(
        "Even the thinnest build is likely {:.0} µm wet; {:.0} % of builds stay under {:.0} µm",
        coat.wet_um.p50, coat.under_cap_pct, coat.cap_um
    );
    let finding = Finding::on("build-over-limit", Level::Care, text, &rules.coats.build_under_limit.grounds);
    Some(finding.remedy("Spray the builds as mists instead, or take a sealer that comes out slower"))
}

/// Droplets that arrive dry: care on builds, a note on mists.
fn dry_spray(coats: &[PlannedCoat<'_>], rules: &Rules) -> Vec<Finding> {
    let limit = &rules.conditions.dry_spray_care;
    let over = |kind: CoatKind| {
        coats
            .iter()
            .filter(move |coat| coat.kind == kind)
            .map(|coat| coat.dry_spray_pct)
            .fold(None, |most: Option<f64>, pct| Some(most.map_or(pct, |most| most.max(pct))))
            .filter(|pct| *pct > 100.0 * limit.get())
    };
    let mut findings = Vec::new();
    if let Some(pct) = over(CoatKind::Build) {
        let text = format!("{pct:.0} % of the solids of a build arrive dry: the film turns dusty and rough");
        let finding = Finding::on("dry-spray", Level::Care, text, &limit.grounds);
        findings.push(finding.remedy("Come nearer, spray in cooler air, or take a slower-drying sealer"));
    }
    if let Some(pct) = over(CoatKind::Mist) {
        let text =
            format!("{pct:.0} % of the solids of a mist arrive dry: it feels a little dusty until the next coat");
        let finding = Finding::on("dry-mist", Level::Note, text, &limit.grounds);
        findings.push(finding.remedy("Do not rub the page between coats; loose dust comes off with a soft brush"));
    }
    findings
}
