//! `coatbell print`: the bench sheet, for phone and paper.

use std::io::IsTerminal;
use std::path::Path;

use clap::Args;
use serde::Serialize;

use super::common::Format;
use super::inputs::Inputs;
use super::page_arguments::{MaskArguments, OneSealer, PageArguments};
use super::{Context, Exit, Failure, evening, output, shelves};
use crate::catalog::Catalog;
use crate::caution;
use crate::finding::Level;
use crate::page::Sheet;
use crate::plan::make;
use crate::report::{evening_beside_sheets, evening_html, plan_html, short_answer, to_json};

const NAME: &str = "print";

const EXAMPLES: &str = "\
Examples:
  coatbell print page.toml --room room.toml -o page.html
  coatbell print page.toml --sealer acrylic-satin --start 18:00 --units us -o page.html
  coatbell print evening.toml --room room.toml -o evening.html
";

/// What `print` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct PrintArguments {
    #[command(flatten)]
    page: PageArguments,

    #[command(flatten)]
    sealer: OneSealer,

    #[command(flatten)]
    mask: MaskArguments,
}

/// What was written, for programs.
#[derive(Debug, Serialize)]
struct Printed<'a> {
    schema: &'static str,
    version: &'static str,
    verdict: Level,
    answer: &'a str,
    cautions: Vec<String>,
    file: String,
    bytes: usize,
    sheets: usize,
}

/// Plans the page and writes its sheet; ends with 4 if the answer is `hold`.
pub(super) fn run(arguments: &PrintArguments, context: &Context) -> Result<Exit, Failure> {
    let target = target(arguments.page.page.as_deref(), context)?;
    let named = arguments.sealer.named()?;
    let catalog = shelves::catalog(context, NAME)?;
    if let Some(path) = arguments.page.page.as_deref().filter(|path| evening::is_batch(Some(path))) {
        return print_evening(path, target, arguments, &catalog, context);
    }
    let inputs = Inputs::load(&arguments.page, named, &catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, &catalog)?;
    let request = inputs.request(&sheet, arguments.mask.kind(), context);
    let plan = make(&request, &catalog);
    let html = plan_html(&plan, &context.look());
    let short = short_answer(&plan, &context.look());
    give_out(&Beside { verdict: plan.verdict, answer: &plan.answer, short, sheets: 1 }, &html, target, context)
}

/// Schedules the evening and writes its steps and the sheets of its pages.
fn print_evening(
    path: &Path,
    target: Option<&Path>,
    arguments: &PrintArguments,
    catalog: &Catalog,
    context: &Context,
) -> Result<Exit, Failure> {
    let (found, _) = evening::scheduled_as_usual(
        path,
        &arguments.page,
        arguments.sealer.named()?,
        &arguments.mask,
        catalog,
        context,
        NAME,
    )?;
    let title = path.file_stem().map_or_else(|| "evening".into(), std::ffi::OsStr::to_string_lossy);
    let (html, sheets) = evening_html(&found, &title, &context.look());
    let short = evening_beside_sheets(&found, &context.look());
    give_out(
        &Beside { verdict: found.verdict, answer: &found.answer, short, sheets: sheets + 1 },
        &html,
        target,
        context,
    )
}

/// What is said beside the sheets.
struct Beside<'a> {
    verdict: Level,
    answer: &'a str,
    short: String,
    sheets: usize,
}

fn give_out(beside: &Beside<'_>, html: &str, target: Option<&Path>, context: &Context) -> Result<Exit, Failure> {
    let Some(path) = target else {
        output::raw(context, html)?;
        return Ok(Exit::of(beside.verdict, context.exit_zero));
    };
    output::file(context, path, html)?;
    match context.format {
        Format::Json => output::to_stdout(
            to_json(&Printed {
                schema: "coatbell.print/1",
                version: env!("CARGO_PKG_VERSION"),
                verdict: beside.verdict,
                answer: beside.answer,
                cautions: caution::in_full(),
                file: path.display().to_string(),
                bytes: html.len(),
                sheets: beside.sheets,
            })
            .trim_end(),
        )?,
        Format::Text => output::to_stdout(beside.short.trim_end())?,
    }
    Ok(Exit::of(beside.verdict, context.exit_zero))
}

/// Where the sheet goes: a file, or with `None` a pipe. On a screen the text of a web page helps nobody.
fn target<'c>(page: Option<&Path>, context: &'c Context) -> Result<Option<&'c Path>, Failure> {
    if let Some(path) = &context.output {
        return Ok(Some(path));
    }
    if context.format == Format::Json {
        let message = "with `--json` the sheet needs a file of its own";
        return Err(Failure::usage("no-file", message, "add `-o sheet.html`"));
    }
    if std::io::stdout().is_terminal() {
        let stem = page.and_then(Path::file_stem).map_or_else(|| "sheet".into(), |stem| stem.to_string_lossy());
        let name = if stem == "-" { "sheet".into() } else { stem };
        let message = "the sheet is a file for a browser, not for this screen";
        return Err(Failure::usage("no-file", message, format!("add `-o {name}.html`, then open that file")));
    }
    Ok(None)
}
