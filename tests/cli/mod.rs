//! Whole output of the binary.

mod bad_files;
mod bad_pages;
mod checks;
mod examples;
mod harness;
mod materials;
mod plan_json;
mod plan_text;
mod sample_plans;
mod usage;
