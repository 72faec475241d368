//! What constants drawn to be changed by a tenth come to in a plan (`tests/reference/constants.py`): the trade's rules,
//! published bands and worked figures, at the level of what a person reads.

use coatbell::catalog::Catalog;
use coatbell::solve::plan_coats;
use coatbell::spray::{flight_time_s, transfer_efficiency};

use crate::pages::{ordinary_air, sheet};
use crate::support::plan;

/// One pencil layer on heavy card that covers so much of the page.
fn pencilled(cover: &str) -> f64 {
    let catalog = Catalog::builtin();
    let text = format!(
        "size = \"A4\"\npaper = \"cardstock-heavy\"\nfinished = \"60 days ago\"\n\
         [[layer]]\nmedium = \"wax-pencil\"\ncover = \"{cover}\"\n"
    );
    plan_coats(&sheet(&text, &catalog), &catalog.sealers["acrylic-gloss"], &ordinary_air(), &catalog, 1).cap.cap_um
}

#[test]
fn a_layer_over_most_of_the_page_bears_less_and_most_is_more_than_half() {
    // The words mean half; the reduction itself is a choice.
    let (little, just_under, just_over, much) =
        (pencilled("10 %"), pencilled("48 %"), pencilled("52 %"), pencilled("90 %"));
    assert!((just_under - little).abs() < 1e-9, "{just_under} is not {little}");
    assert!((just_over - much).abs() < 1e-9, "{just_over} is not {much}");
    assert!(just_over < 0.8 * just_under, "{just_over} {just_under}");
}

/// A small page that is long dry, outdoors in warm dry air: nothing but the trade asks for a wait.
fn quick_waits(sealer: &str) -> Vec<u32> {
    let page = "size = \"A6\"\npaper = \"cardstock-heavy\"\nfinished = \"60 days ago\"\n\
                [[layer]]\nmedium = \"graphite\"\ncover = \"5 %\"\n";
    let room = "airflow = \"outdoors\"\nwind = \"3 m/s\"\ntemperature = \"25 C\"\nhumidity = \"40 %\"\n";
    plan(page, room, Some(sealer)).coats.iter().map(|coat| coat.wait_min).collect()
}

#[test]
fn where_nothing_else_asks_for_more_a_coat_waits_what_the_trade_waits() {
    // Common practice, no source, but for nitro: the federal specification A-A-713 lets an aerosol lacquer take 15 min to
    // be set to touch, so that a next coat is sure of it only then.
    for (sealer, minutes) in [
        ("workable-fixative", 5),
        ("acrylic-gloss", 10),
        ("acrylic-spirit", 15),
        ("acrylic-uv", 15),
        ("nitro-lacquer", 15),
        ("casein-fixative", 20),
        ("water-clear", 120),
        ("ketone-varnish", 240),
        ("dammar-varnish", 1440),
    ] {
        let waits = quick_waits(sealer);
        assert_eq!(waits.iter().min(), Some(&minutes), "{sealer}: {waits:?}");
    }
}

#[test]
fn a_fan_loose_in_its_window_moves_a_quarter_of_its_rating() {
    // Common practice, no source: 0.25 to 0.3 where the rest of the window stays open round it, and a warning goes by the
    // least; 0.1 to 0.2 without a make-up opening, 0.5 sealed in.
    let ventilation = |fan: &str| {
        let room = format!(
            "volume = \"30 m3\"\ntemperature = \"21 C\"\nhumidity = \"45 %\"\n\
             window = {{ area = \"0.5 m2\", height = \"1 m\" }}\nfan = \"{fan}\"\n"
        );
        let page =
            "size = \"A5\"\npaper = \"cardstock\"\nfinished = \"60 days ago\"\n[[layer]]\nmedium = \"graphite\"\n";
        plan(page, &room, Some("acrylic-gloss")).air.expect("air of a room").ventilation
    };
    let loose = ventilation("1000 m3/h").low_m3_h;
    assert!((loose - 250.0).abs() < 5.0, "{loose} m³/h");
}

#[test]
fn a_droplet_flies_for_hundredths_of_a_second() {
    // Worked by hand from a free round jet, 6.8 √(J/ρ)/x, of 1 g/s at 40 m/s, which is an estimate: the liquid is driven
    // out at about 30 m/s by the pressure of a can alone (Bernoulli), and the propellant that boils drives it on.
    let spray = Catalog::builtin().model.spray;
    for (distance_m, milliseconds) in [(0.15, 9.0), (0.20, 16.0), (0.25, 25.0), (0.30, 36.0), (0.40, 64.0)] {
        let time = 1e3 * flight_time_s(distance_m, 1e-3, spray.exit_speed_m_s.value.mode(), 1.2);
        assert!((time - milliseconds).abs() < 0.6, "{time} ms to {distance_m} m");
    }
}

#[test]
fn from_further_away_less_stays_on_the_page() {
    // Worked by hand from the estimate: 0.64 at 20 cm and 0.55 at 30 cm where 0.70 stays at 15 cm. Published figures, of
    // guns at their ordinary 15 to 30 cm: 0.2 to 0.5 conventional, 0.4 to 0.5 airless, 0.5 to 0.6 at low pressure, 0.6 to
    // 0.8 airless with air. No curve over distance is published for cans.
    let spray = Catalog::builtin().model.spray;
    let at = |distance_m, at_15cm| transfer_efficiency(distance_m, at_15cm, spray.transfer_length_m.get());
    for (distance_m, share) in [(0.15, 0.70), (0.20, 0.64), (0.30, 0.55)] {
        let stays = at(distance_m, spray.transfer_at_15cm.value.mode());
        assert!((stays - share).abs() < 0.0055, "{stays} at {distance_m} m");
    }
    let published = 0.2..=0.8;
    for distance_m in [0.15, 0.25, 0.30] {
        assert!(published.contains(&at(distance_m, spray.transfer_at_15cm.value.mode())));
    }
}

#[test]
fn a_liquid_that_dissolves_the_resin_is_a_good_solvent_of_it() {
    // Flory 1953: what dissolves a long polymer at every dilution interacts with less than one half. Blanks and Prausnitz
    // 1964: the part of it that no likeness removes is 0.34, so that the mode is not below.
    let interaction = Catalog::builtin().model.film.interaction.value;
    assert!(interaction.high() <= 0.5, "{interaction:?}");
    assert!((0.34..0.43).contains(&interaction.mode()), "{interaction:?}");
}
