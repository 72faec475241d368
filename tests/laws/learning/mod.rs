//! A thousand people who measure: how much narrower their ranges get, and whether the truth is inside.
//!
//! Each has a can, a nozzle and a paper of their own, as likely as the profile says, and reads a scale, a ruler, a clock
//! and a thumb as honestly as a person can. `COATBELL_USERS` sets how many there are; `--nocapture` prints the figures.

mod drying;
mod film;
mod user;

use coatbell::estimate::Quantiles;

use crate::support::say;

/// The page everybody seals: two ordinary layers on cardstock.
const PAGE: &str = "title = \"Lantern\"\nsize = \"A4\"\npaper = \"cardstock\"\nfinished = \"10 days ago\"\n\
                    [[layer]]\nmedium = \"watercolour\"\ncover = \"40 %\"\n\
                    [[layer]]\nmedium = \"alcohol-marker\"\ncover = \"30 %\"\n";

/// How many people.
fn people(usually: u64) -> u64 {
    std::env::var("COATBELL_USERS").ok().and_then(|count| count.parse().ok()).unwrap_or(usually)
}

/// Width of a range on a logarithmic scale.
fn width(range: Quantiles) -> f64 {
    libm::log(range.p90 / range.p10)
}

fn holds(range: Quantiles, truth: f64) -> bool {
    range.p10 <= truth && truth <= range.p90
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// How much narrower the range became for each person, and how many truths are in it.
#[derive(Default)]
struct Tally {
    narrowing: Vec<f64>,
    narrowing_um: Vec<f64>,
    held: u64,
}

impl Tally {
    fn add(&mut self, before: Quantiles, after: Quantiles, truth: f64) {
        self.narrowing.push(1.0 - width(after) / width(before));
        self.narrowing_um.push(1.0 - (after.p90 - after.p10) / (before.p90 - before.p10));
        self.held += u64::from(holds(after, truth));
    }

    fn median(&self) -> f64 {
        median(self.narrowing.clone())
    }

    fn median_um(&self) -> f64 {
        median(self.narrowing_um.clone())
    }

    fn share_held(&self) -> f64 {
        self.held as f64 / self.narrowing.len() as f64
    }

    fn say(&self, what: &str) {
        say(&format!(
            "{what}: narrower by {:.1} % ({:.1} % as lengths), the truth inside for {:.1} % of {}",
            100.0 * self.median(),
            100.0 * self.median_um(),
            100.0 * self.share_held(),
            self.narrowing.len()
        ));
    }
}
