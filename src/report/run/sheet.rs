//! What is to be drawn, before it is known how much of it fits.

use anstyle::{AnsiColor, Style};

use super::big::big;
use crate::report::look::Look;
use crate::report::wrap::{display_width, wrap};

/// What a block is worth where not all of them fit: the greater goes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    /// It is read, if need be in parts: warnings, and what is to be done now.
    Must,
    /// It is good to see from afar.
    Large,
    /// It makes room for the eye.
    Air,
    /// It can be looked up.
    Spare,
}

/// Lines that belong together.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub(super) lines: Vec<String>,
    pub(super) rank: Rank,
    /// Stands there once the block has given way.
    pub(super) instead: Option<String>,
}

/// Blocks one below the other.
pub(super) struct Sheet<'l> {
    pub(super) look: &'l Look,
    pub(super) blocks: Vec<Block>,
}

impl<'l> Sheet<'l> {
    pub(super) fn new(look: &'l Look) -> Self {
        Self { look, blocks: Vec::new() }
    }

    pub(super) fn columns(&self) -> usize {
        self.look.columns().saturating_sub(1)
    }

    /// A paragraph that has to be read.
    pub(super) fn paragraph(&mut self, text: &str, style: Style) {
        self.ranked(Rank::Must, "", text, style);
    }

    /// A paragraph behind a marker, which has to be read.
    pub(super) fn hanging(&mut self, marker: &str, text: &str, style: Style) {
        self.ranked(Rank::Must, marker, text, style);
    }

    /// A paragraph that may give way.
    pub(super) fn spare(&mut self, marker: &str, text: &str, style: Style) {
        self.ranked(Rank::Spare, marker, text, style);
    }

    fn ranked(&mut self, rank: Rank, marker: &str, text: &str, style: Style) {
        let marker = self.look.clean(marker);
        let indent = display_width(&marker);
        let lines = wrap(&self.look.clean(text), self.columns().saturating_sub(indent));
        let painted = lines.iter().enumerate().map(|(at, line)| {
            let lead = if at == 0 { marker.clone() } else { " ".repeat(indent) };
            self.look.paint(style, &format!("{lead}{line}"))
        });
        let lines = painted.collect();
        self.blocks.push(Block { lines, rank, instead: None });
    }

    pub(super) fn blank(&mut self) {
        self.blocks.push(Block { lines: vec![String::new()], rank: Rank::Air, instead: None });
    }

    /// A text five lines high, or the same in one line where those do not fit.
    pub(super) fn big(&mut self, text: &str, instead: &str, style: Style) {
        let rows = big(text, self.look.unicode);
        let lines = rows.into_iter().map(|row| self.look.paint(style, &format!("  {row}"))).collect();
        let instead = (!instead.is_empty()).then(|| self.look.paint(style, &self.look.clean(instead)));
        self.blocks.push(Block { lines, rank: Rank::Large, instead });
    }
}

pub(super) fn plain() -> Style {
    Style::new()
}

pub(super) fn strong() -> Style {
    Style::new().bold()
}

pub(super) fn faint() -> Style {
    Style::new().dimmed()
}

pub(super) fn warning() -> Style {
    strong().fg_color(Some(AnsiColor::Yellow.into()))
}

pub(super) fn urgent() -> Style {
    strong().fg_color(Some(AnsiColor::Red.into()))
}

pub(super) fn calm() -> Style {
    strong().fg_color(Some(AnsiColor::Green.into()))
}
