//! Dew margin, limits of sealer and label, blush thresholds.
