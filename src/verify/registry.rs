//! The quantities a check file may ask for, each with its keys, its unit and the model function that computes it.

use super::Values;
use crate::catalog::{Catalog, Substance};
use crate::diagnostic::Problem;

mod air;
mod chance;
mod film;
mod humid_air;
mod spray;
mod substance;
mod vapour;

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyKind {
    /// A number.
    Number,
    /// Numbers separated by `|`.
    List,
    /// A word.
    Word,
    /// Names with numbers.
    Shares,
}

impl KeyKind {
    /// What should stand there.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Number => "a number",
            Self::List => "numbers separated by `|`",
            Self::Word => "a word",
            Self::Shares => "names with numbers",
        }
    }

    /// The cure.
    pub fn example(self) -> &'static str {
        match self {
            Self::Number => "write it as `t_c=21.5`",
            Self::List => "write it as `c_ppm=150|75|50`",
            Self::Word => "write it as `substance=acetone`",
            Self::Shares => "write it as `mass_fractions=propane:0.3|isobutane:0.7`",
        }
    }
}

/// An input of a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key {
    /// Its name in check files, with its unit.
    pub name: &'static str,
    /// What it holds.
    pub kind: KeyKind,
}

/// A quantity of the registry.
#[derive(Debug, Clone, Copy)]
pub struct QuantityEntry {
    /// Its name in check files.
    pub name: &'static str,
    /// The unit of the result, in ASCII.
    pub unit: &'static str,
    /// Every key it takes.
    pub keys: &'static [Key],
    /// Keys that have to be there; of each group at least one.
    pub required: &'static [&'static [&'static str]],
    /// The model function, called with the inputs of a row.
    pub compute: fn(&Values, &Catalog) -> Result<f64, Box<Problem>>,
}

/// A key that holds a number.
const fn number(name: &'static str) -> Key {
    Key { name, kind: KeyKind::Number }
}

/// All quantities.
pub fn quantities() -> impl Iterator<Item = &'static QuantityEntry> {
    [
        air::ENTRIES,
        chance::ENTRIES,
        film::ENTRIES,
        humid_air::ENTRIES,
        spray::ENTRIES,
        substance::ENTRIES,
        vapour::ENTRIES,
    ]
    .into_iter()
    .flatten()
}

/// The quantity of that name.
pub fn entry(name: &str) -> Option<&'static QuantityEntry> {
    quantities().find(|entry| entry.name == name)
}

/// A value that has to lie in the range of its model.
fn within(key: &str, value: f64, low: f64, high: f64) -> Result<f64, Box<Problem>> {
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    let shown = crate::quantity::number(value);
    let problem = Problem::new("out-of-range", format!("`{key}` of {shown} is outside the model"));
    Err(Box::new(problem.with_hint(format!("give a value from {low} to {high}"))))
}

/// The substance of that name or CAS number.
fn substance<'a>(catalog: &'a Catalog, name: &str) -> Result<&'a Substance, Box<Problem>> {
    catalog.substance(name).map_err(|unknown| Box::new(unknown.problem(0..0)))
}
