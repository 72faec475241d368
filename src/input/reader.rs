//! Reading one table key by key, noting what is wrong and going on.

use std::cell::RefCell;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::{Problem, nearest, or_list};
use crate::estimate::Triple;
use crate::quantity::{self, Quantity, QuantityError, TimeSpan};

/// A value with the place it was written at.
#[derive(Debug, Clone, PartialEq)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// Bytes of the source.
    pub span: Range<usize>,
}

impl<T> Located<T> {
    /// The same place with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Located<U> {
        Located { value: change(self.value), span: self.span }
    }
}

/// Reads one table. Call [`TableReader::finish`] at the end: keys nobody asked for are refused there.
#[derive(Debug)]
pub struct TableReader<'a> {
    table: &'a DeTable<'a>,
    span: Range<usize>,
    path: String,
    problems: &'a RefCell<Vec<Problem>>,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a> TableReader<'a> {
    pub(super) fn new(
        table: &'a DeTable<'a>,
        span: Range<usize>,
        path: String,
        problems: &'a RefCell<Vec<Problem>>,
    ) -> Self {
        Self { table, span, path, problems, asked: RefCell::default() }
    }

    /// The bytes of this table's header.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The dotted name of a key of this table.
    pub fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// Notes a problem.
    pub fn problem(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    /// Notes a problem with the value of a key.
    pub fn problem_at(&self, key: &str, span: Range<usize>, problem: Problem) {
        self.problem(problem.at(span).with_key(self.path_of(key)));
    }

    /// Whether a key is there; it counts as asked for.
    pub fn has(&self, key: &'static str) -> bool {
        self.value(key).is_some()
    }

    /// Whether a key is missing or an empty list; it counts as asked for.
    pub fn is_absent_or_empty(&self, key: &'static str) -> bool {
        self.value(key).is_none_or(|value| value.get_ref().as_array().is_some_and(|items| items.is_empty()))
    }

    fn value(&self, key: &'static str) -> Option<&'a Spanned<DeValue<'a>>> {
        self.asked.borrow_mut().push(key);
        self.table.get(key)
    }

    fn wrong_kind(&self, key: &str, value: &Spanned<DeValue<'_>>, expected: &str, example: &str) {
        let problem =
            Problem::new("wrong-kind", format!("`{key}` should be {expected}, not {}", kind(value.get_ref())))
                .with_hint(format!("write `{key} = {example}`"));
        self.problem_at(key, value.span(), problem);
    }

    /// A text.
    pub fn text(&self, key: &'static str) -> Option<Located<String>> {
        self.text_such_as(key, "\"…\"")
    }

    fn text_such_as(&self, key: &'static str, example: &str) -> Option<Located<String>> {
        let value = self.value(key)?;
        match value.get_ref().as_str() {
            Some(text) => Some(Located { value: text.to_owned(), span: value.span() }),
            None => {
                self.wrong_kind(key, value, "a text in quotes", example);
                None
            }
        }
    }

    /// The text of a key if it is one, without noting a problem if it is not.
    pub fn raw_text(&self, key: &'static str) -> Option<&'a str> {
        self.value(key)?.get_ref().as_str()
    }

    /// A text that has to be there.
    pub fn required_text(&self, key: &'static str, example: &str) -> Option<Located<String>> {
        self.require(key, example);
        self.text_such_as(key, example)
    }

    /// Notes a missing key.
    pub fn require(&self, key: &'static str, example: &str) {
        if !self.table.contains_key(key) {
            let place = if self.path.is_empty() { "the file".to_owned() } else { format!("this `{}`", self.path) };
            let problem = Problem::new("missing-key", format!("{place} has no `{key}`"))
                .with_hint(format!("add `{key} = {example}`"))
                .with_key(self.path_of(key));
            let span = self.span();
            self.problem(if span.is_empty() { problem } else { problem.at(span) });
        }
    }

    /// A yes or no.
    pub fn boolean(&self, key: &'static str) -> Option<bool> {
        let value = self.value(key)?;
        let found = value.get_ref().as_bool();
        if found.is_none() {
            let problem =
                Problem::new("wrong-kind", format!("`{key}` should be true or false, not {}", kind(value.get_ref())))
                    .with_hint(format!("write `{key} = true` or `{key} = false`, without quotes"));
            self.problem_at(key, value.span(), problem);
        }
        found
    }

    /// A plain number, for counts and dimensionless figures.
    pub fn number(&self, key: &'static str) -> Option<Located<f64>> {
        let value = self.value(key)?;
        let found = plain_number(value.get_ref());
        if found.is_none() {
            self.wrong_kind(key, value, "a number", "1.5");
        }
        found.map(|number| Located { value: number, span: value.span() })
    }

    /// A quantity written with its unit.
    pub fn quantity<Q: Quantity>(&self, key: &'static str) -> Option<Located<Q>> {
        self.parsed(key, quantity::parse::<Q>)
    }

    /// A range of a quantity, or one value.
    pub fn quantity_range<Q: Quantity>(&self, key: &'static str) -> Option<Located<(Q, Q)>> {
        self.parsed(key, quantity::parse_range::<Q>)
    }

    /// A length of time.
    pub fn time(&self, key: &'static str) -> Option<Located<TimeSpan>> {
        self.parsed(key, TimeSpan::parse)
    }

    /// A range of times, or one time.
    pub fn time_range(&self, key: &'static str) -> Option<Located<(TimeSpan, TimeSpan)>> {
        self.parsed(key, TimeSpan::parse_range)
    }

    fn parsed<T>(&self, key: &'static str, parse: impl Fn(&str) -> Result<T, QuantityError>) -> Option<Located<T>> {
        let value = self.value(key)?;
        let text = match value.get_ref() {
            DeValue::String(text) => Some(text.to_string()),
            other => plain_number(other).map(|number| number.to_string()),
        };
        let Some(text) = text else {
            self.wrong_kind(key, value, "a number with its unit, in quotes", "\"… unit\"");
            return None;
        };
        match parse(&text) {
            Ok(parsed) => Some(Located { value: parsed, span: value.span() }),
            Err(error) => {
                self.problem_at(key, value.span(), quantity_problem(key, &error));
                None
            }
        }
    }

    /// A quantity as one value or as `{ low, mode, high }`, in SI.
    pub fn quantity_triple<Q: Quantity>(&self, key: &'static str) -> Option<Located<Triple>> {
        let value = self.value(key)?;
        if value.get_ref().is_table() {
            let inner = self.table(key)?;
            let low = inner.quantity::<Q>("low");
            let mode = inner.quantity::<Q>("mode");
            let high = inner.quantity::<Q>("high");
            for part in ["low", "mode", "high"] {
                inner.require(part, "\"…\"");
            }
            inner.finish();
            let triple = Triple::new(low?.value.si(), mode?.value.si(), high?.value.si());
            if triple.is_none() {
                let problem = Problem::new("not-in-order", format!("`{key}` should rise from low over mode to high"));
                self.problem_at(key, value.span(), problem.with_hint("order the three values"));
            }
            return triple.map(|triple| Located { value: triple, span: value.span() });
        }
        let range = self.quantity_range::<Q>(key)?;
        let triple = Triple::from_range(range.value.0.si(), range.value.1.si())?;
        Some(Located { value: triple, span: range.span })
    }

    /// A dimensionless figure, or one in the unit of the profile: a number, or `[low, mode, high]`.
    pub fn triple(&self, key: &'static str) -> Option<Located<Triple>> {
        let value = self.value(key)?;
        let triple = match value.get_ref() {
            DeValue::Array(items) => {
                let numbers: Vec<f64> = items.iter().filter_map(|item| plain_number(item.get_ref())).collect();
                match numbers[..] {
                    [low, mode, high] if items.len() == 3 => Triple::new(low, mode, high),
                    _ => None,
                }
            }
            other => plain_number(other).filter(|number| number.is_finite()).map(Triple::exact),
        };
        if triple.is_none() {
            let problem = Problem::new("not-in-order", format!("`{key}` should be a number or three rising numbers"))
                .with_hint(format!("write `{key} = [low, mode, high]`"));
            self.problem_at(key, value.span(), problem);
        }
        triple.map(|triple| Located { value: triple, span: value.span() })
    }

    /// Two plain numbers that rise, `[20, 30]`.
    pub fn pair(&self, key: &'static str) -> Option<(f64, f64)> {
        let (numbers, span) = self.numbers(key)?;
        match numbers[..] {
            [low, high] if low <= high => Some((low, high)),
            _ => {
                let problem = Problem::new("not-in-order", format!("`{key}` should be two rising numbers"));
                self.problem_at(key, span, problem.with_hint(format!("write `{key} = [20, 30]`")));
                None
            }
        }
    }

    /// Three plain numbers in any order, `[7.1, 1197, 228]`.
    pub fn three(&self, key: &'static str) -> Option<[f64; 3]> {
        let (numbers, span) = self.numbers(key)?;
        match numbers[..] {
            [first, second, third] => Some([first, second, third]),
            _ => {
                let problem = Problem::new("wrong-kind", format!("`{key}` should be three numbers"));
                self.problem_at(key, span, problem.with_hint(format!("write `{key} = [1, 2, 3]`")));
                None
            }
        }
    }

    fn numbers(&self, key: &'static str) -> Option<(Vec<f64>, Range<usize>)> {
        let value = self.value(key)?;
        let DeValue::Array(items) = value.get_ref() else {
            self.wrong_kind(key, value, "a list of numbers", "[1, 2]");
            return None;
        };
        let numbers = items.iter().map(|item| plain_number(item.get_ref()).filter(|number| number.is_finite()));
        let Some(numbers) = numbers.collect::<Option<Vec<f64>>>() else {
            self.wrong_kind(key, value, "a list of numbers", "[1, 2]");
            return None;
        };
        Some((numbers, value.span()))
    }

    /// Every key with its list of texts, for tables whose keys are names.
    pub fn named_lists(&self) -> Vec<(Located<String>, Vec<Located<String>>)> {
        let mut found = Vec::new();
        for (key, value) in self.table {
            let name = Located { value: key.get_ref().to_string(), span: key.span() };
            let items = value.get_ref().as_array().map(|items| {
                let text = |item: &Spanned<DeValue<'_>>| {
                    item.get_ref().as_str().map(|text| Located { value: text.to_owned(), span: item.span() })
                };
                items.iter().map(text).collect::<Option<Vec<_>>>()
            });
            match items.flatten() {
                Some(items) => found.push((name, items)),
                None => self.wrong_kind(key.get_ref(), value, "a list of texts", "[\"…\"]"),
            }
        }
        found
    }

    /// A list of texts; absent is empty. One text alone is a list of one.
    pub fn texts(&self, key: &'static str) -> Vec<Located<String>> {
        let Some(value) = self.value(key) else { return Vec::new() };
        match value.get_ref() {
            DeValue::String(text) => vec![Located { value: text.to_string(), span: value.span() }],
            DeValue::Array(items) => items
                .iter()
                .filter_map(|item| {
                    let text = item.get_ref().as_str();
                    if text.is_none() {
                        self.wrong_kind(key, item, "a list of texts", "[\"…\"]");
                    }
                    text.map(|text| Located { value: text.to_owned(), span: item.span() })
                })
                .collect(),
            _ => {
                self.wrong_kind(key, value, "a list of texts", "[\"…\"]");
                Vec::new()
            }
        }
    }

    /// A list of pairs of texts, `[["17:30", "18:15"]]`, each with its place; absent is empty.
    pub fn text_pairs(&self, key: &'static str) -> Vec<Located<(String, String)>> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let pair = |item: &Spanned<DeValue<'_>>| {
            let texts: Vec<&str> =
                item.get_ref().as_array()?.iter().map_while(|text| text.get_ref().as_str()).collect();
            match (&texts[..], item.get_ref().as_array()?.len()) {
                ([from, to], 2) => Some(Located { value: ((*from).to_owned(), (*to).to_owned()), span: item.span() }),
                _ => None,
            }
        };
        let wanted = "a list of pairs of times";
        let example = "[[\"17:30\", \"18:15\"]]";
        let Some(items) = value.get_ref().as_array() else {
            self.wrong_kind(key, value, wanted, example);
            return Vec::new();
        };
        let mut found = Vec::new();
        for item in items {
            match pair(item) {
                Some(pair) => found.push(pair),
                None => self.wrong_kind(key, item, wanted, example),
            }
        }
        found
    }

    /// A table within this one.
    pub fn table(&self, key: &'static str) -> Option<TableReader<'a>> {
        let value = self.value(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(TableReader::new(table, self.header(key), self.path_of(key), self.problems)),
            _ => {
                self.wrong_kind(key, value, "a table", "{ … }");
                None
            }
        }
    }

    /// The tables of a list of tables; absent is empty.
    pub fn tables(&self, key: &'static str) -> Vec<TableReader<'a>> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let DeValue::Array(items) = value.get_ref() else {
            let problem = Problem::new("wrong-kind", format!("`{key}` should be a list of tables"))
                .with_hint(format!("write `[[{key}]]` with two brackets"));
            self.problem_at(key, value.span(), problem);
            return Vec::new();
        };
        let mut readers = Vec::new();
        for (index, item) in items.iter().enumerate() {
            match item.get_ref() {
                DeValue::Table(table) => {
                    let path = format!("{} {}", self.path_of(key), index + 1);
                    readers.push(TableReader::new(table, item.span(), path, self.problems));
                }
                _ => self.wrong_kind(key, item, "a list of tables", "[{ … }]"),
            }
        }
        readers
    }

    /// Every sub-table by its name, for tables whose keys are names.
    pub fn named_tables(&self) -> Vec<(Located<String>, TableReader<'a>)> {
        let mut found = Vec::new();
        for (key, value) in self.table {
            let name = Located { value: key.get_ref().to_string(), span: key.span() };
            match value.get_ref() {
                DeValue::Table(table) => {
                    let reader = TableReader::new(table, key.span(), self.path_of(key.get_ref()), self.problems);
                    found.push((name, reader));
                }
                _ => self.wrong_kind(key.get_ref(), value, "a table", "{ … }"),
            }
        }
        found
    }

    /// Every key with its text, for tables whose keys are names; anything but a text is refused.
    pub fn entries(&self) -> Vec<(Located<String>, Located<String>)> {
        let mut found = Vec::new();
        for (key, value) in self.table {
            let name = Located { value: key.get_ref().to_string(), span: key.span() };
            match value.get_ref().as_str() {
                Some(text) => found.push((name, Located { value: text.to_owned(), span: value.span() })),
                None => match plain_number(value.get_ref()) {
                    // Left to the reader of the entry, which knows the unit to ask for.
                    Some(number) => {
                        found.push((name, Located { value: number.to_string(), span: value.span() }));
                    }
                    None => self.wrong_kind(key.get_ref(), value, "a text in quotes", "\"…\""),
                },
            }
        }
        found
    }

    /// Checks a word against the allowed ones, with a suggestion.
    pub fn choice<T: Copy>(&self, key: &'static str, allowed: &[(&str, T)]) -> Option<Located<T>> {
        let text = self.text(key)?;
        let wanted = text.value.trim().to_lowercase().replace([' ', '_'], "-");
        if let Some((_, value)) = allowed.iter().find(|(word, _)| *word == wanted) {
            return Some(Located { value: *value, span: text.span });
        }
        let near = nearest(&wanted, allowed.iter().map(|(word, _)| *word));
        let hint = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => {
                let words: Vec<String> = allowed.iter().map(|(word, _)| format!("`{word}`")).collect();
                format!("use {}", or_list(&words))
            }
        };
        let problem = Problem::new("unknown-word", format!("`{}` is not a known `{key}`", text.value)).with_hint(hint);
        self.problem_at(key, text.span, problem);
        None
    }

    /// Refuses every key nobody asked for, with a suggestion.
    pub fn finish(self) {
        let asked = self.asked.borrow();
        for key in self.table.keys() {
            let name: &str = key.get_ref();
            if asked.contains(&name) {
                continue;
            }
            let near = nearest(name, asked.iter().copied());
            if let Some(near) = near.filter(|near| !self.table.contains_key(*near)) {
                // A key that is there under a misspelt name is not missing too.
                let meant = Some(self.path_of(near));
                self.problems.borrow_mut().retain(|problem| problem.code != "missing-key" || problem.key != meant);
            }
            let hint = match near {
                Some(near) => format!("did you mean `{near}`?"),
                None => {
                    let mut known: Vec<String> = asked.iter().map(|known| format!("`{known}`")).collect();
                    known.sort_unstable();
                    known.dedup();
                    format!("known keys here: {}", known.join(", "))
                }
            };
            let place = if self.path.is_empty() { String::new() } else { format!(" in `{}`", self.path) };
            let problem = Problem::new("unknown-key", format!("unknown key `{name}`{place}")).with_hint(hint);
            self.problem_at(name, key.span(), problem);
        }
    }

    fn header(&self, key: &str) -> Range<usize> {
        self.table.get_key_value(key).map_or(0..0, |(key, _)| key.span())
    }
}

/// The problem with a badly written quantity.
fn quantity_problem(key: &str, error: &QuantityError) -> Problem {
    let code = match error {
        QuantityError::MissingUnit { .. } => "missing-unit",
        QuantityError::UnknownUnit { .. } => "unknown-unit",
        QuantityError::OutOfRange { .. } | QuantityError::NotFinite { .. } => "out-of-range",
        _ => "not-a-quantity",
    };
    Problem::new(code, format!("`{key}`: {error}")).with_hint(error.hint())
}

fn plain_number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().replace('_', "").parse().ok(),
        DeValue::Float(float) => float.as_str().replace('_', "").parse().ok(),
        _ => None,
    }
}

fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a TOML date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
