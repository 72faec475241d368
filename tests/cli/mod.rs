//! Whole output of the binary.

mod calendar;
mod calendar_reader;
mod plan_json;
mod plan_text;
mod sample_plans;
