//! The terminal as a screen: raw keys, the cursor hidden, everything given back at the end, however it comes.

use std::io::{Write, stdout};
use std::sync::atomic::{AtomicBool, Ordering};

use crossterm::terminal::{
    self, Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{cursor, execute, queue};

use crate::report::{Look, RunView, run_screen};

/// Whether the terminal is taken at this moment.
static TAKEN: AtomicBool = AtomicBool::new(false);

/// Gives the terminal back, if it is taken.
pub(in crate::cli) fn restore() {
    if TAKEN.swap(false, Ordering::SeqCst) {
        let _ = execute!(stdout(), LeaveAlternateScreen, cursor::Show);
        let _ = disable_raw_mode();
    }
}

/// The terminal, taken.
pub(super) struct Screen {
    shown: Vec<String>,
}

impl Screen {
    /// Takes the terminal.
    pub(super) fn take() -> std::io::Result<Self> {
        enable_raw_mode()?;
        TAKEN.store(true, Ordering::SeqCst);
        if let Err(error) = execute!(stdout(), EnterAlternateScreen, cursor::Hide, Clear(ClearType::All)) {
            restore();
            return Err(error);
        }
        Ok(Self { shown: Vec::new() })
    }

    /// Draws the lines that changed. Hands back the part that is shown and how many there are.
    pub(super) fn draw(&mut self, view: &RunView<'_>, look: &Look) -> std::io::Result<(usize, usize)> {
        let (columns, rows) = terminal::size().unwrap_or((80, 24));
        let look = Look { width: usize::from(columns), ..look.clone() };
        if look.columns() > usize::from(columns) || rows < 2 {
            // Nothing can be read here, and so nothing goes on.
            execute!(stdout(), Clear(ClearType::All), cursor::MoveTo(0, 0))?;
            stdout().lock().write_all("Widen".as_bytes())?;
            stdout().lock().flush()?;
            return Ok((0, 2));
        }
        let drawn = run_screen(view, &look, usize::from(rows));
        let mut out = stdout().lock();
        for (row, line) in drawn.lines.iter().enumerate() {
            if self.shown.get(row) != Some(line) {
                let line = if look.colour { line.clone() } else { anstream::adapter::strip_str(line).to_string() };
                queue!(out, cursor::MoveTo(0, row as u16), Clear(ClearType::UntilNewLine))?;
                out.write_all(line.as_bytes())?;
            }
        }
        self.shown = drawn.lines;
        out.flush()?;
        Ok((drawn.part, drawn.parts))
    }

    /// Draws everything anew the next time.
    pub(super) fn forget(&mut self) {
        self.shown.clear();
        let _ = execute!(stdout(), Clear(ClearType::All));
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        restore();
    }
}
