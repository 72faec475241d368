//! From what a person read to a figure with its uncertainty, or to what is wrong with it and what would do.

use super::{LogNormal, Reading};
use crate::catalog::{MeasureFigures, Sealer, SprayFigures};
use crate::diagnostic::Problem;
use crate::estimate::Quantiles;

/// The can before and after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CanWeighing {
    /// Before, g.
    pub before_g: f64,
    /// After, g.
    pub after_g: f64,
    /// One burst, s.
    pub seconds: f64,
    /// Bursts between the two weighings.
    pub bursts: u32,
    /// Step of the scale, g.
    pub scale_g: f64,
    /// Temperature of the can, °C.
    pub temperature_c: f64,
    /// Discharge at that temperature over that at 22 °C.
    pub discharge_factor: f64,
}

/// A spot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConeReading {
    /// Nozzle to sheet, cm.
    pub distance_cm: f64,
    /// Visible width, cm.
    pub width_cm: f64,
}

/// A card before and after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CardWeighing {
    /// Before, g.
    pub before_g: f64,
    /// Dry again, g.
    pub after_g: f64,
    /// Area of the card, m².
    pub card_m2: f64,
    /// Area the passes swept, the card and what was sprayed beside it, m².
    pub swept_m2: f64,
    /// Spraying, s.
    pub seconds: f64,
    /// Nozzle to card, cm.
    pub distance_cm: f64,
    /// Step of the scale, g.
    pub scale_g: f64,
    /// Share of the can's content that stays as solids.
    pub solids: LogNormal,
}

/// A thumb.
#[derive(Debug, Clone, PartialEq)]
pub struct ThumbReading {
    /// Page and coat.
    pub of: String,
    /// From the coat until touch-dry, min.
    pub minutes: f64,
    /// Step of the clock both times were read from, min.
    pub clock_step_min: f64,
    /// What the model said, min.
    pub modelled: Quantiles,
}

/// Relative standard deviation of a difference of two readings of a scale: each is uniform within its step.
fn scale_sd(scale_g: f64, difference_g: f64) -> f64 {
    scale_g / libm::sqrt(6.0) / difference_g
}

fn together(parts: &[f64]) -> f64 {
    libm::sqrt(parts.iter().map(|part| part * part).sum())
}

/// The can's rate at 22 °C from two weighings: `rate = (before − after)/(seconds × factor)`, uncertain by the scale's
/// step, the clock and the difference between bursts.
///
/// # Errors
/// Weights that run backwards, no time, a scale that cannot tell; each with what would do.
pub fn read_can(weighing: &CanWeighing, sealer: &Sealer, figures: &MeasureFigures) -> Result<Reading, Box<Problem>> {
    let CanWeighing { before_g, after_g, seconds, bursts, scale_g, temperature_c, discharge_factor } = *weighing;
    let total_s = seconds * f64::from(bursts);
    if total_s <= 0.0 {
        let problem = Problem::new("no-time", "a burst of 0 s tells nothing about the rate");
        return Err(Box::new(problem.with_hint("spray for ten seconds by the clock, as `--seconds 10`")));
    }
    let lost_g = before_g - after_g;
    if lost_g < 0.0 {
        let message = format!("the can weighs more after the burst ({after_g:.1} g) than before ({before_g:.1} g)");
        let hint = "swap the two weights, or weigh again with the same cap on the can both times";
        return Err(Box::new(Problem::new("heavier-after", message).with_hint(hint)));
    }
    let expected = sealer.discharge_at_22c_g_s().mode() * discharge_factor;
    let shown_g = if lost_g > 0.0 { lost_g } else { expected * total_s };
    let by_scale = scale_sd(scale_g, shown_g);
    if by_scale > figures.cannot_tell.get() || lost_g <= 0.0 {
        let enough_g = scale_g / libm::sqrt(6.0) / (0.5 * figures.cannot_tell.get());
        let enough_s = libm::ceil(enough_g / expected.max(0.01) / 5.0) * 5.0;
        let finer_g = [5.0, 2.0, 1.0, 0.5, 0.1, 0.01]
            .into_iter()
            .find(|step| scale_sd(*step, shown_g) <= 0.5 * figures.cannot_tell.get())
            .unwrap_or(0.01);
        let message = format!("a scale that shows steps of {scale_g} g cannot tell a burst of about {shown_g:.1} g");
        let hint = format!(
            "use a scale with steps of {finer_g} g, or spray for {enough_s:.0} s in all between the two weighings, in \
             bursts with rests (`--bursts`)"
        );
        return Err(Box::new(Problem::new("scale-too-coarse", message).with_hint(hint)));
    }
    let burst = figures.burst_variation.get() / libm::sqrt(f64::from(bursts));
    let clock = figures.timing_s.get() * libm::sqrt(f64::from(bursts)) / total_s;
    Ok(Reading::Can {
        before_g,
        after_g,
        seconds: total_s,
        scale_g,
        temperature_c,
        rate_g_s: lost_g / total_s / discharge_factor,
        relative_sd: together(&[by_scale, clock, burst]),
    })
}

/// The cone's visible half angle from a spot: `tan α = width / (2 distance)`.
///
/// # Errors
/// Sizes that are nought, or that no can makes.
pub fn read_cone(reading: &ConeReading, figures: &MeasureFigures) -> Result<Reading, Box<Problem>> {
    let ConeReading { distance_cm, width_cm } = *reading;
    if distance_cm <= 0.0 || width_cm <= 0.0 {
        let problem = Problem::new("no-size", "a cone has a distance and a width above nought");
        return Err(Box::new(
            problem.with_hint("spray one second at scrap paper from 30 cm and measure the spot across"),
        ));
    }
    let half_angle_deg = libm::atan(width_cm / (2.0 * distance_cm)).to_degrees();
    if half_angle_deg > 45.0 {
        let message = format!("a spot {width_cm:.0} cm wide from {distance_cm:.0} cm is no cone of a can");
        return Err(Box::new(
            Problem::new("not-a-cone", message).with_hint("check that both are in the unit you mean"),
        ));
    }
    let relative_sd = together(&[figures.edge_cm.get() / width_cm, figures.distance_cm.get() / distance_cm]);
    if relative_sd > figures.cannot_tell.get() {
        let message = format!("a spot of {width_cm:.1} cm from {distance_cm:.0} cm is too small to tell");
        let hint = "spray from 30 cm: the spot is then some 13 cm wide and its edge matters less";
        return Err(Box::new(Problem::new("spot-too-small", message).with_hint(hint)));
    }
    Ok(Reading::Cone { distance_cm, width_cm, half_angle_deg, relative_sd })
}

/// The share that stays from a card weighed dry: `gain = rate × seconds × solids × share × card/swept`, brought to
/// 15 cm. It tells the product: the rate taken is kept beside it, with how little is known of the solids.
///
/// # Errors
/// A card that got lighter, no time, areas that cannot be, a scale that cannot tell.
pub fn read_card(
    weighing: &CardWeighing,
    rate_g_s: f64,
    discharge_factor: f64,
    spray: &SprayFigures,
    figures: &MeasureFigures,
) -> Result<Reading, Box<Problem>> {
    let CardWeighing { before_g, after_g, card_m2, swept_m2, seconds, distance_cm, scale_g, solids } = *weighing;
    if seconds <= 0.0 {
        let problem = Problem::new("no-time", "0 s of spraying put nothing on the card");
        return Err(Box::new(problem.with_hint("count the seconds the nozzle was open, as `--seconds 6`")));
    }
    if after_g < before_g {
        let message = format!("the dry card weighs less ({after_g} g) than before it was sprayed ({before_g} g)");
        let hint = "let the card lie in the room for a day before each weighing, so that it holds as much moisture";
        return Err(Box::new(Problem::new("lighter-after", message).with_hint(hint)));
    }
    if card_m2 <= 0.0 || card_m2 > swept_m2 {
        let problem = Problem::new("card-beyond-passes", "the passes have to sweep at least the whole card");
        return Err(Box::new(
            problem.with_hint("give the whole area the passes went over, as `--swept \"40 cm x 30 cm\"`"),
        ));
    }
    let solids_share = solids.quantiles().p50;
    let sent_g = rate_g_s * discharge_factor * seconds * solids_share * card_m2 / swept_m2;
    let to_15cm = libm::exp((distance_cm / 100.0 - 0.15) / spray.transfer_length_m.get());
    let gained_g = after_g - before_g;
    let expected_g = sent_g * spray.transfer_at_15cm.get() / to_15cm;
    let by_scale = scale_sd(scale_g, if gained_g > 0.0 { gained_g } else { expected_g });
    if by_scale > figures.cannot_tell.get() || gained_g <= 0.0 {
        let message = format!("a scale that shows steps of {scale_g} g cannot tell the {expected_g:.2} g a card gains");
        let finer =
            [0.1, 0.05, 0.01, 0.001].into_iter().find(|step| scale_sd(*step, expected_g) <= 0.12).unwrap_or(0.001);
        let hint = format!("use a scale with steps of {finer} g, a larger card, or weigh after several coats");
        return Err(Box::new(Problem::new("scale-too-coarse", message).with_hint(hint)));
    }
    let own = [by_scale, figures.timing_s.get() / seconds, figures.burst_variation.get(), figures.card_variation.get()];
    Ok(Reading::Transfer {
        gained_g,
        seconds,
        distance_cm,
        rate_g_s,
        share_at_15cm: gained_g / sent_g * to_15cm,
        relative_sd: together(&own),
        solids_sd: solids.sigma,
    })
}

/// How a coat dried against the model.
///
/// # Errors
/// Dry before it was sprayed; a clock that cannot tell.
pub fn read_thumb(reading: &ThumbReading, figures: &MeasureFigures) -> Result<Reading, Box<Problem>> {
    let ThumbReading { of, minutes, clock_step_min, modelled } = reading;
    if *minutes < 0.0 {
        let problem = Problem::new("dry-before-sprayed", "it was touch-dry before it was sprayed");
        let hint = "check that the two times are not swapped; give both with their day if midnight lies between them";
        return Err(Box::new(problem.with_hint(hint)));
    }
    // Two moments, each uniform within the clock's step: as two readings of a scale.
    let by_clock = scale_sd(*clock_step_min, *minutes);
    // By what was to be expected, not by what was read: else the short readings alone would be turned away.
    if scale_sd(*clock_step_min, modelled.p50) > figures.cannot_tell.get() || *minutes < *clock_step_min {
        let message =
            format!("a clock without seconds cannot tell a coat that is dry in about {:.1} min", modelled.p50);
        let hint = "give both times with seconds, as `--sprayed 14:00:10 --touched 14:01:35`, or touch a build coat, \
                    which takes longer";
        return Err(Box::new(Problem::new("clock-too-coarse", message).with_hint(hint)));
    }
    let Quantiles { p10, p50, p90 } = *modelled;
    Ok(Reading::Drying {
        of: of.clone(),
        minutes: *minutes,
        modelled_p10_min: p10,
        modelled_p50_min: p50,
        modelled_p90_min: p90,
        relative_sd: together(&[figures.thumb_variation.get(), by_clock]),
    })
}
