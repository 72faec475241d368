//! The questions about a page.

use std::fmt::Write;

use clap::Args;
use jiff::ZonedDateTime;

use super::asker::{Asker, Question, Refusal};
use super::draft::{Draft, quoted};
use super::{FileArguments, Ready, file_stem, known};
use crate::catalog::{Catalog, LayerMaterial, Medium, Trait};
use crate::cli::Failure;
use crate::diagnostic::{Problem, Problems, SourceText};
use crate::input::{PageInput, parse_when, read_page};
use crate::page::Sheet;
use crate::quantity::number;

/// Answers about a page; what is not answered here is asked.
#[derive(Debug, Clone, Args)]
pub(super) struct PageAnswers {
    #[command(flatten)]
    pub(super) file: FileArguments,

    /// What the page is called
    #[arg(long, value_name = "TITLE", help_heading = "Answers")]
    title: Option<String>,

    /// Size of the sheet: `A4`, `letter`, `210 mm x 297 mm`
    #[arg(long, value_name = "SIZE", help_heading = "Answers")]
    size: Option<String>,

    /// Paper: `cardstock`, `bristol-smooth`, `colouring-book` and others
    #[arg(long, value_name = "PAPER", help_heading = "Answers")]
    paper: Option<String>,

    /// Weight printed on the pad, as `250 g/m2` or `110 lb cover`
    #[arg(long, value_name = "WEIGHT", help_heading = "Answers")]
    grammage: Option<String>,

    /// Finish wanted: matte, satin or gloss
    #[arg(long, value_name = "FINISH", help_heading = "Answers")]
    finish: Option<String>,

    /// When the last layer was finished: `yesterday`, `3 days ago`, `2026-11-24 16:00`, or `not yet`
    #[arg(long, value_name = "TIME", help_heading = "Answers")]
    finished: Option<String>,

    /// How the line art is printed: toner, inkjet-dye, inkjet-pigment, offset-print or none
    #[arg(long, value_name = "PRINT", help_heading = "Answers")]
    print: Option<String>,

    /// A layer, bottom to top, as "watercolour: wet-on-dry: 60 %: heavy: finished 2 days ago"; repeat for each
    #[arg(long, value_name = "LAYER", help_heading = "Answers")]
    layer: Vec<String>,
}

/// A layer as answered.
#[derive(Debug, Clone, PartialEq, Default)]
struct LayerAnswer {
    medium: String,
    technique: Option<String>,
    cover: Option<String>,
    laydown: Option<String>,
    finished: Option<String>,
    masked: bool,
}

/// Asks what was not given, and drafts the file.
pub(super) fn ready(
    answers: &PageAnswers,
    catalog: &Catalog,
    now: &ZonedDateTime,
    asker: &mut Asker<'_>,
) -> Result<Ready, Failure> {
    let root = |key: &'static str| move |answer: &str| root_key(key, answer, now);
    let title =
        asker.ask(&Question::needed("--title", "What is the page called"), answers.title.as_deref(), root("title"))?;
    let size = Question::needed("--size", "Size of the sheet, such as A4, letter, 9 x 12 in");
    let size = asker.ask(&size, answers.size.as_deref(), root("size"))?;
    let papers = known::papers(catalog);
    if answers.paper.is_none() {
        asker.show(&papers);
    }
    let paper = Question::needed("--paper", "Paper, one of these").help(&papers);
    let paper = asker.ask(&paper, answers.paper.as_deref(), |answer| {
        catalog.paper(answer).map(|paper| paper.id.clone()).map_err(|unknown| Box::new(unknown.problem(0..0)))
    })?;
    let grammage = Question::optional("--grammage", "Its weight, such as 250 g/m2 or 110 lb cover", "not known");
    let grammage = asker.ask(&grammage, answers.grammage.as_deref(), root("grammage"))?;
    let finish = Question::optional("--finish", "Finish you want: matte, satin or gloss", "whatever suits the page");
    let finish = asker.ask(&finish, answers.finish.as_deref(), root("finish"))?;
    let finished = Question::needed(
        "--finished",
        "When was the last layer finished, such as yesterday, 3 days ago, 24 h ago, or not yet",
    );
    let finished = asker.ask(&finished, answers.finished.as_deref(), |answer| moment(answer, now))?;
    let mut layers = Vec::new();
    layers.extend(print_layer(answers, catalog, now, asker)?);
    let inherited = finished.flatten();
    layers.extend(media_layers(answers, catalog, now, inherited.is_some(), asker)?);
    asker.finish("page")?;
    let (Some(title), Some(size), Some(paper)) = (title, size, paper) else {
        return Err(anyhow::anyhow!("answers are missing").into());
    };
    let head = Head { title, size, paper, grammage, finish, finished: inherited };
    let text = draft(&head, &layers);
    whole(&text, catalog, now)?;
    let next = "  coatbell layers FILE\n  coatbell plan FILE --room window-open\n\
                your own room and can: coatbell new room, coatbell new sealer";
    Ok(Ready { name: file_stem(&head.title, "page"), text, next: next.to_owned() })
}

/// A value of the page itself, checked by the reader of page files; comes back as typed.
fn root_key(key: &str, answer: &str, now: &ZonedDateTime) -> Result<String, Refusal> {
    let mut text = format!("{key} = {}\n", quoted(answer));
    for (needed, value) in [("size", "A4"), ("paper", "cardstock")] {
        if needed != key {
            let _ = writeln!(text, "{needed} = \"{value}\"");
        }
    }
    text.push_str("[[layer]]\nmedium = \"watercolour\"\n");
    accepted(read_page(&SourceText::new("", &text), now)).map(|_| answer.trim().to_owned())
}

/// The first problem of a file, as the refusal of an answer.
pub(super) fn accepted<T>(read: Result<T, Problems>) -> Result<T, Refusal> {
    read.map_err(|problems| {
        let first = problems.list.into_iter().next();
        Box::new(first.unwrap_or_else(|| Problem::new("refused", "this answer is not understood")))
    })
}

/// A moment in the past as a file keeps it, so that the file means the same tomorrow; `None` for `not yet`.
fn moment(answer: &str, now: &ZonedDateTime) -> Result<Option<String>, Refusal> {
    root_key("finished", answer, now)?;
    Ok(parse_when(answer, now).ok().map(|at| at.strftime("%Y-%m-%d %H:%M").to_string()))
}

/// The printed lines as the lowest layer.
fn print_layer(
    answers: &PageAnswers,
    catalog: &Catalog,
    now: &ZonedDateTime,
    asker: &mut Asker<'_>,
) -> Result<Option<LayerAnswer>, Failure> {
    let prints = known::prints();
    let question =
        Question::optional("--print", "How is the line art printed? toner, inkjet-dye, offset-print, ...", "none")
            .help(&prints);
    if answers.print.is_none() {
        asker.show(&prints);
    }
    let print = asker.ask(&question, answers.print.as_deref(), |answer| {
        if ["none", "no", "not", "hand", "by hand", "drawn"].contains(&answer.trim().to_lowercase().as_str()) {
            return Ok(None);
        }
        if let Some(meant) = known::print_meant(answer) {
            return Ok(Some(meant.to_owned()));
        }
        match catalog.medium(answer) {
            Ok(medium) if medium.is(Trait::Print) => Ok(Some(medium.id.clone())),
            Ok(medium) => Err(Box::new(
                Problem::new("not-a-print", format!("`{}` is not a way of printing", medium.id))
                    .with_hint("type `none` here and name it as a layer"),
            )),
            Err(_) => {
                let words = ["toner", "inkjet-dye", "inkjet-pigment", "offset-print", "none"];
                Err(super::asker::not_among(answer, &words))
            }
        }
    })?;
    let Some(medium) = print.flatten() else { return Ok(None) };
    // Printed lines cover little, and saying so keeps them from counting as half the page.
    let usual = catalog.media.get(&medium).map_or(10.0, |print| print.typical_cover * 100.0);
    let enter = format!("{} %, as lines do", number(usual.round()));
    let first = LayerAnswer { medium, ..LayerAnswer::default() };
    let question = Question::optional("--print", "  share of the page that is printed black, such as 8 %", &enter);
    let cover = asker.ask(&question, None, |typed| cover(typed, &first, catalog, now))?;
    Ok(Some(LayerAnswer { cover: cover.or_else(|| Some(format!("{} %", number(usual.round())))), ..first }))
}

/// The layers, one by one from the bottom.
fn media_layers(
    answers: &PageAnswers,
    catalog: &Catalog,
    now: &ZonedDateTime,
    inherited: bool,
    asker: &mut Asker<'_>,
) -> Result<Vec<LayerAnswer>, Failure> {
    let check = |answer: &str| layer(answer, catalog, now);
    let question = Question::needed("--layer", "layer");
    if !answers.layer.is_empty() {
        let given = answers.layer.iter().map(|given| asker.ask(&question, Some(given), check));
        return Ok(given.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect());
    }
    if !asker.is_there() {
        asker.ask(&question, None, check)?;
        return Ok(Vec::new());
    }
    let media = known::media(catalog);
    asker.show(&media);
    asker.say("");
    asker.say("The layers, from the bottom up; `?` shows the list again, `?pencil` the lines with that word.");
    asker.say("All in one go if you like: wax pencil, 40 %, heavy");
    let mut layers: Vec<LayerAnswer> = Vec::new();
    loop {
        let place = if layers.is_empty() { ", the lowest" } else { "" };
        let text = format!("Layer {}{place}", layers.len() + 1);
        let question = if layers.is_empty() {
            Question::needed("--layer", &text)
        } else {
            Question::optional("--layer", &text, "that was all")
        };
        let Some(mut answer) = asker.ask(&question.help(&media), None, check)? else { return Ok(layers) };
        details(&mut answer, catalog, now, inherited, asker)?;
        layers.push(answer);
    }
}

/// Asks what an answer about a layer left open.
fn details(
    answer: &mut LayerAnswer,
    catalog: &Catalog,
    now: &ZonedDateTime,
    inherited: bool,
    asker: &mut Asker<'_>,
) -> Result<(), Failure> {
    let medium = catalog.media.get(&answer.medium);
    if let Some(medium) = medium.filter(|medium| medium.techniques.len() > 1 && answer.technique.is_none()) {
        let names: Vec<&str> = medium.techniques.iter().map(|technique| technique.id.as_str()).collect();
        let text = format!("  how: {}", names.join(" or "));
        let first = answer.clone();
        answer.technique = asker.ask(&Question::optional("--layer", &text, names[0]), None, |typed| {
            checked(LayerAnswer { technique: Some(typed.trim().to_owned()), ..first.clone() }, catalog, now)
                .map(|layer| layer.technique.unwrap_or_default())
        })?;
    }
    if answer.cover.is_none() {
        let usual = medium.map_or(50.0, |medium| medium.typical_cover * 100.0);
        let enter = format!("not known; {} % is usual", number(usual.round()));
        let first = answer.clone();
        let question = Question::optional("--layer", "  share of the page it covers, such as 40 %", &enter);
        answer.cover = asker.ask(&question, None, |typed| cover(typed, &first, catalog, now))?;
    }
    if answer.laydown.is_none() && medium.is_some_and(matters_how_heavy) {
        let first = answer.clone();
        answer.laydown = asker.ask(
            &Question::optional("--layer", "  laid down light, normal or heavy", "normal"),
            None,
            |typed| {
                checked(LayerAnswer { laydown: Some(typed.trim().to_lowercase()), ..first.clone() }, catalog, now)
                    .map(|layer| layer.laydown.unwrap_or_default())
            },
        )?;
    }
    if answer.finished.is_none() && !inherited {
        let question = Question::optional("--layer", "  when was it finished, such as 3 days ago", "still to be laid");
        answer.finished = asker.ask(&question, None, |typed| moment(typed, now))?.flatten();
    }
    Ok(())
}

/// A share of the page as a file has it, its per cent sign added if it was left out.
fn cover(typed: &str, layer: &LayerAnswer, catalog: &Catalog, now: &ZonedDateTime) -> Result<String, Refusal> {
    let typed = typed.trim();
    let cover = if typed.parse::<f64>().is_ok() { format!("{typed} %") } else { typed.to_owned() };
    checked(LayerAnswer { cover: Some(cover.clone()), ..layer.clone() }, catalog, now).map(|_| cover)
}

/// Whether a heavy layer of it waits longer, or blooms.
fn matters_how_heavy(medium: &Medium) -> bool {
    medium.is(Trait::Wax) || medium.techniques.iter().any(|technique| technique.seal_wait_thick_h.is_some())
}

/// Reads `watercolour: wet-on-dry: 60 %: heavy: finished 2 days ago`, with colons or commas between.
fn layer(answer: &str, catalog: &Catalog, now: &ZonedDateTime) -> Result<LayerAnswer, Refusal> {
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
            layer.finished = Some(moment(time, now)?.unwrap_or_else(|| "not yet".to_owned()));
        } else {
            layer.technique = Some(part.to_owned());
        }
    }
    checked(layer, catalog, now)
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
fn checked(mut layer: LayerAnswer, catalog: &Catalog, now: &ZonedDateTime) -> Result<LayerAnswer, Refusal> {
    let head = Head { size: "A4".into(), paper: "cardstock".into(), ..Head::default() };
    let text = draft(&head, std::slice::from_ref(&layer));
    let source = SourceText::new("", &text);
    let page: PageInput = accepted(read_page(&source, now))?;
    accepted(Sheet::resolve(&page, &source, catalog).map(|_| ()))?;
    layer.medium = match catalog.layer_material(&layer.medium) {
        Ok(LayerMaterial::Medium(medium)) => medium.id.clone(),
        Ok(LayerMaterial::Sealer(sealer)) => sealer.id.clone(),
        Err(unknown) => return Err(Box::new(unknown.problem(0..0))),
    };
    Ok(layer)
}

/// The answers about the page itself.
#[derive(Debug, Clone, Default)]
struct Head {
    title: String,
    size: String,
    paper: String,
    grammage: Option<String>,
    finish: Option<String>,
    finished: Option<String>,
}

fn draft(head: &Head, layers: &[LayerAnswer]) -> String {
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

/// Reads the finished file once more, as a plan will.
fn whole(text: &str, catalog: &Catalog, now: &ZonedDateTime) -> Result<(), Failure> {
    let source = SourceText::new(crate::cli::failure::COMMAND_LINE, text);
    let page = read_page(&source, now)?;
    Sheet::resolve(&page, &source, catalog)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn now() -> ZonedDateTime {
        "2026-11-28T14:00[Europe/Paris]".parse().expect("a moment")
    }

    fn nothing() -> PageAnswers {
        PageAnswers {
            file: FileArguments { file: None, force: false },
            title: None,
            size: None,
            paper: None,
            grammage: None,
            finish: None,
            finished: None,
            print: None,
            layer: Vec::new(),
        }
    }

    #[test]
    fn a_whole_talk_becomes_a_page() {
        let catalog = Catalog::builtin();
        let typed = "Lantern \"carp\"\nA9\nA4\ncard stock\n\nsatinn\nsatin\n3 days ago\nlaser\n\n\
                     Watercolor\nwet-on-dry\n60\nwax pencils, 140 %\nwax pencils, 40 %, heavy\ngel pen\n\n\n\n";
        let mut said = Vec::new();
        let ready = ready(&nothing(), &catalog, &now(), &mut Asker::with(typed.as_bytes(), &mut said));
        let said = String::from_utf8(said).expect("text");
        let ready = ready.unwrap_or_else(|failure| panic!("{failure:?}\n{said}"));
        assert_eq!(ready.name, "lantern-carp");
        let page = read_page(&SourceText::new("", &ready.text), &now()).expect("a page");
        assert_eq!(page.title, "Lantern \"carp\"");
        let media: Vec<&str> = page.layers.iter().map(|layer| layer.medium.value.as_str()).collect();
        assert_eq!(media, ["toner", "watercolour", "wax-pencil", "gel-pen"]);
        assert_eq!(page.layers[1].cover, Some(0.6));
        assert_eq!(page.layers[3].cover, None);
        let finished: jiff::civil::DateTime = "2026-11-25T14:00".parse().expect("a moment");
        assert!(page.layers.iter().all(|layer| layer.finished.as_ref().map(ZonedDateTime::datetime) == Some(finished)));
        assert!(said.contains("`A9` is not a known size"), "{said}");
        assert!(said.contains("did you mean `satin`?"), "{said}");
        assert!(said.contains("outside 0 % to 100 %"), "{said}");
    }

    #[test]
    fn flags_alone_make_the_same_page() {
        let catalog = Catalog::builtin();
        let answers = PageAnswers {
            title: Some("Carp".into()),
            size: Some("letter".into()),
            paper: Some("bristol smooth".into()),
            finished: Some("not yet".into()),
            layer: vec![
                "watercolour: wet-on-dry: 60 %: finished 2026-11-24 16:00".into(),
                "white-gouache, 5 %, not yet".into(),
            ],
            ..nothing()
        };
        let ready = ready(&answers, &catalog, &now(), &mut Asker::alone()).expect("a page");
        let page = read_page(&SourceText::new("", &ready.text), &now()).expect("a page");
        assert!(page.layers[0].finished.is_some());
        assert!(page.layers[1].finished.is_none());
    }

    #[test]
    fn nobody_there_names_all_flags_at_once() {
        let failure =
            ready(&nothing(), &Catalog::builtin(), &now(), &mut Asker::alone()).expect_err("flags are missing");
        let Failure::Usage(problem) = failure else { panic!("usage") };
        assert!(
            problem.message.contains("`--title`, `--size`, `--paper`, `--finished` and `--layer`"),
            "{}",
            problem.message
        );
    }
}
