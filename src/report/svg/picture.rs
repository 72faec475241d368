//! A finished drawing, and the few marks all drawings are made of.

use maud::{Markup, PreEscaped, html};

use crate::diagnostic::escape_untrusted;

/// One drawing: its size, its marks, and what it shows in words for those who cannot see it.
#[derive(Debug, Clone)]
pub(in crate::report) struct Picture {
    pub(in crate::report) width: f64,
    pub(in crate::report) height: f64,
    /// What it shows, in a sentence.
    pub(in crate::report) words: String,
    pub(in crate::report) body: Markup,
}

/// The drawing as an element of a page.
pub(in crate::report) fn inline(picture: &Picture) -> Markup {
    html! {
        svg class="drawing" viewBox=(format!("0 0 {} {}", n(picture.width), n(picture.height))) role="img"
            aria-label=(picture.words) { (picture.body) }
    }
}

/// A coordinate to a tenth, without needless digits.
pub(super) fn n(value: f64) -> String {
    let tenth = (value * 10.0).round() / 10.0;
    let tenth = if tenth == 0.0 { 0.0 } else { tenth };
    format!("{tenth}")
}

/// Where a text is held.
#[derive(Debug, Clone, Copy)]
pub(super) enum Held {
    Left,
    Middle,
    Right,
}

/// A text in one of the styles of `drawing.css`.
pub(super) fn text(x: f64, y: f64, held: Held, class: &str, words: &str) -> Markup {
    let anchor = match held {
        Held::Left => "start",
        Held::Middle => "middle",
        Held::Right => "end",
    };
    html! { text class=(class) x=(n(x)) y=(n(y)) text-anchor=(anchor) { (words) } }
}

/// A straight line.
pub(super) fn line(class: &str, from: (f64, f64), to: (f64, f64)) -> Markup {
    html! { line class=(class) x1=(n(from.0)) y1=(n(from.1)) x2=(n(to.0)) y2=(n(to.1)) {} }
}

/// A rectangle; what has no width is drawn as a hair.
pub(super) fn rect(class: &str, x: f64, y: f64, width: f64, height: f64) -> Markup {
    html! { rect class=(class) x=(n(x)) y=(n(y)) width=(n(width.max(0.6))) height=(n(height)) {} }
}

/// A line through points.
pub(super) fn polyline(class: &str, points: &[(f64, f64)]) -> Markup {
    let points: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", n(*x), n(*y))).collect();
    html! { polyline class=(class) points=(points.join(" ")) {} }
}

/// Makes hidden and direction-changing characters of a whole document visible, so that no title can reverse or hide
/// what stands behind it. The document's own line ends stay.
pub(in crate::report) fn visible(document: &str) -> String {
    document.split('\n').map(escape_untrusted).collect::<Vec<_>>().join("\n")
}

/// Marks put together.
pub(super) fn together(parts: &[Markup]) -> Markup {
    PreEscaped(parts.iter().map(|part| part.0.as_str()).collect())
}

/// Moves marks on a line apart until they are `gap` from each other, keeping their order, and none beyond `end`.
pub(super) fn apart(places: &[f64], gap: f64, end: f64) -> Vec<f64> {
    let mut moved = places.to_vec();
    for at in 1..moved.len() {
        moved[at] = moved[at].max(moved[at - 1] + gap);
    }
    let mut limit = end;
    for place in moved.iter_mut().rev() {
        *place = place.min(limit);
        limit = *place - gap;
    }
    moved
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_move_apart_and_stay_inside() {
        assert_eq!(apart(&[10.0, 12.0, 99.0], 8.0, 100.0), [10.0, 18.0, 99.0]);
        assert_eq!(apart(&[95.0, 97.0, 99.0], 8.0, 100.0), [84.0, 92.0, 100.0]);
    }

    #[test]
    fn texts_stay_texts() {
        let drawn = text(1.04, -0.01, Held::Left, "words", "<b>\"&").into_string();
        assert_eq!(drawn, "<text class=\"words\" x=\"1\" y=\"0\" text-anchor=\"start\">&lt;b&gt;&quot;&amp;</text>");
        assert_eq!(visible("a\nb\u{202E}c"), "a\nb\\u{202e}c");
    }
}
