//! A room as one or two well-mixed zones, and what a unit release does to it.

/// Where the air is breathed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// At the face of the person at the bench: the near field.
    NearField,
    /// Elsewhere in the room: the far field.
    Room,
}

/// One mode of the room's answer to a release: `weight × e^(−rate t)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mode {
    /// Decay rate, 1/s.
    pub(super) rate_per_s: f64,
    /// Concentration at the face per unit of the mode's state, 1/m³.
    near_per_m3: f64,
    /// Concentration in the room per unit of the mode's state, 1/m³.
    room_per_m3: f64,
}

impl Mode {
    /// Concentration per unit of the mode's state, 1/m³.
    pub(super) fn per_m3(&self, place: Place) -> f64 {
        match place {
            Place::NearField => self.near_per_m3,
            Place::Room => self.room_per_m3,
        }
    }
}

/// A near field inside a room, or a single well-mixed room, in closed form.
///
/// The answer of either zone to a gram released at the bench at t = 0 is a sum of two exponentials; every other
/// release follows from it by superposition, exactly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zones {
    pub(super) modes: [Mode; 2],
    volume_m3: f64,
    flow_m3_s: f64,
}

impl Zones {
    /// One well-mixed room: V dC/dt = G − Q C, so a gram gives e^(−Q t / V) / V in both places. V room volume m³,
    /// Q air flow m³/s (already divided by the mixing factor), G release g/s, C concentration g/m³. Source: mass
    /// balance of a well-mixed room, any text on industrial ventilation.
    ///
    /// # Panics
    /// If the volume or the flow is not positive.
    pub fn well_mixed(volume_m3: f64, flow_m3_s: f64) -> Self {
        assert!(volume_m3 > 0.0 && flow_m3_s > 0.0, "a room has a volume and some air");
        let mode =
            Mode { rate_per_s: flow_m3_s / volume_m3, near_per_m3: 1.0 / volume_m3, room_per_m3: 1.0 / volume_m3 };
        let idle = Mode { rate_per_s: 1.0, near_per_m3: 0.0, room_per_m3: 0.0 };
        Self { modes: [mode, idle], volume_m3, flow_m3_s }
    }

    /// Near field and far field:
    ///
    /// V_N dC_N/dt = G − β (C_N − C_F), V_F dC_F/dt = β (C_N − C_F) − Q C_F.
    ///
    /// With a = β/V_N + (β + Q)/V_F and b = β Q/(V_N V_F) the decay rates are λ = (a ± √(a² − 4b))/2. A gram released
    /// in the near field gives C_N = (w₁ e^(−λ₁t) + w₂ e^(−λ₂t))/V_N with w₁ = (λ₂ − β/V_N)/(λ₂ − λ₁), w₂ = 1 − w₁, and
    /// C_F = β (e^(−λ₁t) − e^(−λ₂t))/(V_N V_F (λ₂ − λ₁)). V m³, β exchange flow m³/s, Q air flow m³/s. Source:
    /// Nicas 1996, AIHA Journal 57:542 (from memory), checked against an independent integration of the equations.
    ///
    /// # Panics
    /// If a volume or a flow is not positive.
    pub fn near_and_far(near_m3: f64, far_m3: f64, exchange_m3_s: f64, flow_m3_s: f64) -> Self {
        assert!(near_m3 > 0.0 && far_m3 > 0.0, "both zones have a volume");
        assert!(exchange_m3_s > 0.0 && flow_m3_s > 0.0, "air moves between the zones and out of the room");
        let near_rate = exchange_m3_s / near_m3;
        let far_rate = (exchange_m3_s + flow_m3_s) / far_m3;
        // The discriminant as a sum of squares cannot cancel.
        let difference = near_rate - far_rate;
        let root = libm::sqrt(difference * difference + 4.0 * exchange_m3_s * exchange_m3_s / (near_m3 * far_m3));
        let fast = 0.5 * (near_rate + far_rate + root);
        let slow = exchange_m3_s * flow_m3_s / (near_m3 * far_m3) / fast;
        let gap = fast - slow;
        let carried = exchange_m3_s / (near_m3 * far_m3 * gap);
        let modes = [
            Mode { rate_per_s: slow, near_per_m3: (far_rate - slow) / gap / near_m3, room_per_m3: carried },
            Mode { rate_per_s: fast, near_per_m3: (near_rate - slow) / gap / near_m3, room_per_m3: -carried },
        ];
        Self { modes, volume_m3: near_m3 + far_m3, flow_m3_s }
    }

    /// A hemisphere of a radius (m) on the bench as the near field of a room: V_N = ⅔ π r³, free surface 2 π r²,
    /// β = ½ × free surface × random air speed (m/min). Source: Nicas 1996, AIHA Journal 57:542, and the AIHA
    /// modelling handbook (from memory). In a room smaller than two such hemispheres the hemisphere shrinks to half
    /// the room.
    ///
    /// # Panics
    /// If any argument is not positive.
    pub fn around_bench(volume_m3: f64, flow_m3_s: f64, radius_m: f64, random_air_speed_m_min: f64) -> Self {
        use std::f64::consts::PI;
        let largest = libm::cbrt(0.75 * volume_m3 / PI);
        let radius = radius_m.min(largest);
        let near = 2.0 / 3.0 * PI * radius * radius * radius;
        let exchange = PI * radius * radius * random_air_speed_m_min / 60.0;
        Self::near_and_far(near, volume_m3 - near, exchange, flow_m3_s)
    }

    /// Time integral of the concentration that a unit released at the bench leaves, s/m³: 1/Q in the room, and 1/β more
    /// in the near field.
    pub(super) fn stays_s_per_m3(&self, place: Place) -> f64 {
        self.modes.iter().map(|mode| mode.per_m3(place) / mode.rate_per_s).sum()
    }

    /// Volume of the whole room, m³.
    pub fn volume_m3(&self) -> f64 {
        self.volume_m3
    }

    /// Air flow out of the room, m³/s.
    pub fn flow_m3_s(&self) -> f64 {
        self.flow_m3_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn hemisphere_of_a_metre() {
        // r = 1 m, 3 m/min: V_N 2.094 m³, β 9.42 m³/min by 2/3 π r³ and π r² s; an impulse starts at 1/V_N.
        let zones = Zones::around_bench(30.0, 0.01, 1.0, 3.0);
        let start: f64 = zones.modes.iter().map(|mode| mode.per_m3(Place::NearField)).sum();
        assert_relative_eq!(start, 1.0 / 2.0944, max_relative = 1e-4);
        let slope: f64 = zones.modes.iter().map(|mode| mode.per_m3(Place::NearField) * mode.rate_per_s).sum();
        assert_relative_eq!(slope / start * 2.0944 * 60.0, 9.4248, max_relative = 1e-4);
    }

    #[test]
    fn a_cupboard_keeps_two_zones() {
        let zones = Zones::around_bench(1.0, 1e-5, 0.8, 3.6);
        assert!(zones.modes.iter().all(|mode| mode.rate_per_s > 0.0));
        assert_relative_eq!(zones.volume_m3(), 1.0);
    }
}
