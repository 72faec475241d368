//! Breaking text into lines by what a terminal shows, not by bytes.

use unicode_width::UnicodeWidthStr;

/// Units that stay on the line of their number.
const UNITS: [&str; 27] = [
    "cm", "mm", "m", "in", "µm", "um", "mil", "%", "°C", "°F", "C", "F", "K", "g", "oz", "s", "min", "h", "ppm", "m³",
    "m3", "ft³", "m³/h", "m3/h", "cfm", "cm/s", "in/s",
];

/// Columns a text takes on a terminal.
pub fn display_width(text: &str) -> usize {
    text.width()
}

/// Breaks a text into lines no wider than `width` columns, between words where it can.
///
/// Runs of white space count as one space. A number keeps its unit beside it. A word wider than a line is cut. The
/// result has at least one line.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(2);
    let mut lines = Vec::new();
    let mut line = String::new();
    for piece in pieces(text, width) {
        if !line.is_empty() && display_width(&line) + 1 + display_width(&piece) <= width {
            line.push(' ');
            line.push_str(&piece);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if display_width(&piece) <= width {
            line = piece;
        } else {
            line = cut(&piece, width, &mut lines);
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// The words of a text, each number joined with its unit, and each command between backticks whole if a line holds it.
fn pieces(text: &str, width: usize) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut at = 0;
    while at < words.len() {
        if let Some(command) = command_at(&words[at..], width) {
            at += command.split(' ').count();
            pieces.push(command);
            continue;
        }
        let word = words[at];
        at += 1;
        let bare = word.trim_matches(|c: char| matches!(c, '(' | ')' | ',' | '.' | ';' | ':'));
        match pieces.last_mut() {
            Some(last) if UNITS.contains(&bare) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => pieces.push(word.to_owned()),
        }
    }
    pieces
}

/// The words up to the closing backtick, if the first opens one and all of them fit a line.
fn command_at(words: &[&str], width: usize) -> Option<String> {
    let open = |word: &&str| word.matches('`').count() % 2 == 1;
    if !words.first().is_some_and(open) {
        return None;
    }
    let close = words.iter().skip(1).take(width).position(open)? + 1;
    let command = words[..=close].join(" ");
    (display_width(&command) <= width).then_some(command)
}

/// Cuts an overlong piece into full lines, and hands back the rest.
fn cut(piece: &str, width: usize, lines: &mut Vec<String>) -> String {
    let mut line = String::new();
    for letter in piece.chars() {
        line.push(letter);
        if display_width(&line) > width {
            line.pop();
            lines.push(std::mem::take(&mut line));
            if letter != ' ' {
                line.push(letter);
            }
        }
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stay_whole() {
        assert_eq!(wrap("one mist at 30 cm, then two", 14), ["one mist at", "30 cm, then", "two"]);
        assert_eq!(wrap("", 10), [""]);
        assert_eq!(wrap("now run `coatbell measure can`.", 25), ["now run", "`coatbell measure can`."]);
        assert_eq!(wrap("a `b c d e f", 5), ["a `b", "c d e", "f"]);
    }

    #[test]
    fn overlong_words_are_cut_by_columns() {
        assert_eq!(wrap("ab 彩色の魚 x", 6), ["ab", "彩色の", "魚 x"]);
        for line in wrap(&"é\u{301}".repeat(30), 7) {
            assert!(display_width(&line) <= 7, "{line}");
        }
    }
}
