//! What was measured of one can, and its file: plain TOML, the measurements beside the result.

use serde::{Deserialize, Serialize};

use crate::diagnostic::{Problem, Problems, SourceText};
use crate::estimate::Quantiles;

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Reading {
    /// The can weighed before and after a burst.
    Can {
        /// Before, g.
        before_g: f64,
        /// After, g.
        after_g: f64,
        /// All bursts together, s.
        seconds: f64,
        /// Step of the scale, g.
        scale_g: f64,
        /// Temperature of the can, °C.
        temperature_c: f64,
        /// The rate at 22 °C, g/s.
        rate_g_s: f64,
        /// Its relative standard deviation.
        relative_sd: f64,
    },
    /// The width of a sprayed spot.
    Cone {
        /// Nozzle to sheet, cm.
        distance_cm: f64,
        /// Visible width, cm.
        width_cm: f64,
        /// Visible half angle, degrees.
        half_angle_deg: f64,
        /// Its relative standard deviation.
        relative_sd: f64,
    },
    /// A card weighed before it was sprayed and dry.
    Transfer {
        /// What it gained, g.
        gained_g: f64,
        /// Spraying, s.
        seconds: f64,
        /// Nozzle to card, cm.
        distance_cm: f64,
        /// What was taken as the can's rate at 22 °C, g/s.
        rate_g_s: f64,
        /// Share that stays at 15 cm, if that rate and the profile's solids are right.
        share_at_15cm: f64,
        /// Relative standard deviation of the reading itself.
        relative_sd: f64,
        /// Relative standard deviation of the solids, the same ones in every card of this can.
        solids_sd: f64,
    },
    /// Touch-dry by the thumb.
    Drying {
        /// Page and coat.
        of: String,
        /// From the end of the coat until touch-dry, min.
        minutes: f64,
        /// What the model said: one in ten below, min.
        modelled_p10_min: f64,
        /// Half below, min.
        modelled_p50_min: f64,
        /// Nine in ten below, min.
        modelled_p90_min: f64,
        /// Relative standard deviation of the reading.
        relative_sd: f64,
    },
    /// A medium that was seen to hold or to fail: on a scrap, or on a page.
    Scrap {
        /// Id of the medium.
        medium: String,
        /// Wet film that lay on it, µm: what half the places had.
        wet_um: f64,
        /// Whether it held.
        held: bool,
        /// Whether the film lay over a mist that was dry, and not on the medium itself.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        over_mist: bool,
        /// Id of the past run that showed it; absent for a scrap.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        run: Option<String>,
        /// In words: `bled, a hair's breadth`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
}

impl Reading {
    /// The word of its command.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Can { .. } => "can",
            Self::Cone { .. } => "cone",
            Self::Transfer { .. } => "transfer",
            Self::Drying { .. } => "drying",
            Self::Scrap { .. } => "scrap",
        }
    }

    /// What was read, with its relative standard deviation; `None` for a scrap.
    pub fn value(&self) -> Option<(f64, f64)> {
        match self {
            Self::Can { rate_g_s: value, relative_sd, .. }
            | Self::Cone { half_angle_deg: value, relative_sd, .. }
            | Self::Transfer { share_at_15cm: value, relative_sd, .. }
            | Self::Drying { minutes: value, relative_sd, .. } => Some((*value, *relative_sd)),
            Self::Scrap { .. } => None,
        }
    }
}

/// A reading and when it was made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Measurement {
    /// ISO 8601 with offset.
    pub at: String,
    /// It was far from what was expected, and the person stood by it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub insisted: bool,
    /// What was read.
    #[serde(flatten)]
    pub reading: Reading,
}

/// A figure as it is known now.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Known {
    /// What: `discharge_g_s`, `cone_half_angle_deg`, `transfer_at_15cm`, `drying_factor`.
    pub figure: &'static str,
    /// Readings behind it.
    pub readings: usize,
    /// Before any reading.
    pub before: Quantiles,
    /// With the readings.
    pub now: Quantiles,
}

/// Everything measured of one can.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
pub struct CanRecord {
    /// Id of the sealer, of a built-in one or of the user's own can.
    pub sealer: String,
    /// The file of the can, where it is the user's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub can_file: Option<String>,
    /// The measurements, oldest first.
    #[serde(default, rename = "measurement", skip_serializing_if = "Vec::is_empty")]
    pub measurements: Vec<Measurement>,
}

impl CanRecord {
    /// A can nothing is known of.
    pub fn new(sealer: impl Into<String>) -> Self {
        Self { sealer: sealer.into(), ..Self::default() }
    }

    /// Puts in what a past run showed, in place of what was said of that run before.
    pub fn hear(&mut self, run: &str, at: &str, heard: Vec<Reading>) {
        self.measurements
            .retain(|one| !matches!(&one.reading, Reading::Scrap { run: Some(other), .. } if other == run));
        let heard = heard.into_iter().map(|reading| Measurement { at: at.to_owned(), insisted: false, reading });
        self.measurements.extend(heard);
    }

    /// Name of the file of a can: of letters that are safe on every system.
    pub fn file_name(sealer: &str) -> String {
        let safe = |letter: char| if letter.is_ascii_alphanumeric() || letter == '-' { letter } else { '_' };
        format!("{}.toml", sealer.chars().map(safe).collect::<String>())
    }

    /// Reads the file of a can. The result in it is for people: it is computed anew from the measurements.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(source: &SourceText) -> Result<Self, Problems> {
        let record: Self = toml::from_str(&source.text).map_err(|error| {
            let problem =
                Problem::new("bad-measurements", format!("cannot read these measurements: {}", error.message()))
                    .with_hint("mend the line, or take the file away to begin anew");
            let problem = match error.span() {
                Some(span) => problem.at(span),
                None => problem,
            };
            Problems::new(source.clone(), vec![problem])
        })?;
        let above_nought = |value: f64| value.is_finite() && value > 0.0;
        let sound = |measurement: &Measurement| match &measurement.reading {
            Reading::Can { rate_g_s: value, relative_sd, .. }
            | Reading::Cone { half_angle_deg: value, relative_sd, .. }
            | Reading::Drying { minutes: value, relative_sd, .. } => above_nought(*value) && above_nought(*relative_sd),
            Reading::Transfer { rate_g_s, share_at_15cm, relative_sd, solids_sd, .. } => {
                let all = [*rate_g_s, *share_at_15cm, *relative_sd];
                all.into_iter().all(above_nought) && solids_sd.is_finite() && *solids_sd >= 0.0
            }
            Reading::Scrap { wet_um, .. } => above_nought(*wet_um),
        };
        let thumbs = |measurement: &Measurement| match &measurement.reading {
            Reading::Drying { modelled_p10_min: low, modelled_p50_min: middle, modelled_p90_min: high, .. } => {
                *low > 0.0 && low <= middle && middle <= high && high.is_finite()
            }
            _ => true,
        };
        match record.measurements.iter().position(|one| !sound(one) || !thumbs(one)) {
            None => Ok(record),
            Some(place) => {
                let message = format!("measurement {} holds a figure that is not positive, or out of order", place + 1);
                let problem = Problem::new("bad-measurements", message);
                Err(Problems::new(source.clone(), vec![problem.with_hint("take it out of the file")]))
            }
        }
    }

    /// The file: the result as `known` says first, then the measurements.
    ///
    /// # Panics
    /// Never: texts and numbers have a TOML form.
    pub fn to_text(&self, known: &[Known]) -> String {
        use std::fmt::Write;
        let mut text = String::from(
            "# What was measured of this can, written by `coatbell measure` and `coatbell scrap record`.\n\
             # The result is computed anew from the measurements: take one out, and it no longer counts.\n\n",
        );
        if !known.is_empty() {
            let _ = writeln!(text, "# Result (10 %, 50 %, 90 %):");
            for known in known {
                let Quantiles { p10, p50, p90 } = known.now;
                let _ = writeln!(text, "#   {:<20} {p10:.4}  {p50:.4}  {p90:.4}", known.figure);
            }
            text.push('\n');
        }
        text + &toml::to_string(self).expect("texts and numbers have a TOML form")
    }
}
