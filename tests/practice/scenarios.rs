//! Whole pages planned end to end: the judgement a practitioner would give (common practice, no source).

use crate::support::{REFERENCE_ROOM, plan};
use coatbell::finding::Level;
use coatbell::plan::{CoatKind, Plan};

const REFERENCE: &str = include_str!("pages/reference-page.toml");
const WAX_THEN_OIL: &str = include_str!("pages/s2-wax-then-oil.toml");
const BOOK_MARKER: &str = include_str!("pages/s3-marker-book-page.toml");
const PEN_OVER_WAX: &str = include_str!("pages/s4-pen-over-wax.toml");
const INKJET_WASH: &str = include_str!("pages/s5-inkjet-then-wash.toml");
const BLACK_METAL: &str = include_str!("pages/s6-black-card-metal.toml");
const PASTEL: &str = include_str!("pages/s7-charcoal-pastel.toml");
const OIL_PASTEL: &str = include_str!("pages/s8-oil-pastel-tonight.toml");

fn mists(plan: &Plan) -> usize {
    plan.coats.iter().filter(|coat| coat.kind == CoatKind::Mist).count()
}

fn builds(plan: &Plan) -> usize {
    plan.coats.iter().filter(|coat| coat.kind == CoatKind::Build).count()
}

fn level_of(plan: &Plan, code: &str) -> Option<Level> {
    crate::support::level_of(&plan.findings, code)
}

fn codes(plan: &Plan) -> Vec<(&str, &str)> {
    plan.findings.iter().map(|finding| (finding.level.word(), finding.code)).collect()
}

/// The eight-layer page of everyday work: sealed tonight, one mist and two builds.
#[test]
fn reference_page() {
    for sealer in [None, Some("acrylic-gloss"), Some("acrylic-satin")] {
        let plan = plan(REFERENCE, REFERENCE_ROOM, sealer);
        assert!(matches!(plan.verdict, Level::Go | Level::Care), "{:?} {:?}", plan.verdict, codes(&plan));
        assert_eq!((mists(&plan), builds(&plan)), (1, 2));
        let mist = &plan.coats[0];
        assert!(mist.distance_cm >= 30.0);
        assert!((6.5..=10.0).contains(&mist.wet_film_um.p50), "{:?}", mist.wet_film_um);
        assert!(mist.under_cap_pct >= 78.0, "{}", mist.under_cap_pct);
        for build in &plan.coats[1..] {
            assert!((15.0..=20.0).contains(&build.distance_cm));
            assert!((16.0..=28.0).contains(&build.wet_film_um.p50), "{:?}", build.wet_film_um);
        }
        assert!((12.0..=30.0).contains(&plan.sealer_total_g), "{}", plan.sealer_total_g);
        let dry = plan.dry_film_total_um.expect("a film is planned");
        assert!((5.0..=10.0).contains(&dry.p50), "{dry:?}");
        for coat in &plan.coats {
            assert!((10..=30).contains(&coat.wait_min), "coat {} waits {} min", coat.number, coat.wait_min);
        }
    }
}

/// Without a sealer given, the wanted satin is taken from the low-aromatic acrylics.
#[test]
fn reference_page_takes_the_low_aromatic_satin() {
    assert_eq!(plan(REFERENCE, REFERENCE_ROOM, None).sealer.id, "acrylic-satin");
}

/// Burnished wax under oil pencil: accepted once done, watched for bloom, an acrylic and not a spirit varnish.
#[test]
fn wax_then_oil() {
    let plan = plan(WAX_THEN_OIL, REFERENCE_ROOM, None);
    assert_eq!(plan.verdict, Level::Care, "{:?}", codes(&plan));
    assert_eq!(plan.sealer.id, "acrylic-satin");
    assert_eq!(level_of(&plan, "wax-bloom"), Some(Level::Care), "{:?}", codes(&plan));
    assert_eq!((mists(&plan), builds(&plan)), (1, 2));
    let ketone = plan.runners_up.iter().find(|other| other.sealer == "ketone-varnish").expect("it is ranked");
    assert!(ketone.verdict >= Level::Care, "{ketone:?}");
}

/// Markers on thin book paper: dusting mists under the cap, and builds that keep their distance.
#[test]
fn marker_on_book_paper() {
    let plan = plan(BOOK_MARKER, REFERENCE_ROOM, None);
    assert_eq!(plan.sealer.id, "acrylic-gloss");
    assert!(mists(&plan) >= 2, "a cap under 7 µm is dusted");
    assert_eq!(builds(&plan), 2);
    for coat in &plan.coats {
        let nearest = if coat.kind == CoatKind::Mist { 30.0 } else { 25.0 };
        assert!(coat.distance_cm >= nearest, "coat {} at {} cm", coat.number, coat.distance_cm);
        if coat.kind == CoatKind::Mist {
            assert!(coat.cap_um < 7.0 && coat.wet_film_um.p50 <= coat.cap_um);
        }
    }
}

/// Paint pen over wax scrapes off: sealing does not rescue it, but the page may be sealed with care.
#[test]
fn pen_over_wax() {
    let plan = plan(PEN_OVER_WAX, REFERENCE_ROOM, None);
    assert_eq!(plan.verdict, Level::Care, "{:?}", codes(&plan));
    let pair = plan.findings.iter().find(|finding| finding.layers == [1, 2]).expect("the pair is named");
    assert_eq!(pair.level, Level::Care);
    assert_eq!((mists(&plan), builds(&plan)), (1, 2));
}

/// Watercolour still to come over a dye inkjet line: held, and no time to seal.
#[test]
fn wash_over_inkjet() {
    let plan = plan(INKJET_WASH, REFERENCE_ROOM, None);
    assert_eq!(plan.verdict, Level::Hold);
    assert!(plan.ready_at.is_none());
    assert!(plan.coats.iter().all(|coat| coat.starts_at.is_none()));
    let pair = plan.findings.iter().find(|finding| finding.layers == [1, 3]).expect("the pair is named");
    assert_eq!(pair.level, Level::Hold);
}

/// Metal and gouache on black card: matte is refused for gloss or satin with the reason, one mist and one build.
#[test]
fn metal_on_black_card() {
    let own_choice = plan(BLACK_METAL, REFERENCE_ROOM, None);
    assert!(["acrylic-gloss", "acrylic-satin"].contains(&own_choice.sealer.id.as_str()), "{}", own_choice.sealer.id);
    let matte = own_choice.runners_up.iter().find(|other| other.sealer == "acrylic-matte").expect("it is ranked");
    assert_eq!(matte.verdict, Level::Care);
    assert!(matte.reason.contains("matte"), "{}", matte.reason);
    assert_eq!((mists(&own_choice), builds(&own_choice)), (1, 1));
    assert!(own_choice.coats[0].cap_um <= 7.0);
    let insisted = plan(BLACK_METAL, REFERENCE_ROOM, Some("acrylic-matte"));
    assert!(insisted.verdict >= Level::Care);
    assert_eq!(level_of(&insisted, "matte-dulls"), Some(Level::Care));
}

/// Whatever holds mica, metal or glitter is greyed by matte and loses a little under gloss, by whichever name it is called.
#[test]
fn what_sparkles_is_not_sealed_matte() {
    let on_card = |medium: &str| {
        format!(
            "title = \"sparkle\"\nsize = \"A4\"\npaper = \"cardstock-heavy\"\nfinished = \"3 days ago\"\n[[layer]]\nmedium = \"{medium}\"\ncover = \"5 %\"\n"
        )
    };
    for medium in ["iridescent medium", "metallic gel pen", "glitter gel pen", "shimmer pen", "metallic pen", "glitter"]
    {
        let level = |sealer, code| level_of(&plan(&on_card(medium), REFERENCE_ROOM, Some(sealer)), code);
        assert_eq!(level("acrylic-matte", "matte-dulls"), Some(Level::Care), "{medium}");
        assert_eq!(level("acrylic-gloss", "sparkle-dulls"), Some(Level::Note), "{medium}");
    }
    for medium in ["gel pen", "acrylic", "soft pastel"] {
        assert_eq!(level_of(&plan(&on_card(medium), REFERENCE_ROOM, Some("acrylic-matte")), "matte-dulls"), None);
    }
}

/// Charcoal and pastel: a fixative misted from afar, several times, never built up.
#[test]
fn loose_pastel() {
    let plan = plan(PASTEL, REFERENCE_ROOM, None);
    assert!(["final-fixative", "casein-fixative"].contains(&plan.sealer.id.as_str()), "{}", plan.sealer.id);
    assert_eq!(builds(&plan), 0);
    assert!((3..=5).contains(&mists(&plan)), "{}", mists(&plan));
    assert!(plan.coats.iter().all(|coat| coat.distance_cm >= 40.0 && coat.cap_um <= 3.0));
    assert_eq!(level_of(&plan, "lights-darken"), Some(Level::Note));
}

/// Oil pastel on a damp cold evening: refused, whatever the sealer, and it says what weather would do.
#[test]
fn oil_pastel_tonight() {
    let damp =
        "size = \"3.4 m x 2.8 m x 2.4 m\"\nairflow = \"window-open\"\ntemperature = \"16 C\"\nhumidity = \"78 %\"\n";
    let plan = plan(OIL_PASTEL, damp, None);
    assert_eq!(plan.verdict, Level::Hold);
    assert!(plan.findings.iter().any(|finding| finding.level == Level::Hold && finding.layers == [2]));
    assert!(plan.findings.iter().any(|finding| finding.level == Level::Hold && finding.code == "humidity-high"));
    assert_ne!(plan.sealer.id, "water-clear");
    assert!(plan.would_change.iter().any(|change| change.variable == "temperature" || change.variable == "humidity"));
}

/// Hair spray is there to be refused, with the reason.
#[test]
fn hair_spray() {
    let plan = plan(REFERENCE, REFERENCE_ROOM, Some("hair-spray"));
    assert_eq!(plan.verdict, Level::Hold);
    assert_eq!(level_of(&plan, "hair-spray"), Some(Level::Hold));
}

/// A page still wet is held, and says when it is ready.
#[test]
fn wet_page() {
    let wet = REFERENCE.replace("80 h ago", "20 min ago");
    let plan = plan(&wet, REFERENCE_ROOM, None);
    assert_eq!(plan.verdict, Level::Hold);
    assert!(plan.ready_at.is_some());
}

/// P46: the pre-flight list of every plan has the scrap test.
#[test]
fn p46_scrap_test() {
    for text in [REFERENCE, WAX_THEN_OIL, BOOK_MARKER, PEN_OVER_WAX, INKJET_WASH, BLACK_METAL, PASTEL, OIL_PASTEL] {
        let plan = plan(text, REFERENCE_ROOM, None);
        assert!(plan.preflight.iter().any(|item| item.id == "scrap-test" && item.text.contains("scrap")));
    }
}

/// An acetone-rich can: held on a cold damp evening with what would do, not held in an ordinary room.
#[test]
fn acetone_rich_can() {
    let can = "extends = \"acrylic-gloss\"\nname = \"acetone-rich gloss\"\ncomposition_complete = true\n[composition]\n\
               acetone = \"45 % to 50 %\"\nresin = \"9 % to 11 %\"\nn-butyl-acetate = \"2 % to 4 %\"\n\
               propane = \"18 % to 22 %\"\nn-butane = \"16 % to 20 %\"\n";
    let cold = REFERENCE_ROOM.replace("21 C", "16 C").replace("48 %", "74 %");
    let held = crate::support::plan_with_can(REFERENCE, &cold, can);
    assert_eq!(held.verdict, Level::Hold);
    assert_eq!(level_of(&held, "blush"), Some(Level::Hold));
    let humidity: Vec<_> = held.would_change.iter().filter(|change| change.variable == "humidity").collect();
    assert_eq!(humidity[0].level, Level::Care);
    assert!(humidity[0].to.is_some());
    assert!(humidity[1].to.is_none() && humidity[1].text.contains("below 18"), "{:?}", humidity[1]);
    let warmed: Vec<Level> =
        held.would_change.iter().filter(|change| change.variable == "temperature").map(|change| change.level).collect();
    assert_eq!(warmed, [Level::Care, Level::Go]);
    let ordinary = crate::support::plan_with_can(REFERENCE, REFERENCE_ROOM, can);
    assert!(ordinary.verdict < Level::Hold, "{:?}", codes(&ordinary));
}

/// A plain low-aromatic gloss at 21 °C on heavy card: no more than a note up to 60 %, care by 65 %.
#[test]
fn plain_gloss_in_damp_air() {
    let at = |humidity: &str| {
        let plan = plan(REFERENCE, &REFERENCE_ROOM.replace("48 %", humidity), Some("acrylic-gloss"));
        let conditions = ["blush", "humidity-high", "dew-margin", "temperature-limit"];
        plan.findings.iter().filter(|finding| conditions.contains(&finding.code)).map(|finding| finding.level).max()
    };
    assert!(at("60 %").is_none_or(|level| level <= Level::Note));
    assert_eq!(at("65 %"), Some(Level::Care));
}

/// Spirit acrylics wait longer, and the plan says what sets the wait.
#[test]
fn spirit_acrylics_wait_longer() {
    for sealer in ["acrylic-spirit", "acrylic-uv"] {
        let plan = plan(REFERENCE, REFERENCE_ROOM, Some(sealer));
        assert!(plan.coats.iter().all(|coat| (15..=90).contains(&coat.wait_min)), "{sealer}");
        assert!(level_of(&plan, "slow-solvent") == Some(Level::Care), "the reason is named");
    }
}
