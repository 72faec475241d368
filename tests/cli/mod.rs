//! Whole output of the binary.

mod calendar;
mod calendar_reader;
mod layers_text;
mod plan_json;
mod plan_text;
mod sample_plans;
