//! A fan and its inlet, as written in a room: both figures cannot be true if the one cannot pass the other.

use super::AirRules;
use crate::diagnostic::Problem;
use crate::input::RoomInput;
use crate::quantity::number;

/// Seconds in an hour.
const SECONDS_PER_HOUR: f64 = 3600.0;

impl AirRules {
    /// What is wrong with a fan whose inlet cannot pass even the least of what it moves: one of the two figures is a slip,
    /// and the air is not to be reckoned with either. Short of that, a plan counts what the inlet surely passes.
    pub fn fan_beyond_its_inlet(&self, room: &RoomInput) -> Option<Problem> {
        let (rated, area_m2) = (room.fan_m3_h?, room.window?.area_m2);
        let share = if room.fan_sealed { &self.fan_sealed_share } else { &self.fan_unsealed_share }.value.low();
        let fastest_m3_h_m2 = self.opening_speed_m_s.value.high() * SECONDS_PER_HOUR;
        let (moves, passes) = (share * rated, fastest_m3_h_m2 * area_m2);
        // An opening of nothing is a fan without an inlet, which is another matter.
        if area_m2 <= 0.0 || moves <= passes {
            return None;
        }
        let message = format!(
            "`fan`: rated for {} m3/h it moves at least {} m3/h, and its inlet of {} m2 passes {} m3/h at most",
            number(rated),
            number(moves.round()),
            number(area_m2),
            number(passes.round()),
        );
        let hint = format!(
            "measure the opening that lets the air in again (this fan needs {} m2 or more), or write what it passes: `fan = \"{} m3/h\"`",
            number((moves / fastest_m3_h_m2 * 1000.0).ceil() / 1000.0),
            number(passes.floor()),
        );
        let problem = Problem::new("fan-beyond-inlet", message).with_hint(hint).with_key("fan");
        Some(match &room.fan_span {
            Some(span) => problem.at(span.clone()),
            None => problem,
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::catalog::Catalog;
    use crate::diagnostic::SourceText;
    use crate::input::read_room;

    fn problem(keys: &str) -> Option<(String, Option<String>)> {
        let text = format!("volume = \"20 m3\"\n{keys}\n");
        let room = read_room(&SourceText::new("room.toml", &text)).expect("the room is well written");
        let found = Catalog::builtin().rules.air.fan_beyond_its_inlet(&room)?;
        let at = found.span.as_ref().map(|span| text[span.clone()].to_owned());
        Some((found.message, at))
    }

    #[test]
    fn an_inlet_that_cannot_pass_the_fan_is_a_slip() {
        // 0.02 m² × 3.5 m/s × 3600 s/h = 252 m³/h, by hand.
        let small = "window = { area = \"0.02 m2\", height = \"0.2 m\" }";
        let (message, at) = problem(&format!("fan = \"2000 m3/h\"\nsealed = true\n{small}")).expect("a problem");
        assert!(message.contains("252 m3/h at most"), "{message}");
        assert_eq!(at.as_deref(), Some("\"2000 m3/h\""));
        assert_eq!(problem(&format!("fan = \"450 m3/h\"\nsealed = true\n{small}")), None);
        assert_eq!(problem("fan = \"2000 m3/h\""), None);
        assert_eq!(problem("fan = \"2000 m3/h\"\nwindow = { area = \"0 m2\", height = \"0.2 m\" }"), None);
    }
}
