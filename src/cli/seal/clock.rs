//! The clock of a run: the wall's, or a fast one for rehearsals.

use std::time::{Duration, Instant};

use jiff::{SignedDuration, Timestamp};

use crate::run::{Reading, RunSpec};

/// The clock of a run.
#[derive(Debug, Clone)]
pub(super) enum Clock {
    /// The wall's, moved by so much where a test says what time it is.
    Wall {
        /// Added to the clock on the wall.
        offset: SignedDuration,
    },
    /// A fast one.
    Fast {
        /// What it showed when this process took it up.
        from: Timestamp,
        /// When that was.
        since: Instant,
        /// How much faster it goes.
        speed: f64,
    },
}

impl Clock {
    /// The clock of a run that begins, or is taken up again. `now` is the moment the program was told it is.
    pub(super) fn of(spec: &RunSpec, now: Timestamp, resumed: bool) -> Self {
        match spec.rehearsal {
            None => Self::Wall { offset: offset(now) },
            Some(speed) => {
                // The fast clock went on while nobody looked, as the real one would have.
                let passed_s = if resumed { now.duration_since(spec.began_at).as_secs_f64().max(0.0) } else { 0.0 };
                let from = spec.began_at.checked_add(seconds(passed_s * speed)).unwrap_or(now);
                Self::Fast { from, since: Instant::now(), speed }
            }
        }
    }

    /// The moment it shows.
    pub(super) fn now(&self) -> Timestamp {
        match self {
            Self::Wall { offset } => Timestamp::now().checked_add(*offset).unwrap_or(Timestamp::MAX),
            Self::Fast { from, since, speed } => {
                from.checked_add(seconds(since.elapsed().as_secs_f64() * speed)).unwrap_or(Timestamp::MAX)
            }
        }
    }

    /// What it shows beside the steady clock.
    pub(super) fn read(&self) -> Reading {
        let steady_s = match self {
            // Where the steady clock may stop in sleep it says nothing.
            Self::Wall { .. } if cfg!(target_os = "linux") => Some(steady_s()),
            Self::Wall { .. } | Self::Fast { .. } => None,
        };
        Reading { wall: self.now(), steady_s }
    }

    /// How long to wait in truth until it shows that moment.
    pub(super) fn until(&self, at: Timestamp) -> Duration {
        let ahead_s = at.duration_since(self.now()).as_secs_f64().max(0.0);
        let speed = match self {
            Self::Wall { .. } => 1.0,
            Self::Fast { speed, .. } => *speed,
        };
        Duration::try_from_secs_f64(ahead_s / speed).unwrap_or(Duration::MAX)
    }
}

/// How far the moment the program was told is from the clock; a few milliseconds are the program's own start.
fn offset(now: Timestamp) -> SignedDuration {
    let offset = now.duration_since(Timestamp::now());
    if offset.as_secs_f64().abs() < 5.0 { SignedDuration::ZERO } else { offset }
}

fn seconds(value: f64) -> SignedDuration {
    SignedDuration::from_millis((value * 1000.0).clamp(-9e15, 9e15) as i64)
}

/// Seconds of a clock that goes on through sleep and that nobody sets.
#[cfg(target_os = "linux")]
fn steady_s() -> f64 {
    let read = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    read.tv_sec as f64 + read.tv_nsec as f64 / 1e9
}

/// Elsewhere it is never asked.
#[cfg(not(target_os = "linux"))]
fn steady_s() -> f64 {
    0.0
}
