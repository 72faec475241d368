//! Runs on a clock of their own.

mod clocks;
mod evening;
mod journal;
mod past;
mod rest;

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::{Command, Conductor, Effect, Entry, Notice, Pace, Reading, Refusal, RunSpec, State, What};
use crate::catalog::Catalog;
use crate::quantity::Units;

/// A page of three coats, ten minutes apart, half a minute each; a mist, then builds.
pub(crate) fn spec(began_at: &str, window_min: Option<(f64, Option<f64>)>) -> RunSpec {
    let coat = |number: usize| {
        serde_json::json!({
            "number": number, "mist": number == 1, "distance_cm": if number == 1 { 35.0 } else { 18.0 },
            "seconds_per_pass": 1.2, "step_over_cm": 8.0, "passes": 7, "along_long": number % 2 == 1,
            "start_corner": "top-left", "overrun_cm": 8.0, "upright": false, "spray_s": 30.0, "sealer_g": 5.0,
            "wait_min": 10, "window_min": window_min, "return_masked_min": 6,
        })
    };
    serde_json::from_value(serde_json::json!({
        "pages": [{
            "title": "Heron", "file": "/pages/heron.toml", "fingerprint": "f", "sealer": "acrylic-gloss",
            "sealer_name": "acrylic gloss", "can_net_g": 300.0, "verdict": "go", "answer": "Go", "paper": "cardstock",
            "first_at": began_at, "coats": [coat(1), coat(2), coat(3)], "handle_after_s": 3600,
            "later": [{ "id": "scan", "after_s": 86400, "text": "Scan on glass: 1 day after the last coat" }],
            "calendar": "c",
        }],
        "clear_unmasked_min": 20, "clear_others_min": 40,
        "preflight": [{ "id": "mask", "text": "Mask" }], "rehearsal": null, "began_at": began_at,
    }))
    .expect("a run as it stands in a journal")
}

/// A run with its journal and a clock that goes on with the wall.
pub(super) struct Bench {
    pub(super) conductor: Conductor,
    pub(super) now: Timestamp,
    /// What the clock shows beside what has passed, s.
    pub(super) set_by_s: i64,
    steady_s: f64,
    pub(super) journal: Vec<Entry>,
    pub(super) said: Vec<Notice>,
}

pub(crate) fn pace() -> Pace {
    Pace::of(&Catalog::builtin().rules)
}

impl Bench {
    /// A run that has begun, its list gone through.
    pub(super) fn begun(began_at: &str, zone: &str, window_min: Option<(f64, Option<f64>)>) -> Self {
        let mut bench = Self::of(spec(began_at, window_min), zone);
        bench.command(Command::Checked).expect("the list");
        bench
    }

    /// A run that has begun.
    pub(super) fn of(spec: RunSpec, zone: &str) -> Self {
        let now = spec.began_at;
        let journal = vec![Entry::new(now, What::Started { spec: Box::new(spec) })];
        let state = State::fold(&journal, &pace()).expect("a start");
        let conductor = Conductor::new(state, TimeZone::get(zone).expect("a zone"), Units::Metric);
        let mut bench = Self { conductor, now, set_by_s: 0, steady_s: 0.0, journal, said: Vec::new() };
        let effects = bench.conductor.begin(now, false);
        bench.take(effects);
        bench.tick();
        bench
    }

    pub(super) fn state(&self) -> &State {
        self.conductor.state()
    }

    fn take(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            match effect {
                Effect::Write(entry) => self.journal.push(entry),
                Effect::Say(notice) => self.said.push(notice),
            }
        }
    }

    pub(super) fn tick(&mut self) {
        let wall = self.now + SignedDuration::from_secs(self.set_by_s);
        let effects = self.conductor.tick(Reading { wall, steady_s: Some(self.steady_s) });
        self.take(effects);
    }

    /// So many seconds pass, looked at once at the end: as after a sleep.
    pub(super) fn sleep(&mut self, seconds: i64) {
        self.now += SignedDuration::from_secs(seconds);
        self.steady_s += seconds as f64;
        self.tick();
    }

    /// So many seconds pass, looked at each second.
    pub(super) fn watch(&mut self, seconds: i64) {
        for _ in 0..seconds {
            self.sleep(1);
        }
    }

    /// So many seconds pass, looked at only when something is to ring.
    pub(super) fn skip(&mut self, seconds: i64) {
        let end = self.now + SignedDuration::from_secs(seconds);
        while let Some(next) = self.state().next_moment(self.now).filter(|next| *next < end) {
            self.sleep(next.as_second() - self.now.as_second());
        }
        self.sleep(end.as_second() - self.now.as_second());
    }

    pub(super) fn command(&mut self, command: Command) -> Result<(), Refusal> {
        let wall = self.now + SignedDuration::from_secs(self.set_by_s);
        let effects = self.conductor.command(command, wall)?;
        self.take(effects);
        Ok(())
    }

    pub(super) fn spray(&mut self) -> Result<(), Refusal> {
        self.command(Command::Sprayed { page: 0, insist: false })
    }

    /// Names of everything said since the last time, with how late.
    pub(super) fn heard(&mut self) -> Vec<(&'static str, i64)> {
        self.said.drain(..).map(|notice| (notice.event, notice.late_s)).collect()
    }

    /// The state is what the journal says, and nothing else.
    pub(super) fn folds(&self) {
        assert_eq!(State::fold(&self.journal, &pace()).as_ref(), Some(self.conductor.state()));
    }
}
