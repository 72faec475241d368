//! A finished run as it is kept.

use serde::{Deserialize, Serialize};

use crate::estimate::Quantiles;
use crate::plan::{Coat, Plan};

/// One coat: as planned, and when it was really sprayed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PastCoat {
    /// From 1.
    pub number: usize,
    /// `mist` or `build`.
    pub kind: String,
    /// Nozzle to sheet, cm.
    pub distance_cm: f64,
    /// Speed of the hand, cm/s.
    pub pass_speed_cm_s: f64,
    /// Between pass centres, cm.
    pub step_over_cm: f64,
    /// Wet film planned, µm.
    pub wet_film_um: Quantiles,
    /// Modelled touch-dry time, min.
    #[serde(default)]
    pub touch_dry_min: Option<Quantiles>,
    /// The same by the model alone; only where a thumb had taught it something.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub touch_dry_modelled_min: Option<Quantiles>,
    /// Out of the can as planned, g.
    pub sealer_g: f64,
    /// When it was due: ISO 8601 with offset.
    #[serde(default)]
    pub planned_at: Option<String>,
    /// When it was really sprayed; absent if it never was.
    #[serde(default)]
    pub sprayed_at: Option<String>,
    /// How early or late in a person's words: `12 min late`.
    #[serde(default)]
    pub note: Option<String>,
}

/// Something that went wrong in a run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mishap {
    /// When: ISO 8601 with offset.
    pub at: String,
    /// What, as `rescue` calls it: `bled`, `dripped`, `dust`.
    pub what: String,
    /// After which coat, from 1.
    #[serde(default)]
    pub coat: Option<usize>,
    /// What was done or said about it.
    #[serde(default)]
    pub note: Option<String>,
}

/// A finished run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PastRun {
    /// The run's own id.
    pub id: String,
    /// When it began: ISO 8601 with offset.
    pub started_at: String,
    /// When it ended.
    pub finished_at: String,
    /// Whether every planned coat was sprayed.
    pub complete: bool,
    /// Title of the page.
    pub title: String,
    /// File of the page, if it came from one.
    #[serde(default)]
    pub page_file: Option<String>,
    /// Id of the paper.
    pub paper: String,
    /// Ids of what lies on the page, bottom to top.
    pub media: Vec<String>,
    /// Id of the sealer: of a built-in one, or of the user's own can.
    pub sealer: String,
    /// Name of the sealer.
    pub sealer_name: String,
    /// The room as named.
    #[serde(default)]
    pub room: Option<String>,
    /// Temperature at the bench, °C.
    pub temperature_c: f64,
    /// Relative humidity at the bench, per cent.
    pub relative_humidity_pct: f64,
    /// The coats.
    pub coats: Vec<PastCoat>,
    /// What went wrong.
    #[serde(default)]
    pub mishaps: Vec<Mishap>,
    /// Out of the can in all, g: what the sprayed coats were planned to take, or what was weighed.
    pub grams_used: f64,
}

impl PastRun {
    /// A run of a plan of which nothing has been sprayed yet: the caller puts in when each coat was
    /// ([`PastRun::sprayed`]), what went wrong and when it ended.
    pub fn of(plan: &Plan, id: impl Into<String>, started_at: impl Into<String>) -> Self {
        let started_at = started_at.into();
        Self {
            id: id.into(),
            finished_at: started_at.clone(),
            started_at,
            complete: false,
            title: plan.page.title.clone(),
            page_file: None,
            paper: plan.page.paper.clone(),
            media: plan.layers.iter().map(|layer| layer.medium.clone()).collect(),
            sealer: plan.sealer.id.clone(),
            sealer_name: plan.sealer.name.clone(),
            room: None,
            temperature_c: plan.room.temperature_c,
            relative_humidity_pct: plan.room.relative_humidity_pct,
            coats: plan.coats.iter().map(PastCoat::planned).collect(),
            mishaps: Vec::new(),
            grams_used: 0.0,
        }
    }

    /// Puts in when a coat (number from 1) was sprayed, and how early or late; counts what it took out of the can.
    pub fn sprayed(&mut self, number: usize, at: impl Into<String>, note: Option<String>) {
        let Some(coat) = self.coats.iter_mut().find(|coat| coat.number == number) else { return };
        if coat.sprayed_at.is_none() {
            self.grams_used += coat.sealer_g;
        }
        coat.sprayed_at = Some(at.into());
        coat.note = note;
        self.complete = self.coats.iter().all(|coat| coat.sprayed_at.is_some());
    }

    /// The coat of that number, from 1.
    pub fn coat(&self, number: usize) -> Option<&PastCoat> {
        self.coats.iter().find(|coat| coat.number == number)
    }
}

impl PastCoat {
    /// A coat of a plan, not sprayed yet.
    fn planned(coat: &Coat) -> Self {
        Self {
            number: coat.number,
            kind: coat.kind.word().to_owned(),
            distance_cm: coat.distance_cm,
            pass_speed_cm_s: coat.pass_speed_cm_s,
            step_over_cm: coat.step_over_cm,
            wet_film_um: coat.wet_film_um,
            touch_dry_min: coat.touch_dry_min,
            touch_dry_modelled_min: coat.touch_dry_modelled_min,
            sealer_g: coat.sealer_g,
            planned_at: coat.starts_at.clone(),
            sprayed_at: None,
            note: None,
        }
    }
}
