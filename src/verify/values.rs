//! The inputs of a row, checked against the keys of its quantity.

use std::collections::BTreeMap;

/// One input.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number.
    Number(f64),
    /// Numbers separated by `|`.
    List(Vec<f64>),
    /// A word, for instance the id of a substance.
    Word(String),
    /// Names with numbers: `propane:0.3|isobutane:0.7`.
    Shares(Vec<(String, f64)>),
}

/// The inputs of a row by key. The reader has checked that every required key is there and of its kind.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Values(pub(super) BTreeMap<&'static str, Value>);

impl Values {
    /// A number that is required.
    ///
    /// # Panics
    /// If the registry does not list the key as a required number.
    pub fn number(&self, key: &str) -> f64 {
        self.optional(key).expect("the registry lists every key its function asks for")
    }

    /// A number that may be absent.
    pub fn optional(&self, key: &str) -> Option<f64> {
        match self.0.get(key) {
            Some(Value::Number(number)) => Some(*number),
            _ => None,
        }
    }

    /// A list; absent is empty.
    pub fn list(&self, key: &str) -> &[f64] {
        match self.0.get(key) {
            Some(Value::List(list)) => list,
            _ => &[],
        }
    }

    /// A word; absent is empty.
    pub fn word(&self, key: &str) -> &str {
        match self.0.get(key) {
            Some(Value::Word(word)) => word,
            _ => "",
        }
    }

    /// Names with numbers, if given.
    pub fn shares(&self, key: &str) -> Option<&[(String, f64)]> {
        match self.0.get(key) {
            Some(Value::Shares(shares)) => Some(shares),
            _ => None,
        }
    }
}
