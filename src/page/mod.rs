//! The artwork: layers resolved against the catalog, pairs, order, readiness, paper.

mod sheet;

pub use sheet::{Laid, Layer, Sheet};
