//! One row of a check file.

use std::ops::Range;

use serde::Serialize;

use super::Values;

/// What an expected value stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CheckBasis {
    /// Printed in a published source, which is named.
    Published,
    /// Computed with a general-purpose library, which is named.
    ReferenceLibrary,
    /// Arithmetic or an identity.
    Derived,
    /// Remembered, not read again.
    Memory,
}

impl CheckBasis {
    /// The words in check files.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("published", Self::Published),
        ("reference-library", Self::ReferenceLibrary),
        ("derived", Self::Derived),
        ("memory", Self::Memory),
    ];

    /// The word in files, on screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::ReferenceLibrary => "reference-library",
            Self::Derived => "derived",
            Self::Memory => "memory",
        }
    }
}

/// A value to recompute.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Name of the row.
    pub id: String,
    /// Name of a quantity of the registry.
    pub quantity: String,
    /// What it is computed from.
    pub values: Values,
    /// The value it should have.
    pub expected: f64,
    /// Its unit, in ASCII.
    pub unit: String,
    /// Allowed absolute difference.
    pub tolerance_absolute: f64,
    /// Allowed difference as a share of the expected value.
    pub tolerance_relative: f64,
    /// What the expected value stands on.
    pub basis: CheckBasis,
    /// Where it is from.
    pub source: String,
    /// Bytes of the row in its file.
    pub span: Range<usize>,
}

impl Check {
    /// The allowed difference: the larger of the absolute and the relative one.
    pub fn tolerance(&self) -> f64 {
        self.tolerance_absolute.max(self.tolerance_relative * self.expected.abs())
    }

    /// Whether a recomputed value agrees.
    pub fn accepts(&self, got: f64) -> bool {
        (got - self.expected).abs() <= self.tolerance()
    }
}
