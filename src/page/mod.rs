//! The artwork: layers resolved against the catalog, pairs, order, readiness, paper.

mod resolve;
mod sheet;
mod words;

pub use resolve::MOST_LAYERS;
pub use sheet::{Laid, Layer, Sheet};
pub use words::{PageWords, page_from_words};
