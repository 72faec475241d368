//! A page in words: the flags are written out as a page file and read like one, so that both say the same.

use std::fmt::Write;

use crate::diagnostic::SourceText;

use super::failure::COMMAND_LINE;

/// How long ago a page in words was finished: long enough that every layer has dried.
const LONG_DRY: &str = "365 days ago";

/// Writes the page file that `--media`, `--paper` and `--size` stand for.
///
/// Media are separated by commas, bottom to top. After a medium, colons may add its technique, its cover (`40 %`)
/// and its laydown (`light`, `normal`, `heavy`), in any order.
pub fn page_file(media: &str, paper: &str, size: &str) -> SourceText {
    let mut text = format!(
        "title = \"Page in words\"\nsize = {}\npaper = {}\nfinished = \"{LONG_DRY}\"\n",
        quoted(size),
        quoted(paper)
    );
    for entry in media.split(',').map(str::trim).filter(|entry| !entry.is_empty()) {
        let mut parts = entry.split(':').map(str::trim);
        let _ = writeln!(text, "[[layer]]\nmedium = {}", quoted(parts.next().unwrap_or_default()));
        for part in parts {
            let key = match part {
                _ if part.ends_with('%') => "cover",
                "light" | "normal" | "heavy" => "laydown",
                _ => "technique",
            };
            let _ = writeln!(text, "{key} = {}", quoted(part));
        }
    }
    SourceText::new(COMMAND_LINE, &text)
}

/// A text as a TOML string, whatever is in it.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::{Laydown, read_page};
    use jiff::ZonedDateTime;

    fn noon() -> ZonedDateTime {
        "2026-11-28T12:00:00+00:00[UTC]".parse().expect("a written moment")
    }

    #[test]
    fn words_become_layers() {
        let source = page_file("watercolour:wet-on-dry, wax-pencil:heavy:40 %", "cardstock", "A4");
        let page = read_page(&source, &noon()).expect("a page");
        assert_eq!(page.layers.len(), 2);
        assert_eq!(page.layers[0].technique.as_ref().map(|technique| technique.value.as_str()), Some("wet-on-dry"));
        assert_eq!(page.layers[1].laydown, Laydown::Heavy);
        assert_eq!(page.layers[1].cover, Some(0.4));
        assert!(page.layers.iter().all(|layer| layer.finished.is_some()));
    }

    #[test]
    fn quotes_and_line_breaks_in_words_stay_words() {
        let source = page_file("ink\"\n[evil]\nx = 1", "card\\stock", "A4");
        let page = read_page(&source, &noon()).expect("a page");
        assert_eq!(page.layers[0].medium.value, "ink\"\n[evil]\nx = 1");
        assert_eq!(page.paper.value, "card\\stock");
    }
}
