//! Recomputing the rows of a check file.

use serde::Serialize;

use super::registry::entry;
use super::{Check, CheckBasis};
use crate::catalog::Catalog;
use crate::diagnostic::{Problem, Problems, SourceText};

/// A row with its recomputed value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckedRow {
    /// Name of the row.
    pub id: String,
    /// The quantity.
    pub quantity: String,
    /// The value it should have.
    pub expected: f64,
    /// The value the models give.
    pub got: f64,
    /// The unit of both.
    pub unit: String,
    /// The allowed difference.
    pub tolerance: f64,
    /// Whether they agree.
    pub ok: bool,
    /// What the expected value stands on.
    pub basis: CheckBasis,
    /// Where it is from.
    pub source: String,
}

/// All rows of a check file, recomputed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckReport {
    /// `coatbell.verify/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// Rows that agree.
    pub passed: usize,
    /// Rows that do not.
    pub failed: usize,
    /// Every row, in the order of the file.
    pub rows: Vec<CheckedRow>,
}

/// Recomputes every row.
///
/// # Errors
/// Rows whose inputs the models refuse, for instance an unknown substance, each by name. Nothing is skipped.
pub fn run(checks: &[Check], source: &SourceText, catalog: &Catalog) -> Result<CheckReport, Problems> {
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    for check in checks {
        let computed = match entry(&check.quantity) {
            Some(entry) => (entry.compute)(&check.values, catalog),
            None => Err(Box::new(Problem::new("unknown-quantity", format!("unknown quantity `{}`", check.quantity)))),
        };
        match computed {
            Ok(got) => rows.push(CheckedRow {
                id: check.id.clone(),
                quantity: check.quantity.clone(),
                expected: check.expected,
                got,
                unit: check.unit.clone(),
                tolerance: check.tolerance(),
                ok: check.accepts(got),
                basis: check.basis,
                source: check.source.clone(),
            }),
            Err(problem) => {
                let message = format!("row `{}`: {}", check.id, problem.message);
                problems.push(Problem { message, ..*problem }.at(check.span.clone()).with_key(check.id.clone()));
            }
        }
    }
    if !problems.is_empty() {
        return Err(Problems::new(source.clone(), problems));
    }
    let failed = rows.iter().filter(|row| !row.ok).count();
    Ok(CheckReport {
        schema: "coatbell.verify/1",
        version: env!("CARGO_PKG_VERSION"),
        passed: rows.len() - failed,
        failed,
        rows,
    })
}
