//! Lines on their way to a terminal: heads, paragraphs, lists and entries within the width.

use anstyle::Style;

use super::look::{Look, head_style, level_style};
use super::wrap::{display_width, wrap};
use crate::finding::Level;

/// Columns a text beside its label needs; with fewer, the label stands in front of it in the same paragraph.
const BESIDE: usize = 22;

/// Collects lines. Every text that goes in is cleaned here, so no renderer can forget to.
pub(super) struct Writer<'l> {
    look: &'l Look,
    out: String,
}

impl<'l> Writer<'l> {
    /// An empty sheet.
    pub(super) fn new(look: &'l Look) -> Self {
        Self { look, out: String::new() }
    }

    /// An empty line, unless nothing is written yet.
    pub(super) fn blank(&mut self) {
        if !self.out.is_empty() {
            self.out.push('\n');
        }
    }

    /// A section head, with an empty line before it.
    pub(super) fn head(&mut self, text: &str) {
        self.blank();
        self.block(0, "", text, head_style());
    }

    /// A smaller head in the style of a level.
    pub(super) fn level_head(&mut self, level: Level, text: &str) {
        self.block(2, "", text, level_style(level));
    }

    /// A verdict word followed by its sentence.
    pub(super) fn verdict(&mut self, level: Level, text: &str) {
        let word = level.word().to_uppercase();
        let indent = word.len() + 2;
        let lines = wrap(&self.look.clean(text), self.look.columns().saturating_sub(indent));
        let painted = self.look.paint(level_style(level), &word);
        for (at, line) in lines.iter().enumerate() {
            let lead = if at == 0 { format!("{painted}  ") } else { " ".repeat(indent) };
            self.line(&format!("{lead}{line}"));
        }
    }

    /// A paragraph, indented.
    pub(super) fn text(&mut self, indent: usize, text: &str) {
        self.block(indent, "", text, Style::new());
    }

    /// A list item: a marker, then its text hanging behind it.
    pub(super) fn item(&mut self, indent: usize, marker: &str, text: &str) {
        self.block(indent, &format!("{marker} "), text, Style::new());
    }

    /// A bullet.
    pub(super) fn bullet(&mut self, text: &str) {
        self.item(2, "•", text);
    }

    /// A label with its text beside it, or in front of it on a narrow screen; no bullet.
    pub(super) fn labelled(&mut self, label_width: usize, label: &str, text: &str) {
        if self.fits_beside(label_width) {
            self.entry(label_width, label, text);
        } else {
            let joined = if label.is_empty() { text.to_owned() } else { format!("{label}: {text}") };
            self.block(2, "", &joined, Style::new());
        }
    }

    /// An item of a list with its label in a column, or as a bullet where the screen or the column is too narrow.
    pub(super) fn entry(&mut self, label_width: usize, label: &str, text: &str) {
        let label = self.look.clean(label);
        if !self.fits_beside(label_width) || display_width(&label) > label_width {
            let name = label.trim_start();
            self.item(2 + label.len() - name.len(), "•", &format!("{name}: {text}"));
            return;
        }
        let pad = label_width.saturating_sub(display_width(&label));
        self.block(2, &format!("{label}{}  ", " ".repeat(pad)), text, Style::new());
    }

    /// Whether a text has room beside a label.
    fn fits_beside(&self, label_width: usize) -> bool {
        self.look.columns() >= label_width + 4 + BESIDE
    }

    /// A line that is clean and measured already.
    pub(super) fn line(&mut self, line: &str) {
        self.out.push_str(line.trim_end());
        self.out.push('\n');
    }

    /// Everything written.
    pub(super) fn finish(self) -> String {
        self.out
    }

    fn block(&mut self, indent: usize, marker: &str, text: &str, style: Style) {
        let marker = self.look.clean(marker);
        let hang = indent + display_width(&marker);
        let lines = wrap(&self.look.clean(text), self.look.columns().saturating_sub(hang));
        for (at, line) in lines.iter().enumerate() {
            let lead = if at == 0 { format!("{}{marker}", " ".repeat(indent)) } else { " ".repeat(hang) };
            let line = format!("{lead}{}", self.look.paint(style, line));
            self.line(&line);
        }
    }
}
