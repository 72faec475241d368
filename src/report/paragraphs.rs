//! Short answers that need no layout of their own.

use super::Look;
use super::writer::Writer;
use crate::finding::Level;

/// A piece of a short answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Paragraph {
    /// A verdict word and its sentence.
    Verdict(Level, String),
    /// A heading.
    Head(String),
    /// Plain text.
    Text(String),
    /// An item of a list.
    Bullet(String),
    /// A numbered step.
    Step(usize, String),
    /// A label with its text.
    Pair(String, String),
    /// A line of a drawing that is narrow enough already.
    Drawn(String),
}

/// Renders a short answer within the width. Quiet answers are their first piece and their last.
pub fn paragraphs(all: &[Paragraph], look: &Look) -> String {
    let mut writer = Writer::new(look);
    let label = all.iter().map(|one| if let Paragraph::Pair(label, _) = one { label.chars().count() } else { 0 }).max();
    for (place, paragraph) in all.iter().enumerate() {
        if look.quiet && place != 0 && place + 1 != all.len() {
            continue;
        }
        match paragraph {
            Paragraph::Verdict(level, text) => writer.verdict(*level, text),
            Paragraph::Head(text) => writer.head(text),
            Paragraph::Text(text) => writer.text(0, text),
            Paragraph::Bullet(text) => writer.bullet(text),
            Paragraph::Step(number, text) => writer.item(2, &format!("{number}."), text),
            Paragraph::Pair(label_text, text) => writer.labelled(label.unwrap_or(0), label_text, text),
            Paragraph::Drawn(line) => writer.line(&format!("  {line}")),
        }
    }
    writer.finish()
}
