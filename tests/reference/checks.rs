//! Every row of the built-in check file, recomputed.

use coatbell::catalog::Catalog;
use coatbell::diagnostic::{Problems, SourceText, render};
use coatbell::verify::{BUILT_IN_CHECKS, BUILT_IN_NAME, quantities, read_checks, run};

fn shown(problems: &Problems) -> String {
    render(problems, false, 120)
}

#[test]
fn every_row_agrees() {
    let source = SourceText::new(BUILT_IN_NAME, BUILT_IN_CHECKS);
    let checks = read_checks(&source).unwrap_or_else(|problems| panic!("{}", shown(&problems)));
    let report = run(&checks, &source, &Catalog::builtin()).unwrap_or_else(|problems| panic!("{}", shown(&problems)));
    let wrong: Vec<String> = report
        .rows
        .iter()
        .filter(|row| !row.ok)
        .map(|row| format!("{}: expected {}, got {} (within {})", row.id, row.expected, row.got, row.tolerance))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(report.rows.len(), BUILT_IN_CHECKS.lines().count() - 1, "no row is skipped");
}

#[test]
fn every_quantity_of_the_registry_has_a_row() {
    let source = SourceText::new(BUILT_IN_NAME, BUILT_IN_CHECKS);
    let checks = read_checks(&source).unwrap_or_else(|problems| panic!("{}", shown(&problems)));
    for known in quantities() {
        assert!(checks.iter().any(|check| check.quantity == known.name), "no row checks {}", known.name);
    }
}
