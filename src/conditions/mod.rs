//! The air at the bench against the limits of the trade, of the can and of the blush index.

mod bench;
mod review;

pub use bench::BenchAir;
pub use review::{BlushIndex, LABEL_SLACK_K, level, review};
