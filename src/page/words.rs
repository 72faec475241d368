//! The page in words: `--media "watercolour:wet-on-dry, alcohol-marker, wax-pencil"`.

use jiff::{SignedDuration, ZonedDateTime};

use crate::diagnostic::{Problem, Problems, SourceText};
use crate::input::{Finish, Laydown, LayerInput, Located, PageInput, parse_size};
use crate::quantity::{self, Quantity, Share};

/// How long ago the layers of a page in words were finished: longer than any wait, so that all of them are dry.
const LONG_AGO_DAYS: i64 = 730;

/// A page as typed on the command line.
#[derive(Debug, Clone, Copy)]
pub struct PageWords<'a> {
    /// Media bottom to top, between commas. After a medium, colons may add its technique, its cover (`40 %`) and its
    /// laydown (`light`, `normal`, `heavy`), in any order.
    pub media: &'a str,
    /// Name of the paper.
    pub paper: Option<&'a str>,
    /// Size of the sheet.
    pub size: Option<&'a str>,
    /// The finish wanted.
    pub finish: Option<Finish>,
}

/// Reads a page in words. Every layer is taken as finished and dry.
///
/// The source that comes back is what errors point into, also those of [`super::Sheet::resolve`]: the options as
/// typed, one on each line, under the name `<command line>`.
///
/// # Errors
/// `missing-option`, `no-layers`, `empty-layer`, `two-techniques`, `not-a-quantity` and `page-size`, all at once.
pub fn page_from_words(words: &PageWords<'_>, now: &ZonedDateTime) -> Result<(PageInput, SourceText), Problems> {
    let mut text = String::new();
    let mut option = |name: &str, value: Option<&str>| {
        let value = value?;
        text.push_str(name);
        text.push(' ');
        let start = text.len();
        text.push_str(value);
        let span = start..text.len();
        text.push('\n');
        Some(Located { value: value.trim().to_owned(), span })
    };
    let media_at = option("--media", Some(words.media)).map_or(0, |media| media.span.start);
    let paper = option("--paper", words.paper);
    let size = option("--size", words.size);
    let source = SourceText::new("<command line>", &text);

    let mut problems = Vec::new();
    let layers = read_layers(words.media, media_at, now, &mut problems);
    if paper.is_none() {
        problems.push(missing("--paper", "cardstock"));
    }
    let sides = match &size {
        None => {
            problems.push(missing("--size", "A4"));
            None
        }
        Some(size) => match parse_size(&size.value) {
            Ok(sides) => Some(sides),
            Err((message, hint)) => {
                let problem = Problem::new("page-size", format!("`--size`: {message}")).with_hint(hint);
                problems.push(problem.at(size.span.clone()).with_key("--size"));
                None
            }
        },
    };
    match (paper, sides) {
        (Some(paper), Some((width_m, height_m))) if problems.is_empty() => {
            let page = PageInput {
                title: "Page in words".to_owned(),
                width_m,
                height_m,
                paper,
                grammage_kg_m2: None,
                finish: words.finish,
                bow_m: None,
                layers,
            };
            Ok((page, source))
        }
        _ => Err(Problems::new(source, problems)),
    }
}

fn read_layers(media: &str, media_at: usize, now: &ZonedDateTime, problems: &mut Vec<Problem>) -> Vec<LayerInput> {
    const EXAMPLE: &str = "write `--media \"watercolour:wet-on-dry, alcohol-marker\"`, bottom to top";
    if media.trim().is_empty() {
        problems.push(Problem::new("no-layers", "`--media` names no layers").with_hint(EXAMPLE).with_key("--media"));
        return Vec::new();
    }
    let finished = now.checked_sub(SignedDuration::from_hours(LONG_AGO_DAYS * 24)).ok();
    let mut layers = Vec::new();
    let mut at = media_at;
    for item in media.split(',') {
        let whole = trimmed(item, at);
        at += item.len() + 1;
        if whole.value.is_empty() {
            let problem = Problem::new("empty-layer", "there is nothing between two commas").with_hint(EXAMPLE);
            problems.push(problem.at(whole.span.start..whole.span.start + 1).with_key("--media"));
            continue;
        }
        layers.push(read_layer(item, &whole, finished.as_ref(), problems));
    }
    layers
}

fn read_layer(
    item: &str,
    whole: &Located<String>,
    finished: Option<&ZonedDateTime>,
    problems: &mut Vec<Problem>,
) -> LayerInput {
    let mut at = whole.span.start;
    let mut parts = item.trim().split(':').map(|part| {
        let part_at = at;
        at += part.len() + 1;
        trimmed(part, part_at)
    });
    let mut layer = LayerInput {
        medium: parts.next().unwrap_or_else(|| whole.clone()),
        technique: None,
        cover: None,
        laydown: Laydown::Normal,
        areas: Vec::new(),
        finished: finished.cloned(),
        masked: false,
        span: whole.span.clone(),
    };
    for part in parts.filter(|part| !part.value.is_empty()) {
        let word = part.value.to_lowercase();
        if let Some((_, laydown)) = Laydown::WORDS.iter().find(|(known, _)| *known == word) {
            layer.laydown = *laydown;
        } else if word.ends_with('%') {
            match quantity::parse::<Share>(&word) {
                Ok(cover) => layer.cover = Some(cover.si()),
                Err(error) => {
                    let problem = Problem::new("not-a-quantity", error.to_string()).with_hint(error.hint());
                    problems.push(problem.at(part.span).with_key("--media"));
                }
            }
        } else if let Some(first) = &layer.technique {
            let message = format!("`{}` has two techniques, `{}` and `{word}`", layer.medium.value, first.value);
            let problem = Problem::new("two-techniques", message).with_hint("write the medium twice, one for each");
            problems.push(problem.at(part.span).with_key("--media"));
        } else {
            layer.technique = Some(part);
        }
    }
    layer
}

fn trimmed(text: &str, at: usize) -> Located<String> {
    let start = at + text.len() - text.trim_start().len();
    let value = text.trim().to_owned();
    let span = start..start + value.len();
    Located { value, span }
}

fn missing(option: &str, example: &str) -> Problem {
    Problem::new("missing-option", format!("a page in words needs `{option}`"))
        .with_hint(format!("add `{option} {example}`"))
        .with_key(option)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn now() -> ZonedDateTime {
        "2026-11-25T12:00:00+00:00[UTC]".parse().expect("a valid time")
    }

    fn words(media: &str) -> PageWords<'_> {
        PageWords { media, paper: Some("cardstock"), size: Some("A4"), finish: None }
    }

    #[test]
    fn layers_are_read_bottom_to_top_and_point_into_the_options() {
        let (page, source) = page_from_words(&words("watercolour: wet-on-dry,  wax-pencil"), &now()).expect("valid");
        let names: Vec<&str> = page.layers.iter().map(|layer| layer.medium.value.as_str()).collect();
        assert_eq!(names, ["watercolour", "wax-pencil"]);
        let technique = page.layers[0].technique.clone().expect("stated");
        assert_eq!(&source.text[technique.span.clone()], "wet-on-dry");
        assert_eq!(&source.text[page.layers[1].medium.span.clone()], "wax-pencil");
        assert_eq!(&source.text[page.paper.span.clone()], "cardstock");
        assert!(page.layers.iter().all(|layer| layer.finished.as_ref().is_some_and(|at| *at < now())));
    }

    #[test]
    fn cover_and_laydown_may_be_added_in_any_order() {
        let (page, _) = page_from_words(&words("wax-pencil:heavy: 40 %, glitter:5%:glue"), &now()).expect("valid");
        assert_eq!((page.layers[0].laydown, page.layers[0].cover), (Laydown::Heavy, Some(0.4)));
        assert_eq!(page.layers[1].technique.as_ref().map(|way| way.value.as_str()), Some("glue"));
        let problems = page_from_words(&words("glitter:glue:loose, toner:400 %"), &now()).expect_err("two problems");
        let codes: Vec<&str> = problems.list.iter().map(|problem| problem.code).collect();
        assert_eq!(codes, ["two-techniques", "not-a-quantity"]);
        assert_eq!(&problems.source.text[problems.list[0].span.clone().expect("placed")], "loose");
    }

    #[test]
    fn everything_wrong_comes_out_at_once() {
        let input = PageWords { media: "toner,,gel-pen", paper: None, size: Some("A44x"), finish: None };
        let problems = page_from_words(&input, &now()).expect_err("three problems");
        let codes: Vec<&str> = problems.list.iter().map(|problem| problem.code).collect();
        assert_eq!(codes, ["missing-option", "empty-layer", "page-size"]);
        let nothing = page_from_words(&words("  "), &now()).expect_err("no layers");
        assert_eq!(nothing.list[0].code, "no-layers");
    }
}
