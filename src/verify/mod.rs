//! Check files through the models: published values, recomputed, each beside its source.
//!
//! [`read_checks`] reads a file of the form of `profiles/checks.csv`; [`run`] recomputes every row with the same public
//! functions the plan uses. A row is never skipped: what the registry does not know is an error that names the row.

mod outcome;
mod read;
mod registry;
mod row;
mod text;
mod values;

pub use outcome::{CheckReport, CheckedRow, run};
pub use read::read_checks;
pub use registry::{Key, KeyKind, QuantityEntry, entry, quantities};
pub use row::{Check, CheckBasis};
pub use text::checks_text;
pub use values::{Value, Values};

/// The check file built into the program.
pub const BUILT_IN_CHECKS: &str = include_str!("../../profiles/checks.csv");
/// The name the built-in check file is shown under.
pub const BUILT_IN_NAME: &str = "profiles/checks.csv";
