//! How far a round is: the streams say what they have done, and each new thousandth is told on.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Parts a round is told in.
const PARTS: usize = 1000;

/// The work of all streams of a round.
pub(super) struct Meter<'a> {
    streams: Vec<AtomicUsize>,
    told: AtomicUsize,
    tell: &'a (dyn Fn(f64) + Sync),
}

impl<'a> Meter<'a> {
    /// A round in which nothing is done yet.
    pub(super) fn new(streams: usize, tell: &'a (dyn Fn(f64) + Sync)) -> Self {
        Self { streams: (0..streams).map(|_| AtomicUsize::new(0)).collect(), told: AtomicUsize::new(0), tell }
    }

    /// A stream has done a share of its work.
    pub(super) fn at(&self, stream: usize, share: f64) {
        let part = (share.clamp(0.0, 1.0) * PARTS as f64) as usize;
        self.streams[stream].store(part, Ordering::Relaxed);
        let all: usize = self.streams.iter().map(|part| part.load(Ordering::Relaxed)).sum();
        let all = all / self.streams.len();
        if all > self.told.fetch_max(all, Ordering::Relaxed) {
            (self.tell)(all as f64 / PARTS as f64);
        }
    }
}
