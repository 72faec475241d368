//! Reading a check file, all its mistakes at once.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::registry::{Key, KeyKind, QuantityEntry, entry, quantities};
use super::values::Value;
use super::{Check, CheckBasis, Values};
use crate::diagnostic::{Problem, Problems, SourceText, nearest, or_list};

/// The columns of a check file, in any order.
const COLUMNS: [&str; 9] = ["id", "quantity", "inputs", "expected", "unit", "tol_abs", "tol_rel", "basis", "source"];

/// Reads a check file.
///
/// # Errors
/// Every row that cannot be computed, by name: an unknown quantity, key or unit, a number that is not one, a missing
/// input, a row that stands twice.
pub fn read_checks(source: &SourceText) -> Result<Vec<Check>, Problems> {
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(source.text.as_bytes());
    let columns = match reader.headers() {
        Ok(header) => columns(header).map_err(|problem| Problems::new(source.clone(), vec![problem.at(0..1)]))?,
        Err(error) => return Err(Problems::new(source.clone(), vec![csv_problem(&error)])),
    };
    let (mut checks, mut problems, mut seen) = (Vec::new(), Vec::new(), BTreeSet::new());
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                problems.push(csv_problem(&error));
                continue;
            }
        };
        let row = Row { record: &record, columns: &columns, text: &source.text };
        if !seen.insert(row.field("id").to_owned()) {
            problems.push(row.problem("duplicate-row", "id", "stands twice").with_hint("give each row its own id"));
        }
        checks.extend(read_row(&row, &mut problems));
    }
    if checks.is_empty() && problems.is_empty() {
        problems.push(Problem::new("no-checks", "the check file has no rows").with_hint("add at least one row"));
    }
    if problems.is_empty() { Ok(checks) } else { Err(Problems::new(source.clone(), problems)) }
}

/// Where each column stands.
fn columns(header: &csv::StringRecord) -> Result<BTreeMap<&'static str, usize>, Box<Problem>> {
    let wanted = || format!("the first line should be `{}`", COLUMNS.join(","));
    let mut places = BTreeMap::new();
    for (at, name) in header.iter().enumerate() {
        let name = name.trim_start_matches('\u{feff}');
        let Some(column) = COLUMNS.iter().find(|column| **column == name) else {
            let problem = Problem::new("unknown-column", format!("unknown column `{name}` in a check file"));
            return Err(Box::new(problem.with_hint(wanted())));
        };
        if places.insert(*column, at).is_some() {
            let problem = Problem::new("duplicate-column", format!("column `{name}` stands twice in a check file"));
            return Err(Box::new(problem.with_hint(wanted())));
        }
    }
    match COLUMNS.iter().find(|column| !places.contains_key(*column)) {
        Some(missing) => {
            let problem = Problem::new("missing-column", format!("the check file has no column `{missing}`"));
            Err(Box::new(problem.with_hint(wanted())))
        }
        None => Ok(places),
    }
}

fn csv_problem(error: &csv::Error) -> Problem {
    let line = error.position().map_or(0, csv::Position::line);
    let message = match error.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!("line {line} has {len} columns instead of {expected_len}")
        }
        _ => format!("line {line} cannot be read as a row"),
    };
    let problem = Problem::new("not-a-row", message).with_hint("put a field with commas between double quotes");
    match error.position() {
        Some(position) => problem.at(position.byte() as usize..position.byte() as usize + 1),
        None => problem,
    }
}

/// A row with its place.
struct Row<'a> {
    record: &'a csv::StringRecord,
    columns: &'a BTreeMap<&'static str, usize>,
    text: &'a str,
}

impl Row<'_> {
    fn field(&self, column: &str) -> &str {
        self.columns.get(column).and_then(|at| self.record.get(*at)).unwrap_or_default()
    }

    /// Bytes of the row, up to the end of its first line.
    fn span(&self) -> Range<usize> {
        let start = self.record.position().map_or(0, |position| position.byte() as usize).min(self.text.len());
        // The position of a record is the end of the line before it where lines are empty between.
        let start = start + self.text[start..].len() - self.text[start..].trim_start().len();
        let end = self.text[start..].find('\n').map_or(self.text.len(), |length| start + length);
        start..end.max(start + 1)
    }

    /// Bytes of a piece of a column; of the whole row if it does not stand on its first line.
    fn span_of(&self, column: &str, piece: &str) -> Range<usize> {
        let whole = self.span();
        let line = self.text.get(whole.clone()).unwrap_or_default();
        let (mut quoted, mut column_at, mut left) = (false, 0, self.columns.get(column).copied().unwrap_or(0));
        for (at, letter) in line.char_indices() {
            match letter {
                '"' => quoted = !quoted,
                ',' if !quoted && left == 0 => break,
                ',' if !quoted => (left, column_at) = (left - 1, at + 1),
                _ => {}
            }
        }
        match line[column_at..].find(piece) {
            Some(at) if left == 0 && !piece.is_empty() => {
                let start = whole.start + column_at + at;
                start..start + piece.len()
            }
            _ => whole,
        }
    }

    /// A problem of this row: `row `dew_point-01`: …`, pointing at a piece of a column.
    fn problem_of(&self, code: &'static str, column: &str, piece: &str, message: &str) -> Problem {
        let key = self.field("id").to_owned();
        Problem::new(code, format!("row `{key}`: {message}")).at(self.span_of(column, piece)).with_key(key)
    }

    fn problem(&self, code: &'static str, column: &str, message: &str) -> Problem {
        self.problem_of(code, column, self.field(column), message)
    }

    /// A number of a column; blank is `blank`, and absent `blank` makes a number necessary.
    fn number(&self, column: &'static str, blank: Option<f64>, problems: &mut Vec<Problem>) -> Option<f64> {
        let text = self.field(column);
        if let (true, Some(blank)) = (text.is_empty(), blank) {
            return Some(blank);
        }
        let number = text.parse::<f64>().ok().filter(|number| number.is_finite());
        if number.is_none() {
            let message = format!("`{column}` should be a number, not `{text}`");
            problems.push(self.problem("not-a-number", column, &message).with_hint("write it as `12.5` or `1e-5`"));
        }
        number
    }
}

fn read_row(row: &Row<'_>, problems: &mut Vec<Problem>) -> Option<Check> {
    let before = problems.len();
    if row.field("id").is_empty() {
        problems.push(
            row.problem("missing-id", "quantity", "a row needs an id")
                .with_hint("name it, for instance `dew_point-01`"),
        );
    }
    let basis = basis(row, problems);
    let expected = row.number("expected", None, problems);
    let tolerance_absolute = row.number("tol_abs", Some(0.0), problems);
    let tolerance_relative = row.number("tol_rel", Some(0.0), problems);
    for (column, tolerance) in [("tol_abs", tolerance_absolute), ("tol_rel", tolerance_relative)] {
        if tolerance.is_some_and(|tolerance| tolerance < 0.0) {
            let problem = row.problem("out-of-range", column, &format!("`{column}` is below zero"));
            problems.push(problem.with_hint("a tolerance is zero or more"));
        }
    }
    let name = row.field("quantity");
    let Some(entry) = entry(name) else {
        let near = nearest(name, quantities().map(|entry| entry.name));
        let hint = near.map_or_else(|| "see `coatbell verify` for those it knows".to_owned(), did_you_mean);
        problems
            .push(row.problem("unknown-quantity", "quantity", &format!("unknown quantity `{name}`")).with_hint(hint));
        return None;
    };
    let unit = row.field("unit");
    if unit != entry.unit {
        let message = format!("`{name}` is in `{}`, not in `{unit}`", entry.unit);
        problems.push(row.problem("unknown-unit", "unit", &message).with_hint("convert the expected value"));
    }
    let values = values(row, entry, problems);
    if problems.len() > before {
        return None;
    }
    Some(Check {
        id: row.field("id").to_owned(),
        quantity: name.to_owned(),
        values,
        expected: expected?,
        unit: unit.to_owned(),
        tolerance_absolute: tolerance_absolute?,
        tolerance_relative: tolerance_relative?,
        basis: basis?,
        source: row.field("source").to_owned(),
        span: row.span(),
    })
}

fn did_you_mean(near: &str) -> String {
    format!("did you mean `{near}`?")
}

fn basis(row: &Row<'_>, problems: &mut Vec<Problem>) -> Option<CheckBasis> {
    let word = row.field("basis");
    let found = CheckBasis::WORDS.iter().find(|(known, _)| *known == word).map(|(_, basis)| *basis);
    if found.is_none() {
        let words: Vec<String> = CheckBasis::WORDS.iter().map(|(word, _)| format!("`{word}`")).collect();
        let problem = row.problem("unknown-word", "basis", &format!("`{word}` is not a basis"));
        problems.push(problem.with_hint(format!("use {}", or_list(&words))));
    }
    found
}

/// Reads `key=value;key=value` against the keys of a quantity.
fn values(row: &Row<'_>, entry: &QuantityEntry, problems: &mut Vec<Problem>) -> Values {
    let before = problems.len();
    let mut values = BTreeMap::new();
    for piece in row.field("inputs").split(';').map(str::trim).filter(|piece| !piece.is_empty()) {
        let Some((name, text)) = piece.split_once('=') else {
            let problem = row.problem_of("not-a-value", "inputs", piece, &format!("`{piece}` is not `key=value`"));
            problems.push(problem.with_hint("separate inputs by `;`"));
            continue;
        };
        let (name, text) = (name.trim(), text.trim());
        let Some(key) = entry.keys.iter().find(|key| key.name == name) else {
            let known: Vec<String> = entry.keys.iter().map(|key| format!("`{}`", key.name)).collect();
            let near = nearest(name, entry.keys.iter().map(|key| key.name));
            let hint = near.map_or_else(|| format!("`{}` takes {}", entry.name, known.join(", ")), did_you_mean);
            problems
                .push(row.problem_of("unknown-key", "inputs", piece, &format!("unknown key `{name}`")).with_hint(hint));
            continue;
        };
        match value(key, text) {
            Some(value) => {
                if values.insert(key.name, value).is_some() {
                    let problem = row.problem_of("duplicate-key", "inputs", piece, &format!("`{name}` stands twice"));
                    problems.push(problem.with_hint("keep one of the two"));
                }
            }
            None => {
                let message = format!("`{name}` should be {}, not `{text}`", key.kind.in_words());
                problems.push(row.problem_of("not-a-value", "inputs", piece, &message).with_hint(key.kind.example()));
            }
        }
    }
    // A key that is there but wrong is not missing too.
    let clean = problems.len() == before;
    for group in entry.required {
        if clean && !group.iter().any(|name| values.contains_key(name)) {
            let names: Vec<String> = group.iter().map(|name| format!("`{name}`")).collect();
            let problem = row.problem("missing-key", "inputs", &format!("has no {}", or_list(&names)));
            problems.push(problem.with_hint(format!("`{}` needs it", entry.name)));
        }
    }
    Values(values)
}

fn value(key: &Key, text: &str) -> Option<Value> {
    let finite = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    match key.kind {
        KeyKind::Number => finite(text).map(Value::Number),
        KeyKind::List => text.split('|').map(finite).collect::<Option<Vec<f64>>>().map(Value::List),
        KeyKind::Word => (!text.is_empty()).then(|| Value::Word(text.to_owned())),
        KeyKind::Shares => {
            let shares = text.split('|').map(|share| {
                let (name, number) = share.split_once(':')?;
                Some((name.trim().to_owned(), finite(number)?))
            });
            shares.collect::<Option<Vec<_>>>().map(Value::Shares)
        }
    }
}
