//! One coat at its most likely: what lands, and where everything that left the can has gone.

use super::{Pattern, Plume, Setting, Spray, raster};
use crate::catalog::Component;
use crate::film::{Landed, LandedPart};

/// Where the mass of one coat went, g. The last three add up to the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassBalance {
    /// Out of the can.
    pub left_can_g: f64,
    /// Landed on the page, liquid and solid.
    pub on_page_g: f64,
    /// Vapour while spraying: propellant, what flashed in flight, and the liquid of the overspray.
    pub in_air_g: f64,
    /// Solids of the overspray, and what landed beside the page, liquid and solid.
    pub on_surroundings_g: f64,
}

/// Where one volatile part of a coat went, g. All of it reaches the air sooner or later.
#[derive(Debug, Clone, PartialEq)]
pub struct Released {
    /// Which part.
    pub component: Component,
    /// Vapour at once: propellant, or flashed in flight.
    pub flashed_g: f64,
    /// In droplets that never land, vapour within moments.
    pub overspray_g: f64,
    /// Landed beside the page: evaporates as the film does.
    pub beside_g: f64,
    /// Landed on the page: evaporates from the film.
    pub page_g: f64,
    /// Its place in the parts that landed; `None` for a propellant, which does not land.
    pub landed_part: Option<usize>,
}

impl Released {
    /// All of it, g.
    pub fn total_g(&self) -> f64 {
        self.flashed_g + self.overspray_g + self.beside_g + self.page_g
    }
}

/// One coat at its most likely.
#[derive(Debug, Clone, PartialEq)]
pub struct Deposit<'c> {
    /// What lands on the page.
    pub landed: Landed<'c>,
    /// Where the mass went.
    pub balance: MassBalance,
    /// Where each volatile part went.
    pub released: Vec<Released>,
    /// Solids that stay in the air as dust or settle around, g.
    pub overspray_solids_g: f64,
}

/// What one coat lays at its most likely.
///
/// The mean over the page is `ṁ f TE/(v s)`; the page's part of what the strokes lay is the pattern's `page_share`;
/// what the footprint loses past an endless sheet is `1 − TE`.
pub fn deposit<'c>(spray: &Spray<'c>, plume: &Plume, setting: &Setting, pattern: &Pattern) -> Deposit<'c> {
    let left_can_g = plume.discharge_g_s * pattern.spray_s;
    let mean_g_m2 = raster::raster_mean_g_m2(
        plume.discharge_g_s * plume.transfer,
        setting.speed_cm_s / 100.0,
        setting.step_cm / 100.0,
    );
    let shares = &spray.shares;
    let mut parts = Vec::new();
    let mut released = Vec::new();
    let (mut in_air_g, mut liquid_g) = (0.0, 0.0);
    for ((volatile, share), lost) in spray.contents.volatiles.iter().zip(&shares.volatiles).zip(&plume.lost) {
        if *share <= 0.0 {
            continue;
        }
        let stays = share * (1.0 - lost);
        if !volatile.propellant {
            parts.push(LandedPart { substance: volatile.substance, mass_g_m2: mean_g_m2 * stays });
        }
        let landed_g = left_can_g * stays * plume.transfer;
        let part = Released {
            component: volatile.component.clone(),
            flashed_g: left_can_g * share * lost,
            overspray_g: left_can_g * stays * (1.0 - plume.transfer),
            beside_g: landed_g * (1.0 - pattern.page_share),
            page_g: landed_g * pattern.page_share,
            landed_part: (!volatile.propellant).then(|| parts.len() - 1),
        };
        in_air_g += part.flashed_g + part.overspray_g;
        liquid_g += landed_g;
        released.push(part);
    }
    let solids_g = left_can_g * shares.solids;
    let overspray_solids_g = solids_g * (1.0 - plume.transfer);
    let landed_g = liquid_g + solids_g * plume.transfer;
    let landed = Landed {
        parts,
        solids_g_m2: mean_g_m2 * shares.solids,
        solids_density_kg_m3: spray.sealer.solids_density_kg_m3,
        resin_tg_k: spray.sealer.resin_tg_k.mode(),
        dry_share: plume.dry_share,
    };
    let balance = MassBalance {
        left_can_g,
        on_page_g: landed_g * pattern.page_share,
        in_air_g,
        on_surroundings_g: overspray_solids_g + landed_g * (1.0 - pattern.page_share),
    };
    Deposit { landed, balance, released, overspray_solids_g }
}
