//! The planned wait between coats: policy, not physics.

use crate::catalog::{Family, Figure, Rules, Sealer};

/// A planned wait and what set it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wait {
    /// Minutes, rounded up to the step of the rules.
    pub(super) minutes: u32,
    /// What governs it, in words.
    pub(super) governed_by: String,
    /// What of the label was applied.
    pub(super) label_applied: Vec<String>,
    /// Latest minute for the next coat, if the label closes a window.
    pub(super) recoat_by_min: Option<f64>,
    /// The label's window closes before the wait is over and never opens again.
    pub(super) window_impossible: bool,
}

/// The family floor of the wait.
pub(super) fn family_floor(family: Family, rules: &Rules) -> &Figure {
    let coats = &rules.coats;
    match family {
        Family::Fixative | Family::HairSpray => &coats.floor_fixative_min,
        Family::Acrylic => &coats.floor_acrylic_min,
        Family::AcrylicSpirit | Family::AcrylicUv => &coats.floor_acrylic_spirit_min,
        Family::Nitro => &coats.floor_nitro_min,
        Family::Casein => &coats.floor_casein_min,
        Family::WaterBorne => &coats.floor_water_borne_min,
        Family::Ketone => &coats.floor_ketone_min,
        Family::Dammar => &coats.floor_dammar_min,
    }
}

/// The wait after a coat: the largest of the label's minimum, the family's floor, a multiple of the median modelled
/// handle time and the time until a masked person may return; rounded up; moved out of the label's forbidden band.
///
/// `median_handle_min` is absent where no film model applies. After the last coat no other follows, and the label's band
/// forbids nothing.
pub(super) fn planned_wait(
    sealer: &Sealer,
    median_handle_min: Option<f64>,
    return_masked_min: Option<f64>,
    last: bool,
    rules: &Rules,
) -> Wait {
    let floor = family_floor(sealer.family, rules);
    let mut candidates = vec![(floor.get(), "the least wait of the trade for this kind of sealer".to_owned())];
    if let Some(handle) = median_handle_min {
        let factor = rules.coats.wait_factor.get();
        candidates.push((factor * handle, format!("{factor:.0} times the modelled drying time")));
    }
    if let Some(minutes) = return_masked_min {
        candidates.push((minutes, "the air: until you may come back with the mask".to_owned()));
    }
    let mut label_applied = Vec::new();
    if let Some(minutes) = sealer.label.recoat_min {
        candidates.push((minutes, "your can's label".to_owned()));
        label_applied.push(format!("recoat after {minutes:.0} min"));
    }
    // The first of equal candidates governs, so that the reason never flickers.
    let (longest, governed_by) = candidates
        .into_iter()
        .reduce(|best, next| if next.0 > best.0 + 1e-9 { next } else { best })
        .unwrap_or((0.0, String::new()));
    let step = rules.coats.wait_step_min.get();
    let round_up = |minutes: f64| (libm::ceil(minutes / step - 1e-9) * step).max(step);
    let mut minutes = round_up(longest);
    let mut recoat_by_min = None;
    let mut window_impossible = false;
    if let Some(band) = sealer.label.recoat_window.filter(|_| !last) {
        label_applied.push(format!("recoat within {}", crate::quantity::minutes_in_words(band.from_min as i64)));
        if minutes <= band.from_min {
            recoat_by_min = Some(band.from_min);
        } else if band.until_min.is_finite() {
            minutes = minutes.max(round_up(band.until_min));
        } else {
            window_impossible = true;
        }
    }
    Wait { minutes: minutes as u32, governed_by, label_applied, recoat_by_min, window_impossible }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use crate::input::ForbiddenBand;

    #[test]
    fn a_window_is_for_the_coat_that_follows() {
        let catalog = Catalog::builtin();
        let mut sealer = catalog.sealers["acrylic-gloss"].clone();
        let mut wait = |until_min: f64, back_min: f64, last: bool| {
            sealer.label.recoat_window = Some(ForbiddenBand { from_min: 60.0, until_min });
            planned_wait(&sealer, None, Some(back_min), last, &catalog.rules)
        };
        // Open until an hour, shut until a day: a room that clears in two hours moves the next coat to the day after.
        assert_eq!((wait(1440.0, 30.0, false).minutes, wait(1440.0, 30.0, false).recoat_by_min), (30, Some(60.0)));
        assert_eq!((wait(1440.0, 120.0, false).minutes, wait(1440.0, 120.0, false).recoat_by_min), (1440, None));
        assert!(wait(f64::INFINITY, 120.0, false).window_impossible);
        // No coat follows the last.
        let last = wait(f64::INFINITY, 120.0, true);
        assert_eq!((last.minutes, last.window_impossible, last.recoat_by_min), (120, false, None));
        assert_eq!(wait(1440.0, 120.0, true).minutes, 120);
    }
}
