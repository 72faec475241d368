//! Where a run is seen and heard: a screen with keys, lines in a pipe, or events for a program.

use std::io::{IsTerminal, Write};

use super::lines;
use super::screen::Screen;
use crate::report::{Look, RunView, event_line, notice_text};
use crate::run::Notice;

/// Where a run is seen.
pub(super) enum Stage {
    /// One JSON object a line.
    Events,
    /// Lines of text.
    Lines {
        /// The question asked last, so that it is asked once.
        asked: Option<String>,
    },
    /// The whole terminal.
    Screen(Box<Screen>),
}

impl Stage {
    /// Whether it hears single keys.
    pub(super) fn hears_keys(&self) -> bool {
        matches!(self, Self::Screen(_))
    }

    /// Says something. `false` if nobody is there any more to read it.
    pub(super) fn say(&mut self, notice: &Notice, look: &Look) -> bool {
        match self {
            Self::Events => print(&event_line(notice, look.now.time_zone())),
            Self::Lines { .. } if look.quiet && !lines::worth_saying_quietly(notice) => true,
            Self::Lines { .. } => print(&notice_text(notice, look)),
            Self::Screen(_) => true,
        }
    }

    /// Shows how things stand. Hands back which part of how many is to be seen; nothing if nobody is there to see it.
    pub(super) fn draw(&mut self, view: &RunView<'_>, look: &Look) -> Option<(usize, usize)> {
        let whole = (0, 1);
        match self {
            Self::Events => Some(whole),
            Self::Lines { asked } => {
                let question = lines::question(view, look);
                if question == *asked {
                    return Some(whole);
                }
                asked.clone_from(&question);
                question.is_none_or(|question| print(&question)).then_some(whole)
            }
            Self::Screen(screen) => screen.draw(view, look).ok(),
        }
    }
}

/// Rings the bell of the terminal, wherever there is one.
pub(super) fn ring() {
    let out = std::io::stdout();
    let error = std::io::stderr();
    let _ = if out.is_terminal() {
        out.lock().write_all(b"\x07").and_then(|()| out.lock().flush())
    } else if error.is_terminal() {
        error.lock().write_all(b"\x07").and_then(|()| error.lock().flush())
    } else {
        Ok(())
    };
}

/// A line on standard output; `false` if its reader went away.
fn print(line: &str) -> bool {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{line}").and_then(|()| out.flush()).is_ok()
}
