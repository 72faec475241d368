//! How many mists and builds a page gets, and between which distances, each with its reason.

use super::cap::Cap;
use crate::catalog::{Figure, Rules, Sealer, Trait};
use crate::estimate::{Basis, Grounds};
use crate::finding::{Finding, Level};
use crate::input::Finish;
use crate::page::Sheet;

/// The kind of a coat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoatKind {
    /// First, far, fast, thin.
    Mist,
    /// Later and closer.
    Build,
}

/// How the sheet lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Position {
    /// Lying, or tilted up to 30°.
    Lying,
    /// Standing.
    Standing,
}

/// Between which distances a coat is sprayed, cm, and which is looked for first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DistanceBand {
    /// Nearest.
    pub near_cm: f64,
    /// Farthest.
    pub far_cm: f64,
    /// Preferred.
    pub usual_cm: f64,
}

impl DistanceBand {
    /// The band cut off at a distance, so that a build is never sprayed from further away than the mist.
    #[must_use]
    pub fn no_further(self, distance_cm: f64) -> Self {
        let far_cm = self.far_cm.min(distance_cm).max(self.near_cm);
        Self { far_cm, usual_cm: self.usual_cm.min(far_cm), ..self }
    }
}

/// The most a build may be.
#[derive(Debug, Clone, PartialEq)]
pub struct BuildLimit {
    /// Wet film, µm, that most samples keep under.
    pub limit_um: f64,
    /// What sets it, in words.
    pub limited_by: String,
}

/// Why the structure is as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// Stable code.
    pub code: &'static str,
    /// One sentence.
    pub text: String,
    /// What it stands on.
    pub grounds: Grounds,
}

/// The structure of a page's coats.
#[derive(Debug, Clone, PartialEq)]
pub struct Structure {
    /// Number of mists.
    pub mists: usize,
    /// Number of builds.
    pub builds: usize,
    /// Distances of the mists.
    pub mist_band: DistanceBand,
    /// Distances of the builds.
    pub build_band: DistanceBand,
    /// The most a build may be.
    pub build_limit: BuildLimit,
    /// How the sheet lies for the builds.
    pub position: Position,
    /// Why.
    pub reasons: Vec<Reason>,
    /// What of the label was applied to the mists.
    pub mist_label: Vec<String>,
    /// What of the label was applied to the builds.
    pub build_label: Vec<String>,
    /// What a person should know.
    pub findings: Vec<Finding>,
}

/// Reasons as they gather.
struct Reasons(Vec<Reason>);

impl Reasons {
    fn add(&mut self, code: &'static str, text: impl Into<String>, figure: &Figure) {
        self.0.push(Reason { code, text: text.into(), grounds: figure.grounds.clone() });
    }
}

/// The structure of a page's coats for a sealer and a cap.
pub fn structure(sheet: &Sheet<'_>, sealer: &Sealer, cap: &Cap, rules: &Rules) -> Structure {
    let mut reasons = Reasons(Vec::new());
    let mists = mists(cap, rules, &mut reasons);
    let builds = builds(sheet, sealer, rules, &mut reasons);
    let plain = build_limit(sheet, rules, Position::Lying);
    let build_limit = plain.clone().heeding(sheet, sealer, rules);
    let (mist_band, build_band) = bands(sheet, cap, build_limit.limit_um < plain.limit_um, rules, &mut reasons);
    let mut structure = Structure {
        mists,
        builds,
        mist_band,
        build_band,
        build_limit,
        position: Position::Lying,
        reasons: Vec::new(),
        mist_label: Vec::new(),
        build_label: Vec::new(),
        findings: Vec::new(),
    };
    if let Some((low_m, high_m)) = sealer.label.distance_m {
        let label = label_bands(low_m * 100.0, high_m * 100.0, mist_band, build_band);
        (structure.mist_band, structure.build_band) = (label.mist, label.build);
        let words = format!("distance {}", label_words(low_m, high_m));
        if label.moved_builds {
            structure.build_label.push(words.clone());
        }
        if label.moved_mist {
            structure.mist_label.push(words);
        }
        if high_m * 100.0 < structure.mist_band.near_cm {
            structure.findings.push(nearer_label(low_m, high_m, &structure, rules));
        }
    }
    structure.reasons = reasons.0;
    structure
}

/// One mist where the cap allows a whole one; dusting coats that add up to one where it does not.
fn mists(cap: &Cap, rules: &Rules, reasons: &mut Reasons) -> usize {
    let coats = &rules.coats;
    if cap.cap_um >= coats.one_mist_cap_um.get() {
        reasons.add("one-mist", "One mist coat comes first, so thin that nothing can move", &coats.one_mist_cap_um);
        return 1;
    }
    let count = libm::ceil(coats.dusting_total_um.get() / cap.cap_um).clamp(1.0, coats.dusting_coats_max.get());
    let text = format!(
        "So little may land at once ({:.1} µm) that the first coat is split into {count:.0} dusting coats",
        cap.cap_um
    );
    reasons.add("dusting-coats", text, &coats.dusting_total_um);
    count as usize
}

/// The finish the sealer is asked for: its own, or the page's where it has none.
fn gloss_wanted(sheet: &Sheet<'_>, sealer: &Sealer) -> bool {
    sealer.finish == Some(Finish::Gloss) && sheet.finish.is_none_or(|finish| finish == Finish::Gloss)
}

fn builds(sheet: &Sheet<'_>, sealer: &Sealer, rules: &Rules, reasons: &mut Reasons) -> usize {
    let coats = &rules.coats;
    let has = |fact: Trait| sheet.exposed().any(|layer| layer.medium().is_some_and(|medium| medium.is(fact)));
    if has(Trait::Friable) {
        let text = "Loose pigment is only misted: a wet coat would float it";
        reasons.0.push(Reason { code: "friable-mists-only", text: text.into(), grounds: practice() });
        return 0;
    }
    let matte = sealer.finish == Some(Finish::Matte);
    if sheet.paper.dark && (matte || has(Trait::Metallic)) {
        let text = "On dark stock with metal, shimmer or a matte sealer one build is enough: every further one hazes";
        reasons.0.push(Reason { code: "dark-one-build", text: text.into(), grounds: practice() });
        return 1;
    }
    if gloss_wanted(sheet, sealer) && sheet.paper.tooth_um.mode() <= coats.smooth_tooth_um.get() {
        reasons.add("gloss-on-smooth", "Gloss on smooth stock takes a third build", &coats.builds_gloss_smooth);
        return coats.builds_gloss_smooth.get() as usize;
    }
    reasons.add("usual-builds", "Two more coats follow the mist", &coats.builds);
    coats.builds.get() as usize
}

fn practice() -> Grounds {
    Grounds::plain(Basis::Practice)
}

fn bands(
    sheet: &Sheet<'_>,
    cap: &Cap,
    builds_bled: bool,
    rules: &Rules,
    reasons: &mut Reasons,
) -> (DistanceBand, DistanceBand) {
    let coats = &rules.coats;
    let near = coats.mist_distance_min_cm.get();
    let mist = DistanceBand { near_cm: near, far_cm: coats.mist_distance_max_cm.get(), usual_cm: near };
    let usual = f64::midpoint(coats.build_distance_min_cm.get(), coats.build_distance_max_cm.get());
    let mut build = DistanceBand {
        near_cm: coats.build_distance_min_cm.get(),
        far_cm: coats.build_distance_max_cm.get(),
        usual_cm: usual,
    };
    let no_nearer = |distance_cm: f64, far_cm: f64, band: &mut DistanceBand| {
        if distance_cm > band.near_cm {
            band.near_cm = distance_cm;
            band.far_cm = band.far_cm.max(far_cm);
            band.usual_cm = band.usual_cm.max(distance_cm);
        }
    };
    let careful = coats.careful_build_distance_cm.get();
    if sheet.paper.strike_through_prone {
        let text = format!("The {} lets liquid through, so builds stay {careful:.0} cm away", sheet.paper.name);
        reasons.add("strike-through-distance", text, &coats.careful_build_distance_cm);
        no_nearer(careful, near, &mut build);
    }
    if cap.cap_um < coats.careful_cap_um.get() {
        let text = format!("What lies on the page bears so little that builds stay {careful:.0} cm away");
        reasons.add("low-cap-distance", text, &coats.careful_build_distance_cm);
        no_nearer(careful, near, &mut build);
    }
    if builds_bled {
        let text = format!("A build bled under this can before, so builds stay {careful:.0} cm away");
        reasons.add("bled-build-distance", text, &coats.careful_build_distance_cm);
        no_nearer(careful, near, &mut build);
    }
    let glitter = sheet.exposed().any(|layer| layer.medium().is_some_and(|medium| medium.is(Trait::Glitter)));
    if glitter {
        let distance = coats.glitter_distance_cm.get();
        let text = format!("Glitter is sprayed from no nearer than {distance:.0} cm, or it blows about");
        reasons.add("glitter-distance", text, &coats.glitter_distance_cm);
        no_nearer(distance, distance, &mut build);
    }
    (mist, build)
}

/// What a label makes of the bands.
struct LabelBands {
    mist: DistanceBand,
    build: DistanceBand,
    moved_mist: bool,
    moved_builds: bool,
}

/// A label that asks for more distance moves the builds out to it, and the mist with them; one that allows less never
/// brings either nearer. Distances are whole centimetres, rounded outwards.
fn label_bands(low_cm: f64, high_cm: f64, mist: DistanceBand, build: DistanceBand) -> LabelBands {
    let (low, high) = (libm::ceil(low_cm - 1e-9), libm::floor(high_cm + 1e-9));
    let mut out = LabelBands { mist, build, moved_mist: false, moved_builds: false };
    if low > build.near_cm {
        out.build.near_cm = low;
        out.build.far_cm = build.far_cm.max(high.max(low));
        out.moved_builds = true;
    }
    if high >= out.build.near_cm && high < out.build.far_cm {
        out.build.far_cm = high;
        out.moved_builds = true;
    }
    if low > mist.near_cm {
        out.mist = DistanceBand { near_cm: low, far_cm: mist.far_cm.max(high.max(low)), usual_cm: low };
        out.moved_mist = true;
    }
    out.build.usual_cm = out.build.usual_cm.clamp(out.build.near_cm, out.build.far_cm);
    out
}

/// A distance range in words: `15 to 20 cm`.
fn label_words(low_m: f64, high_m: f64) -> String {
    format!("{:.0} to {:.0} cm", low_m * 100.0, high_m * 100.0)
}

fn nearer_label(low_m: f64, high_m: f64, structure: &Structure, rules: &Rules) -> Finding {
    let text = format!(
        "The label says {}; the first coat on a loaded page still comes from {:.0} cm or more",
        label_words(low_m, high_m),
        structure.mist_band.near_cm
    );
    let note = |text: String| {
        Finding::on("label-nearer-than-mist", Level::Note, text, &rules.coats.mist_distance_min_cm.grounds)
    };
    let build_cm = structure.build_band.near_cm;
    if structure.builds == 0 {
        note(text).remedy("Keep to the distance of the plan: no later coat follows")
    } else if high_m * 100.0 + 1e-9 < build_cm {
        note(format!("{text}, and the later ones from {build_cm:.0} cm or more"))
            .remedy("Keep to the distances of the plan for every coat")
    } else {
        note(text).remedy("Follow the label's distance for the later coats only")
    }
}

/// The most a build may be: the pores' share on paper that takes liquid up, or what runs.
fn build_limit(sheet: &Sheet<'_>, rules: &Rules, position: Position) -> BuildLimit {
    let coats = &rules.coats;
    let (runs, words) = match position {
        Position::Lying => (coats.build_lying_um.get(), "what stays put on a lying sheet"),
        Position::Standing => (coats.build_standing_um.get(), "what does not run on a standing sheet"),
    };
    let pores = coats.build_capacity_share.get() * sheet.paper.capacity_at(sheet.grammage_g_m2).mode();
    if sheet.paper.absorbing && pores < runs {
        return BuildLimit { limit_um: pores, limited_by: format!("the pores of the {}", sheet.paper.name) };
    }
    BuildLimit { limit_um: runs, limited_by: words.to_owned() }
}

impl BuildLimit {
    /// The limit with what bled under a later coat of this can: a share of that film.
    fn heeding(self, sheet: &Sheet<'_>, sealer: &Sealer, rules: &Rules) -> Self {
        let bled = sheet.exposed().filter_map(|layer| {
            let medium = layer.medium()?;
            Some((sealer.can.bears.get(&medium.id)?.failed_over_mist_um?, medium))
        });
        match bled.min_by(|one, other| one.0.total_cmp(&other.0)) {
            Some((film_um, medium)) if rules.coats.after_bleed_share.get() * film_um < self.limit_um => Self {
                limit_um: rules.coats.after_bleed_share.get() * film_um,
                limited_by: format!("{}, which bled under a later coat of this can", medium.name),
            },
            _ => self,
        }
    }
}

/// The finish the page will get where it cannot get the one it asks for, as a finding.
pub(super) fn finish_reached(
    sheet: &Sheet<'_>,
    sealer: &Sealer,
    builds: usize,
    dry_total_um: f64,
    rules: &Rules,
) -> Option<Finding> {
    let wanted = sheet.finish.or(sealer.finish)?;
    let coats = &rules.coats;
    let tooth = sheet.paper.tooth_um.mode();
    let (reachable, why) = if builds == 0 {
        (Finish::Matte, "mist coats alone do not level".to_owned())
    } else if dry_total_um < coats.gloss_tooth_share.get() * tooth {
        let by_tooth = if dry_total_um < coats.satin_tooth_share.get() * tooth { Finish::Matte } else { Finish::Satin };
        (by_tooth, format!("{dry_total_um:.0} µm of dry film does not fill a tooth of {tooth:.0} µm"))
    } else {
        return None;
    };
    // What the sealer itself does not give is no fault of the page.
    let asked = if builds == 0 { wanted } else { wanted.min(sealer.finish?) };
    if reachable >= asked {
        return None;
    }
    let (got, figure) = (reachable, &coats.gloss_tooth_share);
    let text = format!("This page cannot get the {} finish: {why}; it will look {}", wanted.word(), got.word());
    let finding = Finding::on("finish-out-of-reach", Level::Care, text, &figure.grounds);
    Some(finding.remedy(format!("Plan it as {}, or choose smoother stock next time", got.word())))
}
