//! How a text is to look on the terminal it goes to.

use anstyle::{AnsiColor, Style};
use jiff::ZonedDateTime;

use crate::diagnostic::escape_untrusted;
use crate::finding::Level;
use crate::quantity::Units;

/// Narrowest width laid out for; a narrower terminal gets this.
const NARROWEST: usize = 24;

/// What every text renderer needs to know about the reader and the screen.
#[derive(Debug, Clone)]
pub struct Look {
    /// Columns of the terminal.
    pub width: usize,
    /// Unit system read first.
    pub units: Units,
    /// Whether colour may be used. Nothing is said by colour alone.
    pub colour: bool,
    /// Whether the terminal shows more than ASCII.
    pub unicode: bool,
    /// Only the one-line answer and the one-line caution.
    pub quiet: bool,
    /// Show formulas, inputs, basis and source of the numbers.
    pub why: bool,
    /// Show notes in full and the finer figures.
    pub verbose: bool,
    /// The moment of reading, for `today`, `tomorrow` and the time zone of clock times.
    pub now: ZonedDateTime,
}

impl Look {
    /// A plain look: 80 columns, metric, no colour, full characters, nothing extra.
    pub fn plain(now: ZonedDateTime) -> Self {
        Self {
            width: 80,
            units: Units::Metric,
            colour: false,
            unicode: true,
            quiet: false,
            why: false,
            verbose: false,
            now,
        }
    }

    /// Columns laid out for.
    pub fn columns(&self) -> usize {
        self.width.max(NARROWEST)
    }

    /// Makes any text fit to be shown: escaped, and in ASCII where the terminal has nothing else.
    pub fn clean(&self, text: &str) -> String {
        let safe = escape_untrusted(text);
        if self.unicode { safe } else { to_ascii(&safe) }
    }

    /// A text in a style, or as it is where colour is off.
    pub(super) fn paint(&self, style: Style, text: &str) -> String {
        if self.colour && !text.is_empty() { format!("{style}{text}{style:#}") } else { text.to_owned() }
    }
}

/// The style of a section head.
pub(super) fn head_style() -> Style {
    Style::new().bold()
}

/// The style of a verdict word.
pub(super) fn level_style(level: Level) -> Style {
    let colour = match level {
        Level::Go => AnsiColor::Green,
        Level::Note => AnsiColor::Cyan,
        Level::Care => AnsiColor::Yellow,
        Level::Hold => AnsiColor::Red,
    };
    Style::new().bold().fg_color(Some(colour.into()))
}

/// Spells a text in ASCII: the usual signs by their plain twins, anything else as `\u{…}` so that nothing is lost.
fn to_ascii(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '\u{b5}' | '\u{3bc}' => plain.push('u'),
            '×' => plain.push('x'),
            '–' | '—' | '−' | '‐' | '‑' | '·' | '•' | '─' => plain.push('-'),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            // `21 C` is read without its sign, an angle is not.
            '°' if letters.peek().is_some_and(|next| matches!(next, 'C' | 'F')) => {}
            '°' => plain.push_str(" degrees"),
            '½' => plain.push_str("1/2"),
            '≤' => plain.push_str("<="),
            '≥' => plain.push_str(">="),
            '→' => plain.push_str("->"),
            '…' => plain.push_str("..."),
            '‘' | '’' => plain.push('\''),
            '“' | '”' => plain.push('"'),
            'Σ' => plain.push_str("sum"),
            '√' => plain.push_str("sqrt"),
            'σ' => plain.push_str("sigma"),
            'ρ' => plain.push_str("rho"),
            'π' => plain.push_str("pi"),
            '≈' => plain.push('~'),
            _ if letter.is_whitespace() => plain.push(' '),
            _ if letter.is_ascii() => plain.push(letter),
            _ => plain.extend(letter.escape_unicode()),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ascii_keeps_everything_readable() {
        assert_eq!(to_ascii("9 µm – 21 °C, 200 m³/h × 2 → done"), "9 um - 21 C, 200 m3/h x 2 -> done");
        assert_eq!(to_ascii("a quarter turn (90°), 70 °F"), "a quarter turn (90 degrees), 70 F");
        assert_eq!(to_ascii("Möwe"), "M\\u{f6}we");
    }
}
