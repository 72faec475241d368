//! Errors that point into a file: what, where, why and what to do.
//!
//! A reader of a file collects [`Problem`]s, never stops at the first, and hands all of them back as one
//! [`Problems`] together with the text they point into. Rendering is here too, so that every file kind looks alike.

mod problem;
mod render;
mod suggest;
mod words;

pub use problem::{Problem, Problems, SourceText};
pub use render::{Place, place, places, places_in, render};
pub use suggest::{nearest, similar_names};
pub use words::{and_list, escape_untrusted, or_list, plural, sentence_inside, sentence_start};
