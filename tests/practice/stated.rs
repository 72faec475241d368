//! Figures of policy and of the trade, held by what an answer does: a figure that is off by a tenth shows here.

use coatbell::air::RoomAir;
use coatbell::plan::Plan;

use crate::support::{CATALOG, plan, room};

/// A page with nothing on it that makes a sealer wait.
const PAGE: &str = "size = \"A5\"\npaper = \"cardstock\"\nfinished = \"60 days ago\"\n\
                    [[layer]]\nmedium = \"watercolour\"\ncover = \"30 %\"\n";
/// A warm, dry day with a breeze: whatever dries at all is dry at once.
const BREEZE: &str = "airflow = \"outdoors\"\nwind = \"2.5 m/s\"\ntemperature = \"29 C\"\nhumidity = \"30 %\"\n";

fn outdoors(sealer: &str) -> Plan {
    plan(PAGE, BREEZE, Some(sealer))
}

/// What a box fan in a window moves of its rating in free air (common practice, no source, of each range the low end,
/// because the answer is about what one breathes): 0.5 sealed into its opening with an inlet, 0.25 to 0.3 unsealed, 0.1
/// to 0.2 without an inlet.
#[test]
fn a_fan_moves_the_low_end_of_what_the_trade_grants_it() {
    for (keys, share) in [
        ("sealed = true\nwindow = { area = \"1 m2\", height = \"1 m\" }", 0.5),
        ("window = { area = \"1 m2\", height = \"1 m\" }", 0.25),
        ("sealed = true", 0.1),
    ] {
        let room = room(&format!("volume = \"30 m3\"\nfan = \"1000 m3/h\"\n{keys}\n"));
        let moved = RoomAir::of(Some(&room), &CATALOG.rules.air).flow_m3_h;
        assert!((moved.low() / 1000.0 - share).abs() < 1e-9, "{keys}: {}", moved.low());
    }
}

/// A sealed page is posted a week after its last coat (common practice, no source), framed with a spacer after three
/// days and behind glass after two weeks; stacked after two days, a glossy one after a week.
#[test]
fn after_the_last_coat_come_the_days_of_the_trade() {
    for (sealer, days) in [
        ("acrylic-satin", [("scan", 1), ("stack", 2), ("frame", 3), ("post", 7), ("frame-closed", 14)]),
        ("acrylic-gloss", [("scan", 1), ("stack", 7), ("frame", 3), ("post", 7), ("frame-closed", 14)]),
    ] {
        let plan = outdoors(sealer);
        let at = |id: &str| -> jiff::Timestamp {
            let milestone = plan.milestones.iter().find(|milestone| milestone.id == id).expect("a milestone");
            milestone.at.as_ref().expect("a moment").parse().expect("a timestamp")
        };
        let hours = |id| at(id).duration_since(at("scan")).as_hours() + 24;
        for (id, days) in days {
            assert_eq!(hours(id), 24 * days, "{sealer}: {id}");
        }
    }
}

/// A build is never swept faster than two feet a second (0.6 m/s), a mist neither (common practice, no source).
#[test]
fn no_coat_asks_for_a_hand_faster_than_two_feet_a_second() {
    for sealer in ["acrylic-gloss", "acrylic-spirit", "nitro-lacquer", "water-clear"] {
        for coat in &outdoors(sealer).coats {
            assert!(coat.pass_speed_cm_s <= 2.0 * 30.48 + 1e-9, "{sealer}: {} cm/s", coat.pass_speed_cm_s);
        }
    }
}

/// Air changes are volumes of the room an hour; outdoors has none.
#[test]
fn air_changes_are_volumes_of_the_room() {
    let of = |keys: &str| RoomAir::of(Some(&room(keys)), &CATALOG.rules.air);
    let inside = of("volume = \"40 m3\"\nair_changes = \"3 /h\"\n");
    assert!((inside.flow_m3_h.mode() - 120.0).abs() < 1e-9, "{:?}", inside.flow_m3_h);
    assert_eq!(inside.air_changes_per_h(), Some(3.0));
    assert_eq!(of("airflow = \"outdoors\"\nwind = \"2 m/s\"\n").air_changes_per_h(), None);
}

/// A light laydown bears half way between the ordinary and the high figure, times the broad factor over most of the page
/// (rule).
#[test]
fn a_light_laydown_bears_half_way_to_the_high_figure() {
    use coatbell::input::Laydown;
    use coatbell::solve::layer_cap_um;
    let (medium, paper) = (&CATALOG.media["wax-pencil"], &CATALOG.papers["cold-press"]);
    let half_way = f64::midpoint(medium.first_coat_um.mode(), medium.first_coat_um.high());
    for (cover, factor) in [(0.2, 1.0), (0.8, 0.6)] {
        let bears = layer_cap_um(medium.first_coat_um, Laydown::Light, Some(cover), paper, &CATALOG.rules);
        assert!((bears - factor * half_way).abs() < 1e-9, "{cover}: {bears}, not {factor} of {half_way}");
    }
}

/// What runs on a standing sheet: a Newtonian film of thickness h runs δ before it sets where h = √(2 η δ/(ρ g t)), its
/// surface speed being ρ g h²/(2η) (textbook). With 0.05 Pa s, 900 kg/m³, 30 s and 1 to 3 mm (estimates) that is 19 to
/// 34 µm: the limit standing lies within, the one lying above.
#[test]
fn a_standing_coat_is_no_wetter_than_what_runs_a_few_millimetres() {
    let sags_um = |travel_m: f64| 1e6 * libm::sqrt(2.0 * 0.05 * travel_m / (900.0 * 9.806_65 * 30.0));
    let coats = &CATALOG.rules.coats;
    let standing = coats.build_standing_um.get();
    assert!((sags_um(0.001)..=sags_um(0.003)).contains(&standing), "{standing}");
    assert!(coats.build_lying_um.get() > sags_um(0.003));
}
