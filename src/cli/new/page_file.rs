//! A page file in the making: its answers, and each of them checked by the reader of page files.

use std::fmt::Write;

use jiff::ZonedDateTime;

use super::asker::{Refusal, accepted};
use super::draft::{Draft, quoted};
use crate::catalog::{Catalog, LayerMaterial};
use crate::cli::Failure;
use crate::cli::failure::COMMAND_LINE;
use crate::diagnostic::{Problem, SourceText};
use crate::input::{PageInput, parse_when, read_page};
use crate::page::Sheet;

/// What answers are checked against.
#[derive(Debug, Clone, Copy)]
pub(super) struct Against<'a> {
    /// The names.
    pub(super) catalog: &'a Catalog,
    /// The moment that times count from.
    pub(super) now: &'a ZonedDateTime,
}

/// The answers about the page itself.
#[derive(Debug, Clone, Default)]
pub(super) struct Head {
    pub(super) title: String,
    pub(super) size: String,
    pub(super) paper: String,
    pub(super) grammage: Option<String>,
    pub(super) finish: Option<String>,
    pub(super) finished: Option<String>,
}

/// A layer as answered.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct LayerAnswer {
    pub(super) medium: String,
    pub(super) technique: Option<String>,
    pub(super) cover: Option<String>,
    pub(super) laydown: Option<String>,
    pub(super) finished: Option<String>,
    pub(super) masked: bool,
}

/// The file.
pub(super) fn draft(head: &Head, layers: &[LayerAnswer]) -> String {
    let mut draft = Draft::default();
    draft.note("A page for coatbell. Change anything; `coatbell plan` says what it makes of it.");
    draft.key("title", &head.title, "");
    draft.key("size", &head.size, "A4, letter, 210 mm x 297 mm, 9 in x 12 in");
    draft.key("paper", &head.paper, "`coatbell materials list papers` shows all");
    draft.key_or_offer("grammage", head.grammage.as_deref(), "250 g/m2", "this sheet's own weight");
    draft.key_or_offer("finish", head.finish.as_deref(), "satin", "matte, satin or gloss");
    draft.key_or_offer("finished", head.finished.as_deref(), "3 days ago", "for every layer that says nothing else");
    draft.offered("bow", "1 mm", "highest gap under the sheet on a table");
    for (at, layer) in layers.iter().enumerate() {
        draft.blank();
        draft.table("[[layer]]", if at == 0 { "the lowest" } else { "on top of that" });
        draft.key("medium", &layer.medium, "");
        if let Some(technique) = &layer.technique {
            draft.key("technique", technique, "");
        }
        draft.key_or_offer("cover", layer.cover.as_deref(), "40 %", "share of the page; stating it may allow more");
        if let Some(laydown) = &layer.laydown {
            draft.key("laydown", laydown, "light, normal or heavy");
        }
        if let Some(finished) = &layer.finished {
            draft.key("finished", finished, "");
        }
        if layer.masked {
            draft.plain("masked", true, "covered while spraying");
        }
    }
    draft.finish()
}

/// A value of the page itself, checked by the reader of page files; comes back as typed.
pub(super) fn root_key(key: &str, answer: &str, against: Against<'_>) -> Result<String, Refusal> {
    let mut text = format!("{key} = {}\n", quoted(answer));
    for (needed, value) in [("size", "A4"), ("paper", "cardstock")] {
        if needed != key {
            let _ = writeln!(text, "{needed} = \"{value}\"");
        }
    }
    text.push_str("[[layer]]\nmedium = \"watercolour\"\n");
    accepted(read_page(&SourceText::new("", &text), against.now)).map(|_| answer.trim().to_owned())
}

/// A moment in the past as a file keeps it, so that the file means the same tomorrow; `None` for `not yet`.
pub(super) fn moment(answer: &str, against: Against<'_>) -> Result<Option<String>, Refusal> {
    root_key("finished", answer, against)?;
    Ok(parse_when(answer, against.now).ok().map(|at| at.strftime("%Y-%m-%d %H:%M").to_string()))
}

/// A share of the page as a file has it, its per cent sign added if it was left out.
pub(super) fn cover(typed: &str, layer: &LayerAnswer, against: Against<'_>) -> Result<String, Refusal> {
    let typed = typed.trim();
    let cover = if typed.parse::<f64>().is_ok() { format!("{typed} %") } else { typed.to_owned() };
    checked(LayerAnswer { cover: Some(cover.clone()), ..layer.clone() }, against).map(|_| cover)
}

/// Reads `watercolour: wet-on-dry: 60 %: heavy: finished 2 days ago`, with colons or commas between.
pub(super) fn layer(answer: &str, against: Against<'_>) -> Result<LayerAnswer, Refusal> {
    let mut layer = LayerAnswer::default();
    let parts = split_parts(answer);
    let mut parts = parts.iter().map(|part| part.trim()).filter(|part| !part.is_empty());
    let Some(medium) = parts.next() else {
        return Err(Box::new(Problem::new("empty-layer", "no medium is named").with_hint("write `watercolour`")));
    };
    medium.clone_into(&mut layer.medium);
    for part in parts {
        let lower = part.to_lowercase();
        if lower.ends_with('%') {
            layer.cover = Some(part.to_owned());
        } else if ["light", "normal", "heavy"].contains(&lower.as_str()) {
            layer.laydown = Some(lower);
        } else if lower == "masked" {
            layer.masked = true;
        } else if lower == "not yet" {
            layer.finished = Some(lower);
        } else if let Some(time) = lower.strip_prefix("finished ") {
            layer.finished = Some(moment(time, against)?.unwrap_or_else(|| "not yet".to_owned()));
        } else {
            layer.technique = Some(part.to_owned());
        }
    }
    checked(layer, against)
}

/// Parts between commas and colons; the colon of a clock time stays.
fn split_parts(answer: &str) -> Vec<String> {
    let letters: Vec<char> = answer.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let mut parts = vec![String::new()];
    for (at, letter) in letters.iter().enumerate() {
        let clock = *letter == ':' && digit(at.checked_sub(1)) && digit(Some(at + 1));
        match (letter, parts.last_mut()) {
            (',' | ':', _) if !clock => parts.push(String::new()),
            (_, Some(part)) => part.push(*letter),
            (_, None) => {}
        }
    }
    parts
}

/// The layer with its names spelled as the catalog has them, checked by the reader of page files.
pub(super) fn checked(mut layer: LayerAnswer, against: Against<'_>) -> Result<LayerAnswer, Refusal> {
    let head = Head { size: "A4".into(), paper: "cardstock".into(), ..Head::default() };
    let text = draft(&head, std::slice::from_ref(&layer));
    let source = SourceText::new("", &text);
    let page: PageInput = accepted(read_page(&source, against.now))?;
    accepted(Sheet::resolve(&page, &source, against.catalog).map(|_| ()))?;
    layer.medium = match against.catalog.layer_material(&layer.medium) {
        Ok(LayerMaterial::Medium(medium)) => medium.id.clone(),
        Ok(LayerMaterial::Sealer(sealer)) => sealer.id.clone(),
        Err(unknown) => return Err(Box::new(unknown.problem(0..0))),
    };
    Ok(layer)
}

/// Reads the finished file once more, as a plan will.
pub(super) fn whole(text: &str, against: Against<'_>) -> Result<(), Failure> {
    let source = SourceText::new(COMMAND_LINE, text);
    let page = read_page(&source, against.now)?;
    Sheet::resolve(&page, &source, against.catalog)?;
    Ok(())
}
