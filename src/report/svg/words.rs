//! Paragraphs of a drawing that stands alone: the answer above it, the cautions below.

use maud::{Markup, html};

use super::picture::{Held, Picture, text, together};
use crate::report::sentence;
use crate::report::wrap;

/// Height of a line.
const LINE: f64 = 17.0;
/// Width of a character that no ordinary sentence exceeds on average, at the size of `.words`.
const CHARACTER: f64 = 6.9;

/// Paragraphs as a picture of that width; the first is a head.
pub(super) fn paragraphs(width: f64, head: &str, rest: &[String]) -> Picture {
    let columns = (width / CHARACTER) as usize;
    let mut y = 0.0;
    let mut marks: Vec<Markup> = Vec::new();
    let mut put = |class: &str, words: &str| {
        for line in wrap(words, columns) {
            y += LINE;
            marks.push(text(0.0, y, Held::Left, class, &line));
        }
    };
    put("words head", head);
    for words in rest {
        put("words", &sentence(words));
    }
    Picture { width, height: y + LINE / 2.0, words: head.to_owned(), body: html! { (together(&marks)) } }
}
