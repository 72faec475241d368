//! The artwork: layers resolved against the catalog, pairs, order, readiness, paper.

mod document;
mod drying;
mod order;
mod pairs;
mod ready;
mod resolve;
mod review;
mod sheet;
mod surface;
mod waits;
mod words;

pub use document::{
    LayerEcho, LayersDocument, LayersInputs, PairPart, RoomEcho, SurfacePart, WaitPart, WaterPart, layers_document,
};
pub use drying::wait_factor;
pub use order::{OrderCost, SuggestedOrder};
pub use pairs::{PairFinding, pair_verdict};
pub use ready::{LAYER_WET, LayerReadiness, Readiness};
pub use resolve::MOST_LAYERS;
pub use review::{PageReview, review};
pub use sheet::{Laid, Layer, Sheet};
pub use surface::{SurfaceFinding, WaterSummary};
pub use waits::{Governs, LayerWait};
pub use words::{PageWords, page_from_words};
