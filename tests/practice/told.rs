//! What a plan has to say of the air, the can and the page, each on both sides of its limit.

use coatbell::finding::Level;

use crate::support::{level_of, plan, plan_with_can};

const ROOM: &str = "size = \"3.4 m x 2.8 m x 2.4 m\"\nairflow = \"cross-draught\"\n";

/// A dry page of these media on a paper.
fn page(paper: &str, media: &[&str]) -> String {
    let layers = media.iter().map(|medium| format!("[[layer]]\nmedium = \"{medium}\"\ncover = \"30 %\"\n"));
    format!("size = \"A5\"\npaper = \"{paper}\"\nfinished = \"60 days ago\"\n{}", layers.collect::<Vec<_>>().concat())
}

/// A room of a temperature and a humidity.
fn room(temperature: &str, humidity: &str) -> String {
    format!("{ROOM}temperature = \"{temperature}\"\nhumidity = \"{humidity}\"\n")
}

#[track_caller]
fn told(page: &str, room: &str, sealer: Option<&str>, code: &str, level: Option<Level>) {
    assert_eq!(level_of(&plan(page, room, sealer).findings, code), level, "{code} with {sealer:?} in\n{room}{page}");
}

/// Limits of the design: care over 65 % and under 18 °C or over 30 °C, hold over 75 %, under 15 °C and over 35 °C; at a
/// limit nothing is over it. What is not known is at least care.
#[test]
fn the_air_at_the_bench_is_told_on_both_sides_of_its_limits() {
    let page = page("cardstock", &["watercolour"]);
    let of = |temperature: &str, humidity: &str, code: &str, level: Option<Level>| {
        told(&page, &room(temperature, humidity), Some("acrylic-satin"), code, level);
    };
    for (humidity, level) in
        [("65 %", None), ("66 %", Some(Level::Care)), ("75 %", Some(Level::Care)), ("76 %", Some(Level::Hold))]
    {
        of("21 C", humidity, "humidity-high", level);
    }
    for (temperature, level) in [
        ("14.9 C", Some(Level::Hold)),
        ("59 F", Some(Level::Care)),
        ("17.9 C", Some(Level::Care)),
        ("18 C", None),
        ("86 F", None),
        ("30.1 C", Some(Level::Care)),
        ("35.1 C", Some(Level::Hold)),
    ] {
        of(temperature, "40 %", "temperature-limit", level);
    }
    of("unknown", "40 %", "temperature-unknown", Some(Level::Care));
    of("21 C", "unknown", "humidity-unknown", Some(Level::Care));
    of("21 C", "40 %", "humidity-unknown", None);
}

/// The label of the can in hand wins where it is stricter.
#[test]
fn the_label_holds_where_it_is_stricter() {
    let of = |label: &str, code: &str, level: Option<Level>| {
        let can = format!("extends = \"acrylic-satin\"\n[label]\n{label}\n");
        let plan = plan_with_can(&page("cardstock", &["watercolour"]), &room("21 C", "48 %"), &can);
        assert_eq!(level_of(&plan.findings, code), level, "{label}");
    };
    of("max_humidity = \"47 %\"", "humidity-over-label", Some(Level::Hold));
    of("max_humidity = \"48 %\"", "humidity-over-label", None);
    of("min_temperature = \"70 F\"", "temperature-outside-label", Some(Level::Hold));
    of("min_temperature = \"21 C\"", "temperature-outside-label", None);
    of("max_temperature = \"69 F\"", "temperature-outside-label", Some(Level::Hold));
    of("max_temperature = \"21 C\"", "temperature-outside-label", None);
    of("recoat_window = \"within 3 min\"", "recoat-window", Some(Level::Hold));
    of("recoat_window = \"within 2 h\"", "recoat-window", None);
    of("recoat_window = \"within 3 min or after 24 h\"", "recoat-window", None);
}

/// Sealers that are never, or hardly ever, for a page (common practice, no source).
#[test]
fn a_sealer_that_does_not_suit_the_page_is_told() {
    let of = |paper: &str, media: &[&str], sealer: &str, code: &str, level: Option<Level>| {
        told(&page(paper, media), &room("21 C", "48 %"), Some(sealer), code, level);
    };
    for sealer in ["water-clear", "casein-fixative"] {
        of("cardstock", &["toner", "watercolour"], sealer, "water-on-water-colour", Some(Level::Hold));
        of("cardstock", &["toner"], sealer, "water-on-water-colour", None);
    }
    of("cardstock", &["watercolour"], "acrylic-satin", "water-on-water-colour", None);
    of("colouring-book", &["toner"], "water-clear", "water-coat-cockles", Some(Level::Care));
    of("cold-press", &["toner"], "water-clear", "water-coat-cockles", None);
    of("cardstock", &["toner"], "dammar-varnish", "dammar-on-paper", Some(Level::Care));
    of("cardstock", &["toner"], "nitro-lacquer", "nitro-ages", Some(Level::Note));
    of("cardstock", &["toner"], "hair-spray", "hair-spray", Some(Level::Hold));
    of("black-card", &["toner"], "acrylic-matte", "matte-dulls", Some(Level::Care));
    of("cardstock", &["metallic-pen"], "acrylic-matte", "matte-dulls", Some(Level::Care));
    of("cardstock", &["toner"], "acrylic-matte", "matte-dulls", None);
    of("cardstock", &["metallic-pen"], "acrylic-gloss", "sparkle-dulls", Some(Level::Note));
    of("cardstock", &["soft-pastel"], "final-fixative", "lights-darken", Some(Level::Note));
}

/// A finish that is given up is care; one that was passed over by name is only noted.
#[test]
fn a_finish_given_up_is_told() {
    let page = format!("finish = \"matte\"\n{}", page("black-card", &["metallic-pen"]));
    told(&page, &room("21 C", "48 %"), None, "finish-changed", Some(Level::Care));
    told(&page, &room("21 C", "48 %"), Some("acrylic-gloss"), "finish-differs", Some(Level::Note));
    told(&page, &room("21 C", "48 %"), Some("acrylic-matte"), "finish-differs", None);
}

/// What is laid cannot lie over what is still to be laid, unless they do not meet.
#[test]
fn a_layer_laid_over_one_still_to_come_is_told() {
    let of = |areas: &str, level: Option<Level>| {
        let page = format!(
            "size = \"A5\"\npaper = \"cardstock\"\n[[layer]]\nmedium = \"toner\"\n{areas}[[layer]]\nmedium = \"gel-pen\"\n\
             areas = [\"sky\"]\nfinished = \"60 days ago\"\n"
        );
        told(&page, &room("21 C", "48 %"), Some("acrylic-satin"), "laid-over-unlaid", level);
    };
    of("", Some(Level::Care));
    of("areas = [\"sky\"]\n", Some(Level::Care));
    of("areas = [\"sea\"]\n", None);
}
