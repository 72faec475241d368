//! One entry of a profile: its own figures, over those of the entry it extends.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use crate::catalog::FigureGrounds;
use crate::diagnostic::{Problem, nearest};
use crate::estimate::{Basis, Grounds, Triple};
use crate::input::TableReader;

/// A figure that is missing or wrong; the problem has been noted.
pub(super) struct Missing;

/// Reads one entry. Every method returns the entry's own value, else the base's, else notes what is missing.
pub(super) struct Entry<'r, 'a, 'b, B> {
    /// The table.
    pub reader: &'r TableReader<'a>,
    /// The entry it extends.
    pub base: Option<&'b B>,
    given: RefCell<Vec<&'static str>>,
}

impl<'r, 'a, 'b, B> Entry<'r, 'a, 'b, B> {
    pub(super) fn new(reader: &'r TableReader<'a>, base: Option<&'b B>) -> Self {
        Self { reader, base, given: RefCell::default() }
    }

    /// Whether the entry itself says something about a figure, or has to because there is no base.
    fn own(&self, key: &'static str, example: &str) -> bool {
        if self.reader.has(key) {
            self.given.borrow_mut().push(key);
            return true;
        }
        if self.base.is_none() {
            self.reader.require(key, example);
        }
        false
    }

    /// Notes that a figure is the entry's own although it was read elsewhere.
    pub(super) fn mark_own(&self, key: &'static str) {
        self.given.borrow_mut().push(key);
    }

    fn inherited<T>(&self, pick: impl Fn(&B) -> T) -> Option<T> {
        self.base.map(pick)
    }

    pub(super) fn text(&self, key: &'static str, example: &str, pick: impl Fn(&B) -> String) -> Option<String> {
        if self.own(key, example) { self.reader.text(key).map(|text| text.value) } else { self.inherited(pick) }
    }

    /// The name for people; an entry that extends another is called by its id if it says nothing.
    pub(super) fn name(&self, id: &str) -> Option<String> {
        if self.own("name", "\"gel pen\"") {
            return self.reader.text("name").map(|text| text.value);
        }
        self.base.map(|_| id.replace('-', " "))
    }

    /// A text that may be absent.
    pub(super) fn words(&self, key: &'static str, pick: impl Fn(&B) -> Option<String>) -> Option<String> {
        if self.reader.has(key) {
            self.given.borrow_mut().push(key);
            self.reader.text(key).map(|text| text.value)
        } else {
            self.inherited(pick).flatten()
        }
    }

    pub(super) fn word<T: Copy>(
        &self,
        key: &'static str,
        words: &[(&str, T)],
        example: &str,
        pick: impl Fn(&B) -> T,
    ) -> Option<T> {
        if self.own(key, example) {
            self.reader.choice(key, words).map(|word| word.value)
        } else {
            self.inherited(pick)
        }
    }

    pub(super) fn flag(&self, key: &'static str, absent: bool, pick: impl Fn(&B) -> bool) -> bool {
        if self.reader.has(key) {
            self.given.borrow_mut().push(key);
            self.reader.boolean(key).unwrap_or(absent)
        } else {
            self.inherited(pick).unwrap_or(absent)
        }
    }

    pub(super) fn number(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        pick: impl Fn(&B) -> f64,
    ) -> Option<f64> {
        if self.own(key, "1") { self.own_number(key, range) } else { self.inherited(pick) }
    }

    /// A number that may be absent.
    pub(super) fn maybe_number(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        pick: impl Fn(&B) -> Option<f64>,
    ) -> Option<f64> {
        if self.reader.has(key) {
            self.given.borrow_mut().push(key);
            self.own_number(key, range)
        } else {
            self.inherited(pick).flatten()
        }
    }

    fn own_number(&self, key: &'static str, range: RangeInclusive<f64>) -> Option<f64> {
        own_number(self.reader, key, range)
    }

    pub(super) fn triple(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        pick: impl Fn(&B) -> Triple,
    ) -> Option<Triple> {
        if self.own(key, "[1, 2, 3]") { self.own_triple(key, range) } else { self.inherited(pick) }
    }

    fn own_triple(&self, key: &'static str, range: RangeInclusive<f64>) -> Option<Triple> {
        own_triple(self.reader, key, range)
    }

    /// Two rising numbers inside a range.
    pub(super) fn pair(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        example: &str,
        pick: impl Fn(&B) -> (f64, f64),
    ) -> Option<(f64, f64)> {
        if !self.own(key, example) {
            return self.inherited(pick);
        }
        let pair = self.reader.pair(key)?;
        if range.contains(&pair.0) && range.contains(&pair.1) {
            return Some(pair);
        }
        self.reader.problem_at(key, self.reader.span(), out_of_range(key, &range));
        None
    }

    /// A triple, or a word (`none`, `never`) for no value at all.
    pub(super) fn triple_or_word(
        &self,
        key: &'static str,
        range: RangeInclusive<f64>,
        pick: impl Fn(&B) -> Option<Triple>,
    ) -> Result<Option<Triple>, Missing> {
        if self.own(key, "[1, 2, 3]") {
            triple_or_word(self.reader, key, range)
        } else {
            self.inherited(pick).ok_or(Missing)
        }
    }

    /// A set of words, replacing the base's if there is one here; unknown words are refused.
    pub(super) fn set<T: Copy>(&self, key: &'static str, words: &[(&str, T)], pick: impl Fn(&B) -> Vec<T>) -> Vec<T> {
        if !self.reader.has(key) {
            return self.inherited(pick).unwrap_or_default();
        }
        self.given.borrow_mut().push(key);
        let mut found = Vec::new();
        for text in self.reader.texts(key) {
            match words.iter().find(|(word, _)| *word == text.value) {
                Some((_, value)) => found.push(*value),
                None => {
                    let near = nearest(&text.value, words.iter().map(|(word, _)| *word));
                    let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
                    let hint = near.map_or_else(
                        || format!("known words: {}", known.join(", ")),
                        |near| format!("did you mean `{near}`?"),
                    );
                    let problem = Problem::new("unknown-word", format!("`{}` is not a known word here", text.value));
                    self.reader.problem_at(key, text.span, problem.with_hint(hint));
                }
            }
        }
        found
    }

    /// What the figures stand on: the `basis` table over the file's default, and the base's for what is inherited.
    pub(super) fn grounds(&self, file: &Grounds, inherited: Option<&FigureGrounds>) -> FigureGrounds {
        let mut default = file.clone();
        let mut own = BTreeMap::new();
        if let Some(table) = self.reader.table("basis") {
            for (key, value) in table.entries() {
                let Some(grounds) = read_grounds(&table, &key.value, &value.value, value.span.clone()) else {
                    continue;
                };
                if key.value == "default" {
                    default = grounds;
                } else {
                    own.insert(key.value, grounds);
                }
            }
        }
        let Some(inherited) = inherited else { return FigureGrounds { default, own } };
        // Inherited figures keep the base's grounds; the entry's own figures have the entry's.
        let mut merged = inherited.own.clone();
        for key in self.given.borrow().iter().filter(|key| !own.contains_key(**key)) {
            merged.insert((*key).to_owned(), default.clone());
        }
        merged.extend(own);
        FigureGrounds { default: inherited.default.clone(), own: merged }
    }

    /// Refuses a basis for a figure that does not exist. Call after all figures were read.
    pub(super) fn check_basis_keys(&self, figures: &[&str]) {
        let Some(table) = self.reader.table("basis") else { return };
        for (key, _) in table.entries() {
            if key.value == "default" || figures.contains(&key.value.as_str()) {
                continue;
            }
            let near = nearest(&key.value, figures.iter().copied());
            let problem = Problem::new("unknown-key", format!("`{}` is not a figure that has a basis", key.value))
                .with_hint(format!("name one of the figures: {}", figures.join(", ")))
                .with_hint_if(near.map(|near| format!("did you mean `{near}`?")));
            table.problem_at(&key.value, key.span, problem);
        }
    }
}

fn read_grounds(table: &TableReader<'_>, key: &str, text: &str, span: std::ops::Range<usize>) -> Option<Grounds> {
    let Some(grounds) = Grounds::parse(text) else {
        let words: Vec<&str> = Basis::ALL.iter().map(|basis| basis.word()).collect();
        let problem = Problem::new("unknown-word", format!("`{text}` is not a basis"))
            .with_hint(format!("write one of {}, or `published: where`", words.join(", ")));
        table.problem_at(key, span, problem);
        return None;
    };
    if grounds.basis == Basis::Published && grounds.source.as_deref().is_none_or(str::is_empty) {
        let problem = Problem::new("no-source", format!("`{key}` is published but names no source"));
        table.problem_at(key, span, problem.with_hint("write `published: where`"));
        return None;
    }
    Some(grounds)
}

/// A number inside a range.
pub(super) fn own_number(reader: &TableReader<'_>, key: &'static str, range: RangeInclusive<f64>) -> Option<f64> {
    let number = reader.number(key)?;
    if range.contains(&number.value) {
        return Some(number.value);
    }
    reader.problem_at(key, number.span, out_of_range(key, &range));
    None
}

/// A triple inside a range.
pub(super) fn own_triple(reader: &TableReader<'_>, key: &'static str, range: RangeInclusive<f64>) -> Option<Triple> {
    let triple = reader.triple(key)?;
    if range.contains(&triple.value.low()) && range.contains(&triple.value.high()) {
        return Some(triple.value);
    }
    reader.problem_at(key, triple.span, out_of_range(key, &range));
    None
}

/// A triple inside a range, or `none` or `never`.
pub(super) fn triple_or_word(
    reader: &TableReader<'_>,
    key: &'static str,
    range: RangeInclusive<f64>,
) -> Result<Option<Triple>, Missing> {
    if matches!(reader.raw_text(key), Some("none" | "never")) {
        return Ok(None);
    }
    own_triple(reader, key, range).map(Some).ok_or(Missing)
}

fn out_of_range(key: &str, range: &RangeInclusive<f64>) -> Problem {
    let (low, high) = (crate::quantity::number(*range.start()), crate::quantity::number(*range.end()));
    Problem::new("out-of-range", format!("`{key}` should lie between {low} and {high}"))
        .with_hint("check the unit in the figure's name")
}
