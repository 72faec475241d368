//! One renderer a file: text, JSON, calendar, drawings and the bench sheet. Renders finished models and computes nothing.

mod air_picture;
mod batch_text;
mod by_the_clock;
mod calendar;
mod compare_text;
mod evening_html;
mod evening_text;
mod finish_by;
mod html;
mod json;
mod lanes;
mod layers_text;
mod look;
mod materials;
mod paragraphs;
mod plan_text;
mod run;
mod safety_text;
mod svg;
mod table;
mod weather_text;
mod words;
mod wrap;
mod writer;

pub use air_picture::air_picture;
pub use batch_text::bench_text;
pub use calendar::{evening_ics, plan_ics};
pub(crate) use calendar::{identity, series_of};
pub use compare_text::compare_text;
pub use evening_html::evening_html;
pub use evening_text::{evening_beside_sheets, evening_text};
pub use finish_by::{FinishByDocument, finish_by_text};
pub use html::{EveningHead, Sheet, Step, plan_html, sheets_html};
pub use json::{plan_json, to_json};
pub use layers_text::layers_text;
pub use look::Look;
pub use materials::{materials_list, materials_list_json, materials_show, materials_show_json};
pub use paragraphs::{Paragraph, paragraphs};
pub use plan_text::{plan_text, short_answer};
pub use run::{
    RunLine, RunPane, RunScreen, RunView, event_line, notice_text, rescue_text, rescues_text, run_ics, run_screen,
    status_text,
};
pub use safety_text::{notes_text, safety_text};
pub use svg::{Drawing, plan_svg};
pub use weather_text::weather_text;
use words::sentence;
pub use wrap::{display_width, wrap};
