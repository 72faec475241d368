//! What a person's own cans taught: past runs with their outcomes, measurements, scrap tests.
//!
//! Pure: the contents of files, times and seeds come in as arguments, and what is to be written goes out as text. The
//! files themselves are the business of `store` and `cli`.

mod can;
pub mod history;
mod joint;
mod judge;
mod log_normal;
mod question;
mod scrap;
mod solids;
mod thumb;
mod tune;

pub use can::{CanRecord, Known, Measurement, Reading};
pub use judge::{CanWeighing, CardWeighing, ConeReading, ThumbReading, read_can, read_card, read_cone, read_thumb};
pub use log_normal::LogNormal;
pub use question::questioned;
pub use scrap::{Bar, ScrapSheet, Zone, scrap_sheet};
pub use solids::solids_share;
pub use tune::{expected, posteriors, prior_of, tune};
