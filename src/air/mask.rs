//! Masks: protection factors, what they do not hold, how long a cartridge lasts.

/// A kind of respirator of the table in 29 CFR 1910.134.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RespiratorKind {
    /// Air-purifying, quarter mask.
    QuarterApr,
    /// Air-purifying, half mask.
    HalfApr,
    /// Air-purifying, full face.
    FullApr,
    /// Powered air-purifying, half mask.
    PaprHalf,
    /// Powered air-purifying, full face.
    PaprFull,
    /// Powered air-purifying, hood or helmet, with the maker's test evidence.
    PaprHoodEvidence,
    /// Powered air-purifying, hood or helmet, without it.
    PaprHoodNoEvidence,
    /// Powered air-purifying, loose-fitting.
    PaprLoose,
    /// Supplied air on demand, half mask.
    SarDemandHalf,
    /// Supplied air on demand, full face.
    SarDemandFull,
    /// Supplied air, continuous flow, half mask.
    SarContHalf,
    /// Supplied air, continuous flow, full face.
    SarContFull,
    /// Supplied air, pressure demand, half mask.
    SarPdHalf,
    /// Supplied air, pressure demand, full face.
    SarPdFull,
    /// Self-contained, on demand, half mask.
    ScbaDemandHalf,
    /// Self-contained, on demand, full face.
    ScbaDemandFull,
    /// Self-contained, pressure demand, full face.
    ScbaPdFull,
}

/// Id, words and protection factor of each kind.
const TABLE: [(RespiratorKind, &str, &str, f64); 17] = [
    (RespiratorKind::QuarterApr, "quarter-apr", "quarter mask with cartridges", 5.0),
    (RespiratorKind::HalfApr, "half-apr", "half mask with cartridges", 10.0),
    (RespiratorKind::FullApr, "full-apr", "full-face mask with cartridges", 50.0),
    (RespiratorKind::PaprHalf, "papr-half", "half mask with a blower and cartridges", 50.0),
    (RespiratorKind::PaprFull, "papr-full", "full-face mask with a blower and cartridges", 1000.0),
    (RespiratorKind::PaprHoodEvidence, "papr-hood-evidence", "tested hood with a blower and cartridges", 1000.0),
    (RespiratorKind::PaprHoodNoEvidence, "papr-hood-no-evidence", "hood with a blower and cartridges", 25.0),
    (RespiratorKind::PaprLoose, "papr-loose", "loose hood with a blower and cartridges", 25.0),
    (RespiratorKind::SarDemandHalf, "sar-demand-half", "half mask with supplied air on demand", 10.0),
    (RespiratorKind::SarDemandFull, "sar-demand-full", "full-face mask with supplied air on demand", 50.0),
    (RespiratorKind::SarContHalf, "sar-cont-half", "half mask with a steady flow of supplied air", 50.0),
    (RespiratorKind::SarContFull, "sar-cont-full", "full-face mask with a steady flow of supplied air", 1000.0),
    (RespiratorKind::SarPdHalf, "sar-pd-half", "half mask with supplied air under pressure", 50.0),
    (RespiratorKind::SarPdFull, "sar-pd-full", "full-face mask with supplied air under pressure", 1000.0),
    (RespiratorKind::ScbaDemandHalf, "scba-demand-half", "half mask with an air bottle on demand", 10.0),
    (RespiratorKind::ScbaDemandFull, "scba-demand-full", "full-face mask with an air bottle on demand", 50.0),
    (RespiratorKind::ScbaPdFull, "scba-pd-full", "full-face mask with an air bottle under pressure", 10_000.0),
];

impl RespiratorKind {
    /// The ids, in the order of the table.
    pub fn ids() -> impl Iterator<Item = &'static str> {
        TABLE.iter().map(|row| row.1)
    }

    /// The kind of an id, for instance `half-apr`.
    pub fn from_id(id: &str) -> Option<Self> {
        TABLE.iter().find(|row| row.1 == id).map(|row| row.0)
    }

    fn row(self) -> &'static (Self, &'static str, &'static str, f64) {
        // The table lists every kind in the order of the enum; a test holds it to that.
        &TABLE[self as usize]
    }

    /// Its id.
    pub fn id(self) -> &'static str {
        self.row().1
    }

    /// The kind in plain words.
    pub fn in_words(self) -> &'static str {
        self.row().2
    }

    /// Assigned protection factor. Source: 29 CFR 1910.134(d)(3)(i)(A), table 1; valid only with a fit test.
    pub fn protection_factor(self) -> f64 {
        self.row().3
    }

    /// Whether it brings its own air instead of cleaning the room's.
    pub fn supplies_air(self) -> bool {
        self as usize >= Self::SarDemandHalf as usize
    }
}

/// Assigned protection factor of a respirator id; `None` for an id that is not in the table.
pub fn assigned_protection_factor(id: &str) -> Option<f64> {
    RespiratorKind::from_id(id).map(RespiratorKind::protection_factor)
}

/// Highest concentration a mask may be used in, ppm: protection factor × limit, never above the concentration that is
/// immediately dangerous. Source: 29 CFR 1910.134(d)(3)(i)(B); NIOSH Pocket Guide entries.
pub fn max_use_concentration_ppm(protection_factor: f64, limit_ppm: f64, idlh_ppm: f64) -> f64 {
    (protection_factor * limit_ppm).min(idlh_ppm)
}

/// Life of an organic-vapour cartridge, h, by rule of thumb: a tenth of the concentration lasts five times as long, so
/// life = base × (base ppm/ppm)^log₁₀5; above 85 % relative humidity half. Only for liquids boiling above 70 °C, and
/// only beside another method. Source: OSHA respiratory protection eTool, after the AIHA handbook, chapter 36.
pub fn cartridge_life_h(base_h: f64, base_ppm: f64, ppm: f64, relative_humidity_pct: f64) -> f64 {
    let life = base_h * libm::pow(base_ppm / ppm, libm::log10(5.0));
    if relative_humidity_pct > 85.0 { life / 2.0 } else { life }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn table_is_in_order() {
        for (place, row) in TABLE.iter().enumerate() {
            assert_eq!(row.0 as usize, place, "{}", row.1);
        }
    }

    #[test]
    fn protection_factors() {
        // 29 CFR 1910.134(d)(3)(i)(A), table 1.
        for (id, factor) in [
            ("quarter-apr", 5.0),
            ("half-apr", 10.0),
            ("full-apr", 50.0),
            ("papr-half", 50.0),
            ("papr-full", 1000.0),
            ("papr-hood-evidence", 1000.0),
            ("papr-hood-no-evidence", 25.0),
            ("papr-loose", 25.0),
            ("sar-demand-half", 10.0),
            ("sar-demand-full", 50.0),
            ("sar-cont-half", 50.0),
            ("sar-cont-full", 1000.0),
            ("sar-pd-half", 50.0),
            ("sar-pd-full", 1000.0),
            ("scba-demand-half", 10.0),
            ("scba-demand-full", 50.0),
            ("scba-pd-full", 10_000.0),
        ] {
            assert_eq!(assigned_protection_factor(id), Some(factor), "{id}");
        }
        assert_eq!(assigned_protection_factor("scarf"), None);
        assert!(RespiratorKind::SarPdHalf.supplies_air() && !RespiratorKind::PaprLoose.supplies_air());
    }

    #[test]
    fn highest_use() {
        // NIOSH Pocket Guide: naphtha 85 ppm × 25 is capped at 1100; isopropyl alcohol at 2000; 1 ppm × 10 is 10.
        assert_eq!(max_use_concentration_ppm(25.0, 85.0, 1100.0), 1100.0);
        assert_eq!(max_use_concentration_ppm(25.0, 400.0, 2000.0), 2000.0);
        assert_eq!(max_use_concentration_ppm(10.0, 1.0, 1600.0), 10.0);
    }

    #[test]
    fn cartridge_rule_of_thumb() {
        // OSHA eTool: ten times lower, five times longer; damp halves it.
        assert_relative_eq!(cartridge_life_h(8.0, 200.0, 20.0, 50.0), 40.0, max_relative = 0.01);
        assert_relative_eq!(cartridge_life_h(8.0, 200.0, 200.0, 90.0), 4.0, max_relative = 0.01);
    }
}
