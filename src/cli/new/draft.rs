//! A commented TOML file being drafted.

use std::fmt::Write;

/// Where comments stand, unless what they explain is longer.
const COMMENT_COLUMN: usize = 40;

/// A file in the making. Values are quoted here, so no answer can break out of its place.
#[derive(Debug, Default)]
pub(super) struct Draft {
    text: String,
}

impl Draft {
    /// A comment line.
    pub(super) fn note(&mut self, text: &str) {
        let _ = writeln!(self.text, "# {}", one_line(text));
    }

    /// An empty line.
    pub(super) fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A header as it stands, for instance `[[layer]]`.
    pub(super) fn table(&mut self, header: &str, comment: &str) {
        self.line(header, comment);
    }

    /// A key with a text.
    pub(super) fn key(&mut self, key: &str, value: &str, comment: &str) {
        self.line(&format!("{} = {}", bare_or_quoted(key), quoted(value)), comment);
    }

    /// A key with a value that needs no quotes.
    pub(super) fn plain(&mut self, key: &str, value: impl std::fmt::Display, comment: &str) {
        self.line(&format!("{key} = {value}"), comment);
    }

    /// A key that is only offered, behind a comment sign.
    pub(super) fn offered(&mut self, key: &str, value: &str, comment: &str) {
        self.line(&format!("# {key} = {}", quoted(value)), comment);
    }

    /// A key with a text, or the same key offered with an example.
    pub(super) fn key_or_offer(&mut self, key: &str, value: Option<&str>, example: &str, comment: &str) {
        match value {
            Some(value) => self.key(key, value, comment),
            None => self.offered(key, example, comment),
        }
    }

    /// The whole file.
    pub(super) fn finish(self) -> String {
        self.text
    }

    fn line(&mut self, code: &str, comment: &str) {
        self.text.push_str(code);
        if !comment.is_empty() {
            let gap = COMMENT_COLUMN.saturating_sub(code.chars().count()).max(2);
            self.text.push_str(&" ".repeat(gap));
            let _ = write!(self.text, "# {}", one_line(comment));
        }
        self.text.push('\n');
    }
}

/// A text as a TOML string on one line, whatever is in it.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => out.extend(['\\', letter]),
            _ if letter.is_control() => {
                let _ = write!(out, "\\u{:04X}", u32::from(letter));
            }
            _ => out.push(letter),
        }
    }
    out.push('"');
    out
}

fn bare_or_quoted(key: &str) -> String {
    let bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_');
    // A CAS number would be a bare key too, but it reads better in quotes.
    if bare && !key.starts_with(|c: char| c.is_ascii_digit()) { key.to_owned() } else { quoted(key) }
}

fn one_line(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_stay_in_their_quotes() {
        let mut draft = Draft::default();
        draft.key("title", "a \"b\" \\ c\n[evil]", "called so");
        draft.key("67-64-1", "< 10 %", "");
        draft.offered("bow", "1 mm", "if it bows");
        assert_eq!(
            draft.finish(),
            "title = \"a \\\"b\\\" \\\\ c\\u000A[evil]\"      # called so\n\"67-64-1\" = \"< 10 %\"\n\
             # bow = \"1 mm\"                          # if it bows\n"
        );
    }
}
