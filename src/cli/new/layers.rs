//! The questions about the layers of a page, from the bottom up.

use super::asker::{Asker, Question, not_among};
use super::known;
use super::page::PageAnswers;
use super::page_file::{Against, LayerAnswer, checked, cover, layer, moment};
use crate::catalog::{Medium, Trait};
use crate::cli::Failure;
use crate::diagnostic::Problem;
use crate::quantity::number;

/// The printed lines as the lowest layer.
pub(super) fn print_layer(
    answers: &PageAnswers,
    against: Against<'_>,
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
        match against.catalog.medium(answer) {
            Ok(medium) if medium.is(Trait::Print) => Ok(Some(medium.id.clone())),
            Ok(medium) => Err(Box::new(
                Problem::new("not-a-print", format!("`{}` is not a way of printing", medium.id))
                    .with_hint("type `none` here and name it as a layer"),
            )),
            Err(_) => {
                let words = ["toner", "inkjet-dye", "inkjet-pigment", "offset-print", "none"];
                Err(not_among(answer, &words))
            }
        }
    })?;
    let Some(medium) = print.flatten() else { return Ok(None) };
    // Printed lines cover little, and saying so keeps them from counting as half the page.
    let usual = against.catalog.media.get(&medium).map_or(10.0, |print| print.typical_cover * 100.0);
    let enter = format!("{} %, as lines do", number(usual.round()));
    let first = LayerAnswer { medium, ..LayerAnswer::default() };
    let question = Question::optional("--print", "  share of the page that is printed black, such as 8 %", &enter);
    let cover = asker.ask(&question, None, |typed| cover(typed, &first, against))?;
    Ok(Some(LayerAnswer { cover: cover.or_else(|| Some(format!("{} %", number(usual.round())))), ..first }))
}

/// The layers, one by one from the bottom.
pub(super) fn media_layers(
    answers: &PageAnswers,
    against: Against<'_>,
    inherited: bool,
    asker: &mut Asker<'_>,
) -> Result<Vec<LayerAnswer>, Failure> {
    let check = |answer: &str| layer(answer, against);
    let question = Question::needed("--layer", "layer");
    if !answers.layer.is_empty() {
        let given = answers.layer.iter().map(|given| asker.ask(&question, Some(given), check));
        return Ok(given.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect());
    }
    if !asker.is_there() {
        asker.ask(&question, None, check)?;
        return Ok(Vec::new());
    }
    let media = known::media(against.catalog);
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
        details(&mut answer, against, inherited, asker)?;
        layers.push(answer);
    }
}

/// Asks what an answer about a layer left open.
fn details(
    answer: &mut LayerAnswer,
    against: Against<'_>,
    inherited: bool,
    asker: &mut Asker<'_>,
) -> Result<(), Failure> {
    let medium = against.catalog.media.get(&answer.medium);
    if let Some(medium) = medium.filter(|medium| medium.techniques.len() > 1 && answer.technique.is_none()) {
        let names: Vec<&str> = medium.techniques.iter().map(|technique| technique.id.as_str()).collect();
        let text = format!("  how: {}", names.join(" or "));
        let first = answer.clone();
        answer.technique = asker.ask(&Question::optional("--layer", &text, names[0]), None, |typed| {
            checked(LayerAnswer { technique: Some(typed.trim().to_owned()), ..first.clone() }, against)
                .map(|layer| layer.technique.unwrap_or_default())
        })?;
    }
    if answer.cover.is_none() {
        let usual = medium.map_or(50.0, |medium| medium.typical_cover * 100.0);
        let enter = format!("not known; {} % is usual", number(usual.round()));
        let first = answer.clone();
        let question = Question::optional("--layer", "  share of the page it covers, such as 40 %", &enter);
        answer.cover = asker.ask(&question, None, |typed| cover(typed, &first, against))?;
    }
    if answer.laydown.is_none() && medium.is_some_and(matters_how_heavy) {
        let first = answer.clone();
        answer.laydown = asker.ask(
            &Question::optional("--layer", "  laid down light, normal or heavy", "normal"),
            None,
            |typed| {
                checked(LayerAnswer { laydown: Some(typed.trim().to_lowercase()), ..first.clone() }, against)
                    .map(|layer| layer.laydown.unwrap_or_default())
            },
        )?;
    }
    if answer.finished.is_none() && !inherited {
        let question = Question::optional("--layer", "  when was it finished, such as 3 days ago", "still to be laid");
        answer.finished = asker.ask(&question, None, |typed| moment(typed, against))?.flatten();
    }
    Ok(())
}

/// Whether a heavy layer of it waits longer, or blooms.
fn matters_how_heavy(medium: &Medium) -> bool {
    medium.is(Trait::Wax) || medium.techniques.iter().any(|technique| technique.seal_wait_thick_h.is_some())
}
