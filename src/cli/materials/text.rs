//! Materials as text.

use std::fmt::Write;

use super::describe::{Described, Listed};
use crate::catalog::Kind;
use crate::report::{Look, display_width, wrap};

/// Space between columns.
const GAP: usize = 2;
/// Widest column of names; a longer name has a line of its own.
const NAMES: usize = 28;

/// A list by kind: id, name, and the other accepted names.
pub(super) fn list(materials: &[Listed<'_>], look: &Look) -> String {
    let mut text = String::new();
    if look.quiet {
        for listed in materials {
            let _ = writeln!(text, "{}", listed.id);
        }
        return text;
    }
    let id_width = materials.iter().map(|listed| display_width(listed.id)).max().unwrap_or(0);
    for kind in Kind::ALL {
        let mut of_kind = materials.iter().filter(|listed| listed.kind == kind.word()).peekable();
        if of_kind.peek().is_none() {
            continue;
        }
        let separator = if text.is_empty() { "" } else { "\n" };
        let _ = writeln!(text, "{separator}{}", kind.plural());
        for listed in of_kind {
            let mut said = look.clean(listed.name);
            if !listed.aliases.is_empty() {
                let _ = write!(said, " (also {})", look.clean(&listed.aliases.join(", ")));
            }
            entry(&mut text, listed.id, id_width, &said, look);
        }
    }
    text
}

/// Every figure of a material and what it stands on.
pub(super) fn show(materials: &[Described], look: &Look) -> String {
    let mut text = String::new();
    for described in materials {
        let separator = if text.is_empty() { "" } else { "\n" };
        let _ = writeln!(text, "{separator}{} ({} {})", look.clean(&described.name), described.kind, described.id);
        if !described.aliases.is_empty() {
            for line in wrap(&format!("also {}", look.clean(&described.aliases.join(", "))), look.columns() - 2) {
                let _ = writeln!(text, "  {line}");
            }
        }
        if let Some(note) = &described.note {
            for line in wrap(&look.clean(note), look.columns().saturating_sub(2)) {
                let _ = writeln!(text, "  {line}");
            }
        }
        text.push('\n');
        let name_width = described.figures.iter().map(|figure| display_width(&figure.name)).max().unwrap_or(0);
        for figure in &described.figures {
            let mut said = look.clean(&figure.value);
            if let Some(basis) = figure.basis {
                let _ = write!(said, "  [{basis}");
                if let Some(source) = &figure.source {
                    let _ = write!(said, ": {}", look.clean(source));
                }
                said.push(']');
            }
            entry(&mut text, &figure.name, name_width, &said, look);
        }
    }
    text
}

/// A name in its column and what is said of it beside, continued below itself.
fn entry(text: &mut String, name: &str, name_width: usize, said: &str, look: &Look) {
    let name_width = name_width.min(NAMES);
    let indent = 2 + name_width + GAP;
    let apart = display_width(name) > name_width;
    if apart {
        let _ = writeln!(text, "  {name}");
    }
    for (number, line) in wrap(said, look.columns().saturating_sub(indent).max(20)).iter().enumerate() {
        let head = if number == 0 && !apart { name } else { "" };
        let pad = name_width + GAP - display_width(head);
        let _ = writeln!(text, "  {head}{:pad$}{line}", "");
    }
}
