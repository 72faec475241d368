//! Reading the pair table.

use crate::catalog::pairs::{PairRow, PairTable, PairVerdict};
use crate::diagnostic::{Problem, Problems, SourceText};
use crate::estimate::{Basis, Grounds};

/// Reads `pairs.csv`: lower, upper, verdict, effect, why, basis, source.
///
/// # Errors
/// Every row that is wrong.
pub(crate) fn read(source: &SourceText) -> Result<PairTable, Problems> {
    let mut table = PairTable::default();
    let mut problems = Vec::new();
    let mut lines = csv::ReaderBuilder::new().from_reader(source.text.as_bytes());
    for record in lines.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                problems.push(Problem::new("pair-row", format!("this is not a row: {error}")));
                continue;
            }
        };
        let start = record.position().map_or(0, |position| position.byte() as usize);
        let wrong = |what: String| Problem::new("pair-row", what).at(start..start + record[0].len().max(1));
        let verdict = match &record[2] {
            "good" => PairVerdict::Good,
            "care" => PairVerdict::Care,
            "avoid" => PairVerdict::Avoid,
            other => {
                problems.push(wrong(format!("`{other}` is not good, care or avoid")));
                continue;
            }
        };
        let Some(basis) = Basis::from_word(&record[5]) else {
            problems.push(wrong(format!("`{}` is not a basis", &record[5])));
            continue;
        };
        let named = (!record[6].is_empty()).then(|| record[6].to_owned());
        if basis == Basis::Published && named.is_none() {
            problems.push(wrong("a published row names no source".to_owned()));
        }
        let row = PairRow {
            verdict,
            effect: record[3].to_owned(),
            why: record[4].to_owned(),
            grounds: Grounds { basis, source: named },
        };
        let key = (record[0].to_owned(), record[1].to_owned());
        if table.rows.insert(key, row).is_some() {
            problems.push(wrong(format!("{} over {} has two rows", &record[1], &record[0])));
        }
    }
    if problems.is_empty() { Ok(table) } else { Err(Problems::new(source.clone(), problems)) }
}
