//! The pattern of passes over one sheet.

use super::Setting;

/// Along which side of the sheet the passes run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// The long side.
    Long,
    /// The short side.
    Short,
}

/// Where coats start in turn, so that the beginner's end is not always the same.
pub const START_CORNERS: [&str; 4] = ["top-left", "bottom-right", "top-right", "bottom-left"];

/// Steps to which an overrun is rounded up, cm.
const OVERRUN_STEP_CM: f64 = 0.5;

/// The passes of one coat over a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// Along which side they run.
    pub along: Along,
    /// How many.
    pub passes: usize,
    /// Centre of the first from the edge of the sheet, cm; negative is outside.
    pub first_pass_offset_cm: f64,
    /// Beyond the edge at both ends, cm.
    pub overrun_cm: f64,
    /// One pass from start to stop, s.
    pub seconds_per_pass: f64,
    /// All passes, s.
    pub spray_s: f64,
    /// Share of what is sprayed over the strokes that is over the page.
    pub page_share: f64,
    /// Where the first pass starts.
    pub start_corner: &'static str,
}

impl Pattern {
    /// The passes over a sheet (cm) for a setting, a footprint (σ, cm) and the extra overrun (cm); `coat` from nought.
    ///
    /// `passes = ⌈(W + 2σ)/s⌉ + 1`, spread evenly about the sheet, so that the outermost are centred at least σ
    /// outside; overrun at least `2σ` and the extra; the direction turns 90° each coat, first along the long side.
    pub fn new(
        width_cm: f64,
        height_cm: f64,
        setting: &Setting,
        sigma_cm: f64,
        extra_overrun_cm: f64,
        coat: usize,
    ) -> Self {
        let along = if coat.is_multiple_of(2) { Along::Long } else { Along::Short };
        let (long, short) = (width_cm.max(height_cm), width_cm.min(height_cm));
        let (stroke, across) = if along == Along::Long { (long, short) } else { (short, long) };
        // A hair less than the exact quotient, so that rounding does not add a pass.
        let steps = libm::ceil((across + 2.0 * sigma_cm) / setting.step_cm - 1e-9);
        let overrun_cm = libm::ceil((2.0 * sigma_cm + extra_overrun_cm) / OVERRUN_STEP_CM - 1e-9) * OVERRUN_STEP_CM;
        let passes = steps as usize + 1;
        let stroke_cm = stroke + 2.0 * overrun_cm;
        let seconds_per_pass = stroke_cm / setting.speed_cm_s;
        Self {
            along,
            passes,
            first_pass_offset_cm: (across - steps * setting.step_cm) / 2.0,
            overrun_cm,
            seconds_per_pass,
            spray_s: passes as f64 * seconds_per_pass,
            page_share: width_cm * height_cm / (stroke_cm * passes as f64 * setting.step_cm),
            start_corner: START_CORNERS[coat % START_CORNERS.len()],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn a4_as_in_the_worked_chain() {
        // Derived beside the model: σ 3.3 cm, step 6 cm over A4 is 6 passes; σ 2.0 cm, step 4 cm is 8 along it.
        let mist = Setting { distance_cm: 30.0, speed_cm_s: 50.0, step_cm: 6.0 };
        let pattern = Pattern::new(21.0, 29.7, &mist, 3.3, 2.0, 0);
        assert_eq!((pattern.along, pattern.passes), (Along::Long, 6));
        assert!(pattern.overrun_cm >= 8.6 && pattern.first_pass_offset_cm <= -3.3);
        assert_abs_diff_eq!(pattern.spray_s, 6.0 * (29.7 + 2.0 * pattern.overrun_cm) / 50.0, epsilon = 1e-12);
        let build = Setting { distance_cm: 18.0, speed_cm_s: 40.0, step_cm: 4.0 };
        assert_eq!(Pattern::new(21.0, 29.7, &build, 2.0, 2.0, 0).passes, 8);
        let crossed = Pattern::new(21.0, 29.7, &build, 2.0, 2.0, 1);
        assert_eq!(crossed.along, Along::Short);
        assert!(crossed.page_share < 1.0 && crossed.page_share > 0.3);
    }

    #[test]
    fn passes_lie_evenly_about_the_middle_of_the_sheet() {
        for (step_cm, turn, across) in [(6.0, 0, 21.0), (4.0, 0, 21.0), (4.0, 1, 29.7), (7.5, 1, 29.7)] {
            let setting = Setting { distance_cm: 25.0, speed_cm_s: 45.0, step_cm };
            let pattern = Pattern::new(21.0, 29.7, &setting, 2.7, 2.0, turn);
            let last = pattern.first_pass_offset_cm + (pattern.passes as f64 - 1.0) * step_cm;
            assert_abs_diff_eq!(last - across, -pattern.first_pass_offset_cm, epsilon = 1e-9);
            assert!(pattern.first_pass_offset_cm <= -2.7, "one sigma outside the edge: {pattern:?}");
        }
    }
}
