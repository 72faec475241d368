//! One renderer a file: text and JSON. Renders finished models and computes nothing.

mod compare_text;
mod json;
mod layers_text;
mod look;
mod plan_text;
mod table;
mod words;
mod wrap;
mod writer;

pub use compare_text::compare_text;
pub use json::{plan_json, to_json};
pub use layers_text::layers_text;
pub use look::Look;
pub use plan_text::plan_text;
pub use wrap::{display_width, wrap};
