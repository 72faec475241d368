//! Whole output of the binary.

mod plan_json;
mod plan_text;
mod sample_plans;
