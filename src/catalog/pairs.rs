//! The pair table: may this medium go over that one?

use std::collections::BTreeMap;

/// The verdict of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PairVerdict {
    /// Do it.
    Good,
    /// Works with the stated care.
    Care,
    /// Do not.
    Avoid,
}

impl PairVerdict {
    /// The word in files, on screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Care => "care",
            Self::Avoid => "avoid",
        }
    }
}

/// One row: what happens when `upper` goes over `lower`, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairRow {
    /// The verdict.
    pub verdict: PairVerdict,
    /// What is seen.
    pub effect: String,
    /// Why.
    pub why: String,
    /// What the row stands on.
    pub grounds: crate::estimate::Grounds,
}

/// The table, by lower and upper group.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PairTable {
    /// Rows by (lower, upper).
    pub rows: BTreeMap<(String, String), PairRow>,
}

impl PairTable {
    /// The group name under which any sealer or fixative is judged as an upper layer.
    pub const SEALER: &'static str = "sealer-first-coat";

    /// Whether a group has rows as a lower layer.
    pub fn knows(&self, group: &str) -> bool {
        self.rows.range((group.to_owned(), String::new())..).next().is_some_and(|((lower, _), _)| lower == group)
    }

    /// Every group that may be a lower layer, in order.
    pub fn groups(&self) -> Vec<&str> {
        let mut groups: Vec<&str> = self.rows.keys().map(|(lower, _)| lower.as_str()).collect();
        groups.dedup();
        groups
    }

    /// The row of two groups.
    pub fn row(&self, lower: &str, upper: &str) -> Option<&PairRow> {
        self.rows.get(&(lower.to_owned(), upper.to_owned()))
    }
}
