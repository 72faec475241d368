//! The questions about a page.

use clap::Args;
use jiff::ZonedDateTime;

use super::asker::{Asker, Question};
use super::layers::{media_layers, print_layer};
use super::page_file::{Against, Head, draft, moment, root_key, whole};
use super::{FileArguments, Ready, known};
use crate::catalog::Catalog;
use crate::cli::Failure;
use crate::cli::files::file_stem;

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
    pub(super) print: Option<String>,

    /// A layer, bottom to top, as "watercolour: wet-on-dry: 60 %: heavy: finished 2 days ago"; repeat for each
    #[arg(long, value_name = "LAYER", help_heading = "Answers")]
    pub(super) layer: Vec<String>,
}

/// Asks what was not given, and drafts the file.
pub(super) fn ready(
    answers: &PageAnswers,
    catalog: &Catalog,
    now: &ZonedDateTime,
    asker: &mut Asker<'_>,
) -> Result<Ready, Failure> {
    let against = Against { catalog, now };
    let root = |key: &'static str| move |answer: &str| root_key(key, answer, against);
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
    let finished = asker.ask(&finished, answers.finished.as_deref(), |answer| moment(answer, against))?;
    let mut layers = Vec::from_iter(print_layer(answers, against, asker)?);
    let inherited = finished.flatten();
    layers.extend(media_layers(answers, against, inherited.is_some(), asker)?);
    asker.finish("page")?;
    let (Some(title), Some(size), Some(paper)) = (title, size, paper) else {
        return Err(anyhow::anyhow!("answers are missing").into());
    };
    let head = Head { title, size, paper, grammage, finish, finished: inherited };
    let text = draft(&head, &layers);
    whole(&text, against)?;
    let next = "  coatbell layers FILE\n  coatbell plan FILE --room window-open\n\
                your own room and can: coatbell new room, coatbell new sealer";
    Ok(Ready { name: file_stem(&head.title, "page"), text, next: next.to_owned() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::SourceText;
    use crate::input::read_page;

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
