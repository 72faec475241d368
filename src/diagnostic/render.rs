//! Drawing problems with file, line, column, the line itself and a caret.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use std::ops::Range;

use super::{Problem, Problems, escape_untrusted};

/// Where a span starts, counted from one, in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Line number from 1.
    pub line: usize,
    /// Column from 1, in characters.
    pub column: usize,
}

/// The place where a span starts in a text.
pub fn place(text: &str, span: &Range<usize>) -> Place {
    let start = floor_boundary(text, span.start);
    let before = &text[..start];
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    Place { line: before.matches('\n').count() + 1, column: before[line_start..].chars().count() + 1 }
}

/// The places where the problems of a source start, in their order; `None` where one has none. One pass over the text: a
/// broken file may have tens of thousands.
pub fn places(problems: &Problems) -> Vec<Option<Place>> {
    places_in(&problems.source.text, &problems.list.iter().map(|problem| problem.span.clone()).collect::<Vec<_>>())
}

/// The places where spans of a text start, in their order, in one pass over the text.
pub fn places_in(text: &str, spans: &[Option<Range<usize>>]) -> Vec<Option<Place>> {
    let start = |span: &Option<Range<usize>>| span.as_ref().map(|span| floor_boundary(text, span.start));
    let mut in_order: Vec<(usize, usize)> =
        spans.iter().enumerate().filter_map(|(number, span)| Some((start(span)?, number))).collect();
    in_order.sort_unstable();
    let mut found = vec![None; spans.len()];
    let (mut reached, mut here) = (0, Place { line: 1, column: 1 });
    for (start, number) in in_order {
        for letter in text[reached..start].chars() {
            here = match letter {
                '\n' => Place { line: here.line + 1, column: 1 },
                _ => Place { column: here.column + 1, ..here },
            };
        }
        reached = start;
        found[number] = Some(here);
    }
    found
}

/// Draws all problems of a source, one after another, with their hints. A source without a name is not shown.
///
/// `width` is the width of the terminal in columns; colour is used only if `colour` is set. The text of the file is
/// escaped before it is shown.
pub fn render(problems: &Problems, colour: bool, width: usize) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.decor_style(DecorStyle::Ascii).term_width(width);
    let drawn: Vec<String> = problems.list.iter().map(|problem| draw(&renderer, problems, problem)).collect();
    drawn.join("\n\n")
}

fn draw(renderer: &Renderer, problems: &Problems, problem: &Problem) -> String {
    let name = escape_untrusted(&problems.source.name);
    let message = escape_untrusted(&problem.message);
    if name.is_empty() {
        return without_file(&message, problem.hint.as_deref(), renderer);
    }
    let title = Level::ERROR.primary_title(&message);
    let text: &str = &problems.source.text;
    let mut group = match &problem.span {
        Some(span) if !text.is_empty() => {
            // The line is shown alone and escaped, so offsets are recomputed within it.
            let start = floor_boundary(text, span.start);
            let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
            let line_end = text[start..].find('\n').map_or(text.len(), |at| start + at);
            let end = floor_boundary(text, span.end.clamp(start, line_end));
            let head = escape_untrusted(&text[line_start..start]);
            let marked = escape_untrusted(&text[start..end]);
            let tail = escape_untrusted(text[end..line_end].trim_end_matches('\r'));
            let shown = format!("{head}{marked}{tail}");
            let mark = head.len()..head.len() + marked.len();
            let annotation = AnnotationKind::Primary.span(mark);
            let annotation = match &problem.label {
                Some(label) => annotation.label(escape_untrusted(label)),
                None => annotation,
            };
            let line = place(text, span).line;
            let snippet = Snippet::source(shown).line_start(line).path(name.clone()).annotation(annotation);
            title.element(snippet)
        }
        _ => title.element(annotate_snippets::Origin::path(name.clone())),
    };
    if let Some(hint) = &problem.hint {
        group = group.element(Level::HELP.with_name("hint").message(escape_untrusted(hint)));
    }
    renderer.render(&[group])
}

/// A problem of no file: the sentence, and below it what to do.
fn without_file(message: &str, hint: Option<&str>, renderer: &Renderer) -> String {
    let mut drawn = renderer.render(&[Group::with_title(Level::ERROR.primary_title(message))]);
    if let Some(hint) = hint {
        drawn.push_str("\n\n");
        let hint = escape_untrusted(hint);
        drawn.push_str(&renderer.render(&[Group::with_title(Level::HELP.with_name("hint").primary_title(&hint))]));
    }
    drawn
}

fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
