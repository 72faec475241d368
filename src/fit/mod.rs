//! Sealer against media: caps, levels and the ranking.
