//! A run as the air sees it: its room, its coats with what they release, and who stands there.

use super::mask::RespiratorKind;
use super::release::CoatAir;
use super::ventilation::RoomAir;
use crate::catalog::{Component, Composition, Part};
use crate::estimate::{Basis, Grounds, Triple};
use crate::input::Hardener;

/// What is in a can for [`RunAir::shares`]: its parts, and what they leave undeclared.
pub fn shares_of(composition: &Composition) -> Vec<Part> {
    let mut parts = composition.parts.clone();
    let sum = |end: fn(Triple) -> f64| 1.0 - parts.iter().map(|part| end(part.share)).sum::<f64>();
    let [low, mode, high] = [sum(Triple::high), sum(Triple::mode), sum(Triple::low)].map(|rest| rest.max(0.0));
    let listed = parts.iter().any(|part| part.component == Component::Undeclared);
    if let Some(share) = Triple::new(low, mode, high).filter(|_| !composition.complete && !listed && mode > 1e-9) {
        parts.push(Part { component: Component::Undeclared, share, grounds: Grounds::plain(Basis::Estimate) });
    }
    parts
}

/// A run as the air review needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct RunAir {
    /// The room.
    pub room: RoomAir,
    /// The coats, in order, with everything they release.
    pub coats: Vec<CoatAir>,
    /// What is in the can or cans, for the hazards that count by share; the high ends are used.
    pub shares: Vec<Part>,
    /// A mask the user named; the recommended half mask where it protects more.
    pub respirator: Option<RespiratorKind>,
    /// Hardener.
    pub hardener: Hardener,
    /// An ignition source within reach, besides what the room file says.
    pub ignition: bool,
    /// Relative humidity, 0 to 1, if known: damp shortens the life of a cartridge.
    pub relative_humidity: Option<f64>,
}

impl RunAir {
    /// The mask counted on: a half mask with cartridges, or a better one that the user named.
    pub fn mask(&self) -> RespiratorKind {
        let half = RespiratorKind::HalfApr;
        match self.respirator {
            Some(named) if named.supplies_air() || named.protection_factor() >= half.protection_factor() => named,
            _ => half,
        }
    }

    /// The same run with extra time between its coats.
    #[must_use]
    pub(super) fn with_longer_intervals(&self, extra_s: f64) -> Self {
        let coats = self.coats.iter().enumerate().map(|(n, coat)| coat.shifted(n as f64 * extra_s)).collect();
        Self { coats, ..self.clone() }
    }
}
