//! The checks as text: each value beside its source.

use std::fmt::Write;

use super::{CheckReport, CheckedRow};
use crate::report::{Look, wrap};

/// Draws the report: one line of result, then the rows that failed, then every row grouped by quantity with its
/// source below. Quiet, it is only the result and what failed.
pub fn checks_text(report: &CheckReport, look: &Look) -> String {
    let total = report.rows.len();
    let mut text = if report.failed == 0 {
        format!("all {total} checks agree\n")
    } else {
        format!("{} of {total} checks disagree\n", report.failed)
    };
    let failed: Vec<&CheckedRow> = report.rows.iter().filter(|row| !row.ok).collect();
    for row in &failed {
        write_row(&mut text, row, look);
    }
    if look.quiet {
        return text;
    }
    let mut last = "";
    for row in report.rows.iter().filter(|row| row.ok) {
        if row.quantity != last {
            let _ = writeln!(text, "\n{}", row.quantity.replace('_', " "));
            last = &row.quantity;
        }
        write_row(&mut text, row, look);
    }
    text
}

fn write_row(text: &mut String, row: &CheckedRow, look: &Look) {
    let unit = if row.unit == "1" { String::new() } else { format!(" {}", row.unit) };
    let mark = if row.ok { "ok  " } else { "FAIL" };
    let line = format!(
        "  {mark} {}: {} expected, {}{unit} computed (within {})",
        look.clean(&row.id),
        figure(row.expected),
        figure(row.got),
        figure(row.tolerance),
    );
    let _ = writeln!(text, "{line}");
    let source = format!("{}: {}", row.basis.word(), look.clean(&row.source));
    for part in wrap(&source, look.columns().saturating_sub(9)) {
        let _ = writeln!(text, "         {part}");
    }
}

/// Five significant digits, without needless zeros.
fn figure(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let exponent = libm::floor(libm::log10(value.abs())) as i32;
    if !(-4..=7).contains(&exponent) {
        return format!("{value:.4e}");
    }
    let decimals = (4 - exponent).max(0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
