//! Whole output of the binary.

mod bad_files;
mod bad_pages;
mod batch;
mod batch_evening;
mod bench_sheet;
mod calendar;
mod calendar_reader;
mod cautions;
mod checks;
mod compositions;
mod evening;
mod evening_out;
pub(crate) mod examples;
mod finish_by;
pub(crate) mod harness;
mod layers_text;
mod learning;
mod materials;
mod newcomer;
mod plan_json;
mod plan_text;
mod readme;
mod safety;
pub(crate) mod sample_plans;
pub(crate) mod seal;
mod usage;
mod weather;
