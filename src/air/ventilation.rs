//! The air of a room: from what the user says to a flow with a low, a most likely and a high end.

use super::opening::{cross_flow_m3_s, window_flow_bs_5925_m3_s, window_flow_single_sided_m3_s};
use super::zone::Zones;
use crate::catalog::{AirRules, Figure};
use crate::estimate::{Basis, Grounds, Triple};
use crate::finding::{Finding, Level};
use crate::input::{Airflow, RoomInput, WindowInput};
use crate::quantity::number;

/// Temperature at which exposure limits are converted; taken where the room's own is unknown, °C.
const LIMIT_TEMPERATURE_C: f64 = 25.0;

/// How a room is aired, as the exposure model needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomAir {
    /// Volume, m³; outdoors the box of air around the bench.
    pub volume_m3: f64,
    /// Air flow, m³/h. Warnings use the low end.
    pub flow_m3_h: Triple,
    /// Mixing factor that warnings divide the flow by; 1 outdoors.
    pub mixing_factor: f64,
    /// Random air speed around the bench, m/min; outdoors the wind.
    pub random_air_speed_m_min: f64,
    /// Whether it is in the open air.
    pub outdoors: bool,
    /// Wind outdoors, m/s.
    pub wind_m_s: Option<f64>,
    /// Air temperature, °C.
    pub temperature_c: f64,
    /// Air pressure, Pa.
    pub pressure_pa: f64,
    /// Ignition source within reach, as the room file says.
    pub ignition: bool,
    /// Where the flow comes from, in words.
    pub source: String,
    /// What the flow stands on.
    pub grounds: Grounds,
    /// What had to be assumed or looks wrong.
    pub findings: Vec<Finding>,
}

impl RoomAir {
    /// The air of a room as written, or of the room assumed when none is given.
    pub fn of(room: Option<&RoomInput>, rules: &AirRules) -> Self {
        match room {
            None => unknown_room(rules),
            Some(room) if room.airflow == Some(Airflow::Outdoors) => outdoors(room, rules),
            Some(room) => indoors(room, rules),
        }
    }

    /// The low end of the flow with the mixing factor, m³/s: what warnings count on.
    pub fn sure_flow_m3_s(&self) -> f64 {
        self.flow_m3_h.low() / self.mixing_factor / 3600.0
    }

    /// Most likely air changes, /h; `None` outdoors.
    pub fn air_changes_per_h(&self) -> Option<f64> {
        (!self.outdoors).then(|| self.flow_m3_h.mode() / self.volume_m3)
    }

    /// The near field and the room that warnings are made with.
    pub fn zones(&self, rules: &AirRules) -> Zones {
        let radius = rules.near_field_radius_m.get();
        Zones::around_bench(self.volume_m3, self.sure_flow_m3_s(), radius, self.random_air_speed_m_min)
    }
}

/// A room taken when none is given: small and closed.
fn unknown_room(rules: &AirRules) -> RoomAir {
    let volume = rules.unknown_room_m3.get();
    let finding = Finding::on(
        "room-unknown",
        Level::Care,
        format!("No room is given, so a closed room of {} m³ is assumed", number(volume)),
        &rules.unknown_room_m3.grounds,
    )
    .remedy("Describe the room and how it is aired in a room file");
    RoomAir {
        volume_m3: volume,
        flow_m3_h: rules.closed_per_h.value.scaled(volume),
        mixing_factor: rules.mixing_factor.get(),
        random_air_speed_m_min: rules.random_air_speed_m_min.get(),
        outdoors: false,
        wind_m_s: None,
        temperature_c: LIMIT_TEMPERATURE_C,
        pressure_pa: 101_325.0,
        ignition: false,
        source: format!("assumed: closed room of {} m³", number(volume)),
        grounds: rules.closed_per_h.grounds.clone(),
        findings: vec![finding],
    }
}

/// In the open air: Q = U A, the wind through a cross-section around the bench; the near field feels the wind itself.
fn outdoors(room: &RoomInput, rules: &AirRules) -> RoomAir {
    let mut findings = Vec::new();
    let still = rules.random_air_speed_m_min.get() / 60.0;
    let stated = room.wind_m_s.unwrap_or_else(|| rules.unknown_wind_m_s.get());
    let wind = stated.max(still);
    if room.wind_m_s.is_none() {
        let text = format!("No wind is given, so {} m/s is assumed", number(stated));
        findings.push(Finding::on("wind-unknown", Level::Note, text, &rules.unknown_wind_m_s.grounds));
    } else if stated < still {
        let text = "Dead calm: even outdoors the vapour stays around your face";
        findings.push(
            Finding::on("calm-outdoors", Level::Care, text, &rules.random_air_speed_m_min.grounds)
                .remedy("Wait for a light breeze, or step back between passes"),
        );
    } else if stated > rules.brisk_wind_m_s.get() {
        let text = format!("Wind of {} m/s blows the mist off the sheet", number(stated));
        findings.push(
            Finding::on("brisk-wind", Level::Note, text, &rules.brisk_wind_m_s.grounds)
                .remedy("Stand sideways to the wind behind a screen that is open on two sides"),
        );
    }
    let section = rules.outdoor_cross_section_m2.get();
    RoomAir {
        volume_m3: section * rules.outdoor_depth_m.get(),
        flow_m3_h: Triple::exact(wind * section * 3600.0),
        // The wind carries the air off whole; a mixing factor is for rooms with corners.
        mixing_factor: 1.0,
        random_air_speed_m_min: wind * 60.0,
        outdoors: true,
        wind_m_s: Some(wind),
        temperature_c: room.temperature_c.unwrap_or(LIMIT_TEMPERATURE_C),
        pressure_pa: room.pressure_pa,
        ignition: room.ignition,
        source: format!("outdoors, wind {} m/s through {} m²", number(wind), number(section)),
        grounds: rules.outdoor_cross_section_m2.grounds.clone(),
        findings,
    }
}

/// A flow with where it comes from.
struct Flow {
    m3_h: Triple,
    source: String,
    grounds: Grounds,
}

fn indoors(room: &RoomInput, rules: &AirRules) -> RoomAir {
    let volume = room.volume_m3.unwrap_or_else(|| rules.unknown_room_m3.get());
    let mut findings = Vec::new();
    let flow = stated_flow(room, volume, rules, &mut findings);
    // A shut room still leaks: no description gives less than that, save air changes given as a figure.
    let leak = rules.closed_per_h.value.scaled(volume);
    let flow_m3_h = if room.air_changes_per_h.is_some() { flow.m3_h } else { at_least(flow.m3_h, leak) };
    // A window or a fan stirs the air around the bench only if it moves more than the leaks of a shut room do.
    let stirred = match room.airflow {
        _ if room.fan_m3_h.is_some() || room.window.is_some() => true,
        Some(Airflow::WindowOpen | Airflow::CrossDraught | Airflow::WindowFan) => room.air_changes_per_h.is_none(),
        _ => false,
    } && flow_m3_h.low() > leak.high();
    let speed = if stirred { &rules.random_air_speed_open_m_min } else { &rules.random_air_speed_m_min };
    RoomAir {
        volume_m3: volume,
        flow_m3_h,
        mixing_factor: rules.mixing_factor.get(),
        random_air_speed_m_min: speed.get(),
        outdoors: false,
        wind_m_s: None,
        temperature_c: room.temperature_c.unwrap_or(LIMIT_TEMPERATURE_C),
        pressure_pa: room.pressure_pa,
        ignition: room.ignition,
        source: flow.source,
        grounds: flow.grounds,
        findings,
    }
}

/// The larger of two triples, end by end.
fn at_least(one: Triple, other: Triple) -> Triple {
    let [low, mode, high] = [one.low().max(other.low()), one.mode().max(other.mode()), one.high().max(other.high())];
    Triple::new(low, mode, high).unwrap_or(one)
}

/// The flow as described, by the most exact description there is.
fn stated_flow(room: &RoomInput, volume: f64, rules: &AirRules, findings: &mut Vec<Finding>) -> Flow {
    if let Some(changes) = room.air_changes_per_h {
        return Flow {
            m3_h: Triple::exact(changes * volume),
            source: format!("air changes as given, {} /h", number(changes)),
            grounds: Grounds::with_source(Basis::Measured, "given in the room file"),
        };
    }
    if let Some(rated) = room.fan_m3_h {
        return fan_flow(room, rated, rules, findings);
    }
    if let Some(window) = room.window {
        return window_flow(room, window, rules);
    }
    let by_changes = |figure: &Figure, words: &str| Flow {
        m3_h: figure.value.scaled(volume),
        source: format!(
            "{words}, {} to {} air changes an hour",
            number(figure.value.low()),
            number(figure.value.high())
        ),
        grounds: figure.grounds.clone(),
    };
    match room.airflow {
        Some(Airflow::WindowAjar) => by_changes(&rules.window_ajar_per_h, "window ajar"),
        Some(Airflow::WindowOpen) => by_changes(&rules.window_open_per_h, "window open"),
        Some(Airflow::CrossDraught) => by_changes(&rules.cross_draught_per_h, "cross draught"),
        Some(Airflow::WindowFan) => Flow {
            m3_h: rules.window_fan_m3_h.value,
            source: "window fan without figures".to_owned(),
            grounds: rules.window_fan_m3_h.grounds.clone(),
        },
        Some(Airflow::Closed | Airflow::Outdoors) => by_changes(&rules.closed_per_h, "closed"),
        None => {
            findings.push(
                Finding::on(
                    "airflow-unknown",
                    Level::Care,
                    "How the room is aired is not given, so it is taken as closed",
                    &rules.closed_per_h.grounds,
                )
                .remedy("Say how the air moves in the room file, for instance `airflow = \"window-open\"`"),
            );
            by_changes(&rules.closed_per_h, "assumed closed")
        }
    }
}

/// A fan: its rating in free air times a derating; never more than its inlet passes.
fn fan_flow(room: &RoomInput, rated_m3_h: f64, rules: &AirRules, findings: &mut Vec<Finding>) -> Flow {
    let word_inlet = matches!(room.airflow, Some(Airflow::WindowOpen | Airflow::CrossDraught));
    let inlet = room.window.is_some_and(|window| window.area_m2 > 0.0) || word_inlet;
    let (share, words) = match (inlet, room.fan_sealed) {
        (true, true) => (&rules.fan_sealed_share, "sealed into its opening, with an inlet"),
        (true, false) => (&rules.fan_unsealed_share, "not sealed into its opening"),
        (false, _) => (&rules.fan_no_inlet_share, "without an opening to let air in"),
    };
    if !inlet {
        let text = "A fan without an opening that lets air in moves little air";
        findings.push(
            Finding::on("fan-no-inlet", Level::Care, text, &share.grounds).remedy(
                "Open a window or a door to the outside across the room and give it in the room file as `window`",
            ),
        );
    }
    let mut m3_h = share.value.scaled(rated_m3_h);
    if let Some(window) = room.window.filter(|window| window.area_m2 > 0.0) {
        let passes = rules.opening_speed_m_s.value.scaled(window.area_m2 * 3600.0);
        if m3_h.low() > passes.low() {
            findings.push(
                Finding::on(
                    "fan-beats-opening",
                    Level::Care,
                    format!(
                        "The fan is rated for {} m³/h, but its inlet of {} m² surely passes only {} m³/h",
                        number(rated_m3_h),
                        number(window.area_m2),
                        number(libm::round(passes.low()))
                    ),
                    &rules.opening_speed_m_s.grounds,
                )
                .remedy("Open the inlet wider; the fan can then do more"),
            );
        }
        let [low, mode, high] =
            [m3_h.low().min(passes.low()), m3_h.mode().min(passes.mode()), m3_h.high().min(passes.high())];
        m3_h = Triple::new(low, mode, high).unwrap_or(m3_h);
    }
    Flow { m3_h, source: format!("fan rated {} m³/h, {words}", number(rated_m3_h)), grounds: share.grounds.clone() }
}

/// A window with figures. The low end is the more careful of the two published formulas, but never below still air.
fn window_flow(room: &RoomInput, window: WindowInput, rules: &AirRules) -> Flow {
    let difference = match (room.temperature_c, room.outdoor_temperature_c) {
        (Some(inside), Some(outside)) => (inside - outside).abs(),
        _ => 0.0,
    };
    let wind = room.wind_m_s.unwrap_or(0.0);
    let inside = room.temperature_c.unwrap_or(LIMIT_TEMPERATURE_C);
    let single = |area: f64| {
        let still = window_flow_single_sided_m3_s(area, 0.0, window.height_m, 0.0);
        let main = window_flow_single_sided_m3_s(area, wind, window.height_m, difference);
        let check = window_flow_bs_5925_m3_s(area, wind, window.height_m, difference, inside);
        [check.clamp(still, main), main, main.max(check)]
    };
    let opposite = window.opposite_m2.unwrap_or(0.0);
    // In calm air two windows are taken as the larger one alone.
    let mut ends = single(window.area_m2.max(opposite));
    let mut source = format!("window of {} m², single-sided", number(window.area_m2));
    if opposite > 0.0 {
        let across = rules.cross_pressure_difference.value;
        let at = |pressure: f64| cross_flow_m3_s(window.area_m2, opposite, wind, pressure);
        for (end, pressure) in ends.iter_mut().zip([across.low(), across.mode(), across.high()]) {
            *end = end.max(at(pressure));
        }
        source = format!("windows of {} m² and {} m², cross flow", number(window.area_m2), number(opposite));
    }
    let [low, mode, high] = ends.map(|flow| flow * 3600.0);
    let published = "de Gids and Phaff 1982, Air Infiltration Review 4(1):4–5; BS 5925";
    Flow {
        m3_h: Triple::new(low, mode, high).unwrap_or(Triple::exact(low)),
        source,
        grounds: Grounds::with_source(Basis::Published, published),
    }
}
