//! Saying how far a search is, to whoever waits for it at a terminal.

use std::io::{IsTerminal, Write as _};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

/// How long nothing is said, s.
const PATIENCE_S: f64 = 1.0;

/// A search that somebody may be waiting for. What was said of it is taken back when it is dropped.
#[derive(Debug)]
pub(super) struct Searching {
    began: Instant,
    shown: bool,
    said: AtomicBool,
}

impl Searching {
    /// Begins to count the time.
    pub(super) fn new() -> Self {
        Self { began: Instant::now(), shown: std::io::stderr().is_terminal(), said: AtomicBool::new(false) }
    }

    /// Says which share is done, if it is shown and takes longer than a moment.
    pub(super) fn say(&self, share: f64) {
        if self.shown && self.began.elapsed().as_secs_f64() > PATIENCE_S {
            self.said.store(true, Ordering::Relaxed);
            // Nothing is lost if it cannot be said.
            let _ = write!(std::io::stderr(), "\rsearching: {:.0} %   \r", 100.0 * share);
        }
    }
}

impl Drop for Searching {
    fn drop(&mut self) {
        if self.said.load(Ordering::Relaxed) {
            let _ = write!(std::io::stderr(), "\r{:20}\r", "");
        }
    }
}
