//! A figure with its grounds, and structs of figures read from a profile.

use crate::estimate::{Grounds, Triple};

/// A threshold or an uncertain constant: its value (low, mode, high; all equal for a threshold) and its grounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// The value in the unit its name and documentation give.
    pub value: Triple,
    /// What it stands on.
    pub grounds: Grounds,
}

impl Figure {
    /// The most likely value.
    pub fn get(&self) -> f64 {
        self.value.mode()
    }
}

/// Defines a struct of [`Figure`]s and its reader: `name = { value = 5, basis = "choice", source = "…" }`.
macro_rules! figure_table {
    ($(#[$doc:meta])* $type:ident { $($(#[$field_doc:meta])* $field:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $type {
            $($(#[$field_doc])* pub $field: crate::catalog::Figure,)+
        }

        impl $type {
            /// Reads every figure of the table, noting what is missing or wrong.
            pub(crate) fn read(reader: &crate::input::TableReader<'_>) -> Option<Self> {
                $(let $field = crate::catalog::figures::read_figure(reader, stringify!($field));)+
                Some(Self { $($field: $field?,)+ })
            }

            /// Every figure with its name, in the order of the definition.
            pub fn all(&self) -> Vec<(&'static str, &crate::catalog::Figure)> {
                vec![$((stringify!($field), &self.$field),)+]
            }
        }
    };
}
pub(crate) use figure_table;

/// Reads one figure table; notes a missing basis, and a published figure without a source.
pub(crate) fn read_figure(reader: &crate::input::TableReader<'_>, key: &'static str) -> Option<Figure> {
    use crate::diagnostic::Problem;
    use crate::estimate::Basis;
    reader.require(key, "{ value = 1, basis = \"estimate\" }");
    let inner = reader.table(key)?;
    inner.require("value", "1");
    inner.require("basis", "\"estimate\"");
    let value = inner.triple("value");
    let basis = inner.choice("basis", &Basis::ALL.map(|basis| (basis.word(), basis)));
    let source = inner.text("source").map(|source| source.value);
    inner.text("note");
    if let Some(basis) = &basis
        && basis.value == Basis::Published
        && source.is_none()
    {
        let problem = Problem::new("no-source", format!("`{key}` is published but names no source"));
        inner.problem_at("source", basis.span.clone(), problem.with_hint("add `source = \"…\"`"));
    }
    inner.finish();
    Some(Figure { value: value?.value, grounds: Grounds { basis: basis?.value, source } })
}
