//! An evening of pages, for `batch`, `print` and `seal`: reading its file with every page and can it names, and
//! scheduling it.

use std::path::{Path, PathBuf};

use super::inputs::{self, Surroundings};
use super::page_arguments::{MaskArguments, PageArguments};
use super::searching::Searching;
use super::{Context, Failure, files};
use crate::air::RespiratorKind;
use crate::batch::{Control, Effort, Evening, EveningEntry, EveningRequest, EveningSheet, Tick};
use crate::catalog::{Catalog, Sealer};
use crate::diagnostic::{Problem, Problems, SourceText, places_in};
use crate::input::{BatchInput, Located, PageInput, is_batch_text, named_in_batch, read_batch, read_page};
use crate::page::Sheet;
use crate::quantity::TimeSpan;

/// An evening with everything it names.
#[derive(Debug)]
pub(super) struct Loaded {
    /// The file.
    pub(super) batch: BatchInput,
    /// Its text.
    source: SourceText,
    /// Distinct pages with their sealers.
    pub(super) pages: Vec<LoadedPage>,
    /// For each entry of the file, its place in `pages`.
    pub(super) places: Vec<usize>,
    /// The room.
    pub(super) surroundings: Surroundings,
}

/// A distinct page.
#[derive(Debug)]
pub(super) struct LoadedPage {
    file: String,
    sealer_name: Option<String>,
    source: SourceText,
    page: PageInput,
    pub(super) sealer: Option<Sealer>,
}

impl Loaded {
    /// Where the file of a page is, as seen from where the program runs; `batch` is the evening's own file.
    pub(super) fn path_of(&self, batch: &Path, place: usize) -> PathBuf {
        let folder = batch.parent().filter(|_| batch.as_os_str() != "-").unwrap_or(Path::new(""));
        beside(folder, &self.pages[place].file)
    }

    /// What the file of a page says.
    pub(super) fn text_of(&self, place: usize) -> &str {
        &self.pages[place].source.text
    }
}

impl LoadedPage {
    /// The page with its names resolved.
    pub(super) fn sheet<'c>(&self, catalog: &'c Catalog) -> Result<Sheet<'c>, Problems> {
        Sheet::resolve(&self.page, &self.source, catalog)
    }
}

/// Whether a file named as a page is that of an evening. What cannot be read is left to the command to complain of.
pub(super) fn is_batch(path: Option<&Path>) -> bool {
    let Some(path) = path.filter(|path| path.as_os_str() != "-" && path.is_file()) else { return false };
    std::fs::read_to_string(path).is_ok_and(|text| is_batch_text(&text))
}

/// How many threads the search gets.
pub(super) fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

/// Reads and schedules the evening of a command that takes a page or an evening. What belongs to one page only is
/// refused: an evening's file says it.
pub(super) fn scheduled_as_usual(
    path: &Path,
    page: &PageArguments,
    sealers: &[String],
    mask: &MaskArguments,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<(Evening, Loaded), Failure> {
    if !sealers.is_empty() || page.start.is_some() {
        let message = "an evening names its sealers and its start in its file";
        return Err(Failure::usage("evening-says", message, "leave out `--sealer` and `--start`"));
    }
    let searching = Searching::new();
    let progress = |share: f64, _: Tick| searching.say(share);
    let control = Control { threads: threads(), stop: &|| false, progress: &progress };
    scheduled(path, page, mask.kind(), Effort::Normal, &control, catalog, context, command)
}

/// Reads an evening and schedules it.
pub(super) fn scheduled(
    path: &Path,
    room: &PageArguments,
    respirator: Option<RespiratorKind>,
    effort: Effort,
    control: &Control<'_>,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<(Evening, Loaded), Failure> {
    let surroundings = || inputs::surroundings(room, &[], catalog, context, command);
    let loaded = load(path, surroundings, catalog, context, command)?;
    let mut sheets = Vec::with_capacity(loaded.pages.len());
    for page in &loaded.pages {
        sheets.push(EveningSheet { sheet: page.sheet(catalog)?, sealer: page.sealer.clone() });
    }
    let spans: Vec<_> = loaded.batch.pages.iter().map(|entry| Some(entry.span.clone())).collect();
    let written = places_in(&loaded.source.text, &spans);
    let entries = loaded.batch.pages.iter().zip(&loaded.places).zip(written);
    let entries = entries.map(|((entry, sheet), written)| EveningEntry {
        sheet: *sheet,
        file: entry.file.value.clone(),
        sealer: entry.sealer.as_ref().map(|sealer| sealer.value.clone()),
        copies: entry.copies,
        written_at: written.map(|at| format!("{}:{}:{}", loaded.source.name, at.line, at.column)),
    });
    let request = EveningRequest {
        sheets,
        entries: entries.collect(),
        rack: loaded.batch.rack,
        start: loaded.batch.start.clone(),
        stop_by: loaded.batch.stop_by.clone(),
        breaks: loaded.batch.breaks.clone(),
        can_change_min: loaded.batch.can_change.map(TimeSpan::minutes),
        handling_min: loaded.batch.handling.map(TimeSpan::minutes),
        room: loaded.surroundings.room.as_ref(),
        room_named: loaded.surroundings.room_named,
        respirator,
        now: context.now.clone(),
    };
    let found = crate::batch::evening(&request, effort, control, catalog);
    drop(request);
    Ok((found, loaded))
}

/// Reads the file and everything it names; all their problems come together.
pub(super) fn load(
    path: &Path,
    room: impl FnOnce() -> Result<Surroundings, Failure>,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Loaded, Failure> {
    let source = files::read_text(path, context, command)?;
    let mut wrong: Vec<Problems> = Vec::new();
    let batch = inputs::gather(&mut wrong, read_batch(&source, &context.now).map_err(Failure::from))?;
    let surroundings = inputs::gather(&mut wrong, room())?;
    let mut pages: Vec<LoadedPage> = Vec::new();
    let mut places = Vec::new();
    let mut own: Vec<Problem> = Vec::new();
    let folder = path.parent().filter(|_| path.as_os_str() != "-").unwrap_or(Path::new(""));
    // What the pages name is looked at even where the evening's own file is wrong.
    for (number, entry) in named_in_batch(&source).iter().enumerate() {
        let name = |named: &Option<Located<String>>| named.as_ref().map(|named| named.value.clone());
        let (file, sealer_name) = (name(&entry.file), name(&entry.sealer));
        let known = pages.iter().position(|page| Some(&page.file) == file.as_ref() && page.sealer_name == sealer_name);
        if let Some(place) = known {
            places.push(place);
            continue;
        }
        let key = |key: &str| format!("page {}.{key}", number + 1);
        let read = match &entry.file {
            Some(file) => named_file(&beside(folder, &file.value), file, key("file"), &mut own, context, command)?,
            None => None,
        };
        let page = match read {
            Some(source) => {
                inputs::gather(&mut wrong, page_checked(&source, catalog, context).map(|page| (source, page)))?
            }
            None => None,
        };
        let sealer = match &entry.sealer {
            Some(name) => {
                inputs::gather(&mut wrong, sealer(folder, name, key("sealer"), &mut own, catalog, context, command))?
                    .flatten()
            }
            None => None,
        };
        if let (Some(file), Some((source, page))) = (file, page) {
            places.push(pages.len());
            pages.push(LoadedPage { file, sealer_name, source, page, sealer });
        }
    }
    if !own.is_empty() {
        wrong.push(Problems::new(source.clone(), own));
    }
    // A page that stands there twice is wrong in the same way twice.
    let mut told: Vec<Problems> = Vec::new();
    for problems in wrong {
        if !told.iter().any(|other| other.source == problems.source && other.list == problems.list) {
            told.push(problems);
        }
    }
    match (batch, surroundings) {
        (Some(batch), Some(surroundings)) if told.is_empty() => {
            Ok(Loaded { batch, source, pages, places, surroundings })
        }
        _ => Err(Failure::Input(told)),
    }
}

/// What is wrong with a page of an evening and its sealer, as seen from a folder.
pub(super) fn wrong_with(
    folder: &Path,
    file: &str,
    sealer_named: Option<&str>,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Vec<Problems>, Failure> {
    let mut wrong = Vec::new();
    let mut own = Vec::new();
    let located = |value: &str| Located { value: value.to_owned(), span: 0..0 };
    if file.trim() == "-" {
        own.push(Problem::new("no-file", "standard input cannot be a page of a batch").with_hint("name a file"));
    } else if let Some(source) = inputs::gather(&mut wrong, files::read_text(&beside(folder, file), context, command))?
    {
        inputs::gather(&mut wrong, page_checked(&source, catalog, context))?;
    }
    if let Some(name) = sealer_named {
        let key = "sealer".to_owned();
        inputs::gather(&mut wrong, sealer(folder, &located(name), key, &mut own, catalog, context, command))?;
    }
    // Without a file that names them they have no place.
    for problem in &mut own {
        problem.span = None;
    }
    if !own.is_empty() {
        wrong.push(Problems::new(SourceText::new(super::failure::COMMAND_LINE, ""), own));
    }
    Ok(wrong)
}

/// A path as seen from the batch file.
fn beside(folder: &Path, name: &str) -> PathBuf {
    folder.join(name)
}

fn page_checked(source: &SourceText, catalog: &Catalog, context: &Context) -> Result<PageInput, Failure> {
    let page = read_page(source, &context.now)?;
    Sheet::resolve(&page, source, catalog)?;
    Ok(page)
}

/// The text of a file that the batch names. That it is missing is a problem of the batch file, at that place.
fn named_file(
    path: &Path,
    named: &Located<String>,
    key: String,
    own: &mut Vec<Problem>,
    context: &Context,
    command: &'static str,
) -> Result<Option<SourceText>, Failure> {
    if named.value.trim() == "-" {
        let problem = Problem::new("no-file", "standard input cannot be a page of a batch").with_hint("name a file");
        own.push(problem.at(named.span.clone()).with_key(key));
        return Ok(None);
    }
    match files::read_text(path, context, command) {
        Ok(source) => Ok(Some(source)),
        Err(Failure::Input(problems)) => {
            for problem in problems.into_iter().flat_map(|problems| problems.list) {
                let message = format!("`{}`: {}", named.value, problem.message);
                own.push(Problem { message, ..problem }.at(named.span.clone()).with_key(key.clone()));
            }
            Ok(None)
        }
        Err(other) => Err(other),
    }
}

/// A hint about names, and that a file may be named as well.
fn or_your_can(hint: &str) -> String {
    if hint.ends_with('?') {
        format!("{hint} Else name the file of your can")
    } else {
        format!("{hint}, or name the file of your can")
    }
}

/// A sealer by name, or the can of a file beside the batch file.
fn sealer(
    folder: &Path,
    name: &Located<String>,
    key: String,
    own: &mut Vec<Problem>,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Option<Sealer>, Failure> {
    let path = beside(folder, &name.value);
    let unknown = match catalog.sealer(&name.value) {
        Ok(sealer) => return Ok(Some(sealer.clone())),
        Err(unknown) => unknown,
    };
    let looks = name.value.contains(['/', '\\']) || name.value.to_lowercase().ends_with(".toml");
    if !looks && !path.exists() {
        let hint = or_your_can(&unknown.hint());
        let problem = Problem::new("unknown-sealer", unknown.to_string()).with_hint(hint);
        own.push(problem.at(name.span.clone()).with_key(key));
        return Ok(None);
    }
    let Some(source) = named_file(&path, name, key, own, context, command)? else { return Ok(None) };
    inputs::own_can(&source, catalog, context, command).map(Some)
}
