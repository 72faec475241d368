//! What a run is about: the plans of its pages, as far as a run needs them, kept whole in the first line of the journal.

use std::sync::Arc;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::batch::EveningBench;
use crate::catalog::Sealer;
use crate::finding::Level;
use crate::plan::{Coat, CoatKind, Direction, Plan, Surface};

/// A whole run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RunSpec {
    /// The pages, in the order of their first coats.
    pub pages: Vec<PageSpec>,
    /// Without a mask again after the last coat, min; absent if not within a day.
    pub clear_unmasked_min: Option<u32>,
    /// The others again after the last coat, min; absent if not within a day.
    pub clear_others_min: Option<u32>,
    /// What is checked before the first coat.
    pub preflight: Vec<PreflightSpec>,
    /// How many times faster than the clock a rehearsal runs; absent in a real run.
    pub rehearsal: Option<f64>,
    /// The bench of an evening, on which the rest is planned anew; absent for a single page.
    #[serde(default, with = "shared")]
    pub bench: Option<Arc<EveningBench>>,
    /// The wall clock when it began: a rehearsal counts from here.
    pub began_at: Timestamp,
}

/// A bench is large, and every state of a run holds the same.
mod shared {
    use std::sync::Arc;

    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    use crate::batch::EveningBench;

    #[expect(clippy::ref_option, reason = "this is how serde calls it")]
    pub(super) fn serialize<S: Serializer>(bench: &Option<Arc<EveningBench>>, to: S) -> Result<S::Ok, S::Error> {
        bench.as_deref().serialize(to)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Arc<EveningBench>>, D::Error> {
        Ok(Option::<EveningBench>::deserialize(from)?.map(Arc::new))
    }
}

/// One page of a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PageSpec {
    /// Title.
    pub title: String,
    /// Where its file is, or `<command line>`.
    pub file: String,
    /// Name of what the file said, to know whether it was edited since.
    pub fingerprint: String,
    /// Id of the sealer.
    pub sealer: String,
    /// Name of the sealer.
    pub sealer_name: String,
    /// A full can, g, if known.
    pub can_net_g: Option<f64>,
    /// The verdict of the plan.
    pub verdict: String,
    /// The one-line answer of the plan.
    pub answer: String,
    /// Paper.
    pub paper: String,
    /// The first coat is not due before.
    pub first_at: Timestamp,
    /// The coats.
    pub coats: Vec<CoatSpec>,
    /// From the end of the last coat until it may be handled, s.
    pub handle_after_s: i64,
    /// What becomes allowed later.
    pub later: Vec<LaterSpec>,
    /// Identity of its calendar events, the same as of the plan's.
    pub calendar: String,
    /// What the history wants to know of the plan once the run is over; the run itself never looks into it.
    #[serde(default)]
    pub keepsake: serde_json::Value,
}

/// A line of the pre-flight list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PreflightSpec {
    /// Stable id.
    pub id: String,
    /// What to check.
    pub text: String,
}

/// Something that becomes allowed later.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LaterSpec {
    /// Stable id, for instance `scan`.
    pub id: String,
    /// From the end of the last coat, s.
    pub after_s: i64,
    /// As a sentence.
    pub text: String,
}

/// One coat as a run needs it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CoatSpec {
    /// From 1.
    pub number: usize,
    /// Whether it is a mist coat; else a build coat.
    pub mist: bool,
    /// Nozzle to sheet, cm.
    pub distance_cm: f64,
    /// One pass, s.
    pub seconds_per_pass: f64,
    /// Between passes, cm.
    pub step_over_cm: f64,
    /// Passes.
    pub passes: usize,
    /// Whether they run along the long side; else the short one.
    pub along_long: bool,
    /// Where the first begins.
    pub start_corner: String,
    /// Beyond the edge, cm.
    pub overrun_cm: f64,
    /// Whether the sheet stands.
    pub upright: bool,
    /// Spraying time, s.
    pub spray_s: f64,
    /// Out of the can, g.
    pub sealer_g: f64,
    /// Wait after it, min.
    pub wait_min: u32,
    /// The label's forbidden band for the next coat: from and until, min after its end; no end is never again.
    pub window_min: Option<(f64, Option<f64>)>,
    /// Back with the mask after, min; absent if not within a day. With several pages it has to count the coats of all.
    pub return_masked_min: Option<u32>,
    /// Not due before, where the bench is shared and other pages come first.
    #[serde(default)]
    pub not_before: Option<Timestamp>,
}

/// Why a plan cannot be run.
#[derive(Debug, Clone, PartialEq)]
pub enum NotRunnable {
    /// There is nothing to spray.
    NoCoats,
    /// The plan has no times: a layer is still to be laid.
    NoTimes,
}

impl PageSpec {
    /// The page of a plan. `window` comes from the sealer, which the plan only echoes; `rehearsed` takes a plan
    /// without times as if it began at `now`.
    ///
    /// # Errors
    /// If there is nothing to spray, or no time for it.
    pub fn of(
        plan: &Plan,
        sealer: &Sealer,
        file: &str,
        fingerprint: &str,
        calendar: &str,
        now: Timestamp,
        rehearsed: bool,
    ) -> Result<Self, NotRunnable> {
        if plan.coats.is_empty() {
            return Err(NotRunnable::NoCoats);
        }
        let planned = plan.coats[0].starts_at.as_ref().and_then(|at| at.parse::<Timestamp>().ok());
        let first_at = match planned {
            Some(_) | None if rehearsed => now,
            Some(at) => at,
            None => return Err(NotRunnable::NoTimes),
        };
        let coats: Vec<CoatSpec> = plan.coats.iter().map(|coat| CoatSpec::of(coat, sealer)).collect();
        let last_end = plan.coats.last().and_then(|coat| {
            let starts: Timestamp = coat.starts_at.as_ref()?.parse().ok()?;
            Some(starts.as_second() + coat.spray_s.round() as i64)
        });
        let after = |at: Option<&String>| -> Option<i64> {
            let at: Timestamp = at?.parse().ok()?;
            Some((at.as_second() - last_end?).max(0))
        };
        let last_wait_s = coats.last().map_or(0, |coat| i64::from(coat.wait_min) * 60);
        let later = plan.milestones.iter().filter(|milestone| milestone.id != "handle").filter_map(|milestone| {
            let after_s = after(milestone.at.as_ref())?;
            Some(LaterSpec { id: milestone.id.clone(), after_s, text: milestone.text.clone() })
        });
        Ok(Self {
            title: plan.page.title.clone(),
            file: file.to_owned(),
            fingerprint: fingerprint.to_owned(),
            sealer: plan.sealer.id.clone(),
            sealer_name: plan.sealer.name.clone(),
            can_net_g: sealer.can.net_g,
            verdict: plan.verdict.word().to_owned(),
            answer: plan.answer.clone(),
            paper: plan.page.paper.clone(),
            first_at: first_at.max(now),
            handle_after_s: after(plan.handle_at.as_ref()).unwrap_or(last_wait_s).max(last_wait_s),
            later: later.collect(),
            coats,
            calendar: calendar.to_owned(),
            keepsake: serde_json::Value::Null,
        })
    }

    /// The same page at a bench shared with others: each coat at its scheduled start at the earliest, and back in the
    /// room only when the air of all pages allows it (absent: not within a day).
    #[must_use]
    pub fn at_shared_bench(mut self, starts: &[Timestamp], return_masked_min: Option<u32>) -> Self {
        if let Some(first) = starts.first() {
            self.first_at = *first;
        }
        for (coat, start) in self.coats.iter_mut().zip(starts) {
            coat.not_before = Some(*start);
        }
        for coat in &mut self.coats {
            coat.return_masked_min = coat.return_masked_min.zip(return_masked_min).map(|(own, all)| own.max(all));
        }
        self
    }

    /// Whether the plan said hold.
    pub fn on_hold(&self) -> bool {
        self.verdict == Level::Hold.word()
    }
}

impl CoatSpec {
    fn of(coat: &Coat, sealer: &Sealer) -> Self {
        let window_min = sealer
            .label
            .recoat_window
            .filter(|_| coat.recoat_by.is_some())
            .map(|band| (band.from_min, band.until_min.is_finite().then_some(band.until_min)));
        Self {
            number: coat.number,
            mist: coat.kind == CoatKind::Mist,
            distance_cm: coat.distance_cm,
            seconds_per_pass: coat.seconds_per_pass,
            step_over_cm: coat.step_over_cm,
            passes: coat.passes,
            along_long: coat.direction == Direction::Long,
            start_corner: coat.start_corner.clone(),
            overrun_cm: coat.overrun_cm,
            upright: coat.surface == Surface::Upright,
            spray_s: coat.spray_s,
            sealer_g: coat.sealer_g,
            wait_min: coat.wait_min,
            window_min,
            return_masked_min: coat.return_masked_min,
            not_before: None,
        }
    }

    /// The same coat sprayed as the mist coat `mist`: its number, wait and window stay.
    #[must_use]
    pub fn as_mist(&self, mist: &Self) -> Self {
        Self {
            number: self.number,
            along_long: self.along_long,
            wait_min: self.wait_min.max(mist.wait_min),
            window_min: self.window_min,
            not_before: self.not_before,
            // More time than either needs is never wrong.
            return_masked_min: self.return_masked_min.zip(mist.return_masked_min).map(|(own, mist)| own.max(mist)),
            ..mist.clone()
        }
    }
}
