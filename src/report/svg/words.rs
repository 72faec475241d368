//! Paragraphs of a drawing that stands alone: the answer above it, the cautions below.

use maud::{Markup, html};

use super::picture::{Held, Picture, text, together};
use crate::diagnostic::escape_untrusted;
use crate::report::sentence;
use crate::report::wrap;

/// Height of a line.
const LINE: f64 = 17.0;
/// Width of a character that no ordinary sentence exceeds on average, at the size of `.words` and of its heads, in a wide
/// typeface.
const CHARACTER: f64 = 7.5;
const HEAD_CHARACTER: f64 = 8.7;

/// Paragraphs as a picture of that width; the first is a head.
pub(super) fn paragraphs(width: f64, head: &str, rest: &[String]) -> Picture {
    let mut y = 0.0;
    let mut marks: Vec<Markup> = Vec::new();
    let mut put = |class: &str, character: f64, words: &str| {
        // Escaped before it is broken, since what is shown instead of a hidden character takes room.
        for line in wrap(&escape_untrusted(words), (width / character) as usize) {
            y += LINE;
            marks.push(text(0.0, y, Held::Left, class, &line));
        }
    };
    put("words head", HEAD_CHARACTER, head);
    for words in rest {
        put("words", CHARACTER, &sentence(words));
    }
    Picture { width, height: y + LINE / 2.0, words: head.to_owned(), body: html! { (together(&marks)) } }
}
