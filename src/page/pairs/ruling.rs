//! The verdict of one pair: the table, and the rulings the table has no row for.

use std::borrow::Cow;

use crate::catalog::{Catalog, Family, Medium, PairRow, PairTable, PairVerdict, Sealer, Trait};
use crate::estimate::{Basis, Grounds};
use crate::page::{Laid, Layer};

/// A ruling that stands in for a row of the table.
#[derive(Debug)]
pub(super) struct FixedRow {
    verdict: PairVerdict,
    effect: &'static str,
    why: &'static str,
    basis: Basis,
}

const fn fixed(verdict: PairVerdict, effect: &'static str, why: &'static str, basis: Basis) -> FixedRow {
    FixedRow { verdict, effect, why, basis }
}

/// Anything over masking fluid.
static OVER_MASKING: FixedRow = fixed(
    PairVerdict::Avoid,
    "comes off with the masking fluid, which has to be taken off first",
    "rubber latex never takes a layer; what lies on it tears away with it",
    Basis::Practice,
);
/// Masking fluid over something else.
static MASKING_OVER: FixedRow = fixed(
    PairVerdict::Care,
    "may lift or tear what is under it when it is rubbed off",
    "rubber latex grips loose and soft layers",
    Basis::Practice,
);
static ACRYLIC_ON_SEALER: FixedRow =
    fixed(PairVerdict::Good, "holds on the dry sealer", "brush acrylic bridges and keys", Basis::Practice);
static WATER_ON_SEALER: FixedRow = fixed(
    PairVerdict::Avoid,
    "beads and dries patchy or not at all",
    "a full sealer closes the tooth and sheds water",
    Basis::Practice,
);
static PENCIL_ON_SEALER: FixedRow =
    fixed(PairVerdict::Avoid, "skids and does not take", "a full sealer fills the tooth", Basis::Practice);
static OTHER_ON_SEALER: FixedRow = fixed(
    PairVerdict::Care,
    "may not hold, or may soften the sealer",
    "sealing is meant to be the very last step: the tooth is closed",
    Basis::Practice,
);
static SEALER_ON_SEALER: FixedRow = fixed(
    PairVerdict::Care,
    "may wrinkle or soften the coat below if that is not hard through",
    "the liquid of the new coat enters the old one",
    Basis::Practice,
);
static HAIR_SPRAY: FixedRow = fixed(
    PairVerdict::Avoid,
    "stays tacky, yellows and lets markers bleed",
    "hair spray is alcohol with a resin that takes up damp; it is no sealer",
    Basis::Practice,
);
static DAMMAR: FixedRow = fixed(
    PairVerdict::Care,
    "yellows and cannot be taken off paper again",
    "a natural resin browns with age and soaks into paper",
    Basis::Practice,
);
static WATER_ON_SOLUBLE: FixedRow = fixed(
    PairVerdict::Avoid,
    "dissolves the colour and lets it run",
    "the water of this sealer stands on a colour that dissolves in water",
    Basis::Practice,
);
static UNKNOWN: FixedRow = fixed(
    PairVerdict::Care,
    "is not known: try it on a scrap of the same paper first",
    "the pair table has no row for these two",
    Basis::Choice,
);

/// Where a ruling comes from.
#[derive(Debug, Clone, Copy)]
enum Ground<'c> {
    Row(&'c PairRow),
    Fixed(&'static FixedRow),
}

impl Ground<'_> {
    fn verdict(self) -> PairVerdict {
        match self {
            Self::Row(row) => row.verdict,
            Self::Fixed(row) => row.verdict,
        }
    }
}

/// Why a ruling differs from its row by one step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Shimmer,
    PigmentInkjet,
}

/// The ruling on one pair.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ruling<'c> {
    ground: Ground<'c>,
    step: Option<Step>,
    /// What the lower medium is judged by, if it is more sensitive to alcohol and ketone-ester sprays than that.
    outdone: Option<&'c Medium>,
}

/// Judges `upper` over `lower`, whether they meet or not and whenever they were laid.
pub(super) fn rule<'c>(lower: &Layer<'c>, upper: &Layer<'c>, catalog: &'c Catalog) -> Ruling<'c> {
    let ground = ground(lower, upper, catalog);
    let sealed = matches!(upper.what, Laid::Sealer(_));
    Ruling {
        ground,
        step: step(lower, upper),
        outdone: lower.medium().filter(|_| sealed).and_then(|medium| outdone_by(medium, catalog)),
    }
}

fn ground<'c>(lower: &Layer<'c>, upper: &Layer<'c>, catalog: &'c Catalog) -> Ground<'c> {
    match (lower.what, upper.what) {
        (Laid::Medium(below, _), _) if below.is(Trait::RemoveFirst) => Ground::Fixed(&OVER_MASKING),
        (_, Laid::Medium(above, _)) if above.is(Trait::RemoveFirst) => Ground::Fixed(&MASKING_OVER),
        (_, Laid::Sealer(above)) if above.family == Family::HairSpray => Ground::Fixed(&HAIR_SPRAY),
        (Laid::Medium(below, _), Laid::Medium(above, _)) => row(catalog, &below.group, &above.group),
        (Laid::Medium(below, _), Laid::Sealer(above)) => sealer_over(below, above, catalog),
        (Laid::Sealer(below), Laid::Medium(above, _)) => over_sealer(below, above, catalog),
        (Laid::Sealer(below), Laid::Sealer(above)) => {
            let ground = if below.closes_tooth {
                Ground::Fixed(&SEALER_ON_SEALER)
            } else {
                row(catalog, WORKABLE, PairTable::SEALER)
            };
            at_least(ground, above)
        }
    }
}

/// The group under which a fixative that keeps the tooth open is judged as a lower layer.
const WORKABLE: &str = "workable-fixative";

fn row<'c>(catalog: &'c Catalog, lower: &str, upper: &str) -> Ground<'c> {
    catalog.pairs.row(lower, upper).map_or(Ground::Fixed(&UNKNOWN), Ground::Row)
}

fn sealer_over<'c>(below: &Medium, above: &Sealer, catalog: &'c Catalog) -> Ground<'c> {
    if carries_water(above) && below.is(Trait::WaterSoluble) {
        return Ground::Fixed(&WATER_ON_SOLUBLE);
    }
    at_least(row(catalog, &below.group, PairTable::SEALER), above)
}

/// A varnish that no paper should get is never better than care.
fn at_least<'c>(ground: Ground<'c>, above: &Sealer) -> Ground<'c> {
    if above.family == Family::Dammar { worse(ground, &DAMMAR) } else { ground }
}

/// A medium over a fixative or sealer. A full sealer is never kinder than the workable fixative's own row.
fn over_sealer<'c>(below: &Sealer, above: &Medium, catalog: &'c Catalog) -> Ground<'c> {
    let workable = row(catalog, WORKABLE, &above.group);
    if !below.closes_tooth {
        return workable;
    }
    let full = if above.is(Trait::BrushAcrylic) {
        &ACRYLIC_ON_SEALER
    } else if above.is(Trait::DryPencil) {
        &PENCIL_ON_SEALER
    } else if above.is(Trait::WaterMedium) {
        &WATER_ON_SEALER
    } else {
        &OTHER_ON_SEALER
    };
    worse(workable, full)
}

fn worse<'c>(ground: Ground<'c>, row: &'static FixedRow) -> Ground<'c> {
    if ground.verdict() > row.verdict { ground } else { Ground::Fixed(row) }
}

/// Whether a sealer brings liquid water to the page.
fn carries_water(sealer: &Sealer) -> bool {
    matches!(sealer.family, Family::WaterBorne | Family::Casein)
}

fn step(lower: &Layer<'_>, upper: &Layer<'_>) -> Option<Step> {
    let careful = |layer: &Layer<'_>| layer.medium().is_some_and(|medium| medium.is(Trait::CarefulWithWater));
    // Glitter and masking fluid are no colour that runs.
    let wet_colour = |layer: &Layer<'_>| match layer.what {
        Laid::Medium(medium, _) => medium.is(Trait::WaterMedium) && !medium.is(Trait::Glitter),
        Laid::Sealer(_) => false,
    };
    let wet_sealer = |layer: &Layer<'_>| matches!(layer.what, Laid::Sealer(sealer) if carries_water(sealer));
    if (careful(lower) && (wet_colour(upper) || wet_sealer(upper))) || (careful(upper) && wet_colour(lower)) {
        return Some(Step::Shimmer);
    }
    let milder = lower.medium().is_some_and(|medium| medium.is(Trait::MilderUnderWater));
    (milder && wet_colour(upper)).then_some(Step::PigmentInkjet)
}

/// The medium a group is named after, if this one of the group responds more to alcohol and to ketones and esters.
fn outdone_by<'c>(medium: &Medium, catalog: &'c Catalog) -> Option<&'c Medium> {
    catalog.media.get(&medium.group).filter(|namesake| {
        let (own, group) = (&medium.sensitivity, &namesake.sensitivity);
        own.alcohol.mode() > group.alcohol.mode() && own.ketone_ester.mode() > group.ketone_ester.mode()
    })
}

impl<'c> Ruling<'c> {
    /// The verdict, with the step.
    pub(super) fn verdict(&self) -> PairVerdict {
        match (self.ground.verdict(), self.step) {
            (verdict, None) => verdict,
            (PairVerdict::Good, Some(Step::Shimmer)) | (PairVerdict::Avoid, Some(Step::PigmentInkjet)) => {
                PairVerdict::Care
            }
            (_, Some(Step::Shimmer)) => PairVerdict::Avoid,
            (_, Some(Step::PigmentInkjet)) => PairVerdict::Good,
        }
    }

    /// What is seen.
    pub(super) fn effect(&self) -> Cow<'c, str> {
        let own: &'c str = match self.ground {
            Ground::Row(row) => &row.effect,
            Ground::Fixed(row) => row.effect,
        };
        match self.step {
            Some(Step::Shimmer) if self.ground.verdict() == PairVerdict::Good => Cow::Borrowed(
                "may lift the colour it touches or be lifted by it: let both dry through, one light stroke",
            ),
            Some(Step::PigmentInkjet) => Cow::Borrowed("usually holds: try it on a scrap print first"),
            _ => Cow::Borrowed(own),
        }
    }

    /// Why.
    pub(super) fn why(&self) -> Cow<'c, str> {
        let own: &'c str = match self.ground {
            Ground::Row(row) => &row.why,
            Ground::Fixed(row) => row.why,
        };
        let added = match (self.step, self.outdone) {
            (Some(Step::Shimmer), _) => {
                Cow::Borrowed("shimmer dissolves in water and is judged one step more carefully beside it")
            }
            (Some(Step::PigmentInkjet), _) => Cow::Borrowed("pigment inkjet is judged one step more mildly than dye"),
            (None, Some(namesake)) => Cow::Owned(format!(
                "it is more sensitive to alcohol and ketone-ester sprays than the {} it is judged by",
                namesake.name
            )),
            (None, None) => return Cow::Borrowed(own),
        };
        Cow::Owned(format!("{own}; {added}"))
    }

    /// What it stands on.
    pub(super) fn grounds(&self) -> Grounds {
        match self.ground {
            Ground::Row(row) => row.grounds.clone(),
            Ground::Fixed(row) => Grounds::plain(row.basis),
        }
    }
}
