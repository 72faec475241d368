//! Everything a command about a page works on, read and checked: page, room, sealers, start.

use std::path::Path;

use jiff::ZonedDateTime;

use super::page_arguments::PageArguments;
use super::{Context, Failure, files, words};
use crate::catalog::{Catalog, Sealer};
use crate::diagnostic::{Problem, SourceText, nearest};
use crate::input::{PageInput, RoomInput, parse_when, read_page, read_room};
use crate::quantity::{self, RelativeHumidity, Temperature};

/// Size of a page in words when none is given.
const DEFAULT_SIZE: &str = "A4";

/// What a command about a page works on.
#[derive(Debug)]
pub struct Inputs {
    /// The page.
    pub page: PageInput,
    /// The text the page was read from, for errors found later.
    pub page_source: SourceText,
    /// The room; `None` if none was named.
    pub room: Option<RoomInput>,
    /// The sealers named, in that order; empty leaves the choice to the plan.
    pub sealers: Vec<Sealer>,
    /// When spraying is to begin.
    pub start: ZonedDateTime,
    /// What was taken without being stated, in words.
    pub assumed: Vec<String>,
}

impl Inputs {
    /// Reads what was named. All files are read before anything is given up, so that their problems come together.
    ///
    /// # Errors
    /// Everything wrong with the files, or the first flag that makes no sense.
    pub fn load(
        arguments: &PageArguments,
        catalog: &Catalog,
        context: &Context,
        command: &'static str,
    ) -> Result<Self, Failure> {
        only_one_stdin(arguments)?;
        let mut assumed = Vec::new();
        let start = start(arguments.start.as_deref(), context)?;
        let mut wrong = Vec::new();
        let page = gather(&mut wrong, page(arguments, context, command, &mut assumed))?;
        let room = gather(&mut wrong, room(arguments, catalog, context, command))?;
        let mut sealers = Vec::new();
        for name in &arguments.sealer {
            sealers.extend(gather(&mut wrong, sealer(name, catalog, context, command))?);
        }
        match (page, room) {
            (Some((page_source, page)), Some(room)) if wrong.is_empty() => {
                Ok(Self { page, page_source, room, sealers, start, assumed })
            }
            _ => Err(Failure::Input(wrong)),
        }
    }
}

/// Keeps the problems of a file and goes on; anything else ends the command.
fn gather<T>(wrong: &mut Vec<crate::diagnostic::Problems>, read: Result<T, Failure>) -> Result<Option<T>, Failure> {
    match read {
        Ok(value) => Ok(Some(value)),
        Err(Failure::Input(problems)) => {
            wrong.extend(problems);
            Ok(None)
        }
        Err(other) => Err(other),
    }
}

fn only_one_stdin(arguments: &PageArguments) -> Result<(), Failure> {
    let page = arguments.page.as_ref().is_some_and(|page| page.as_os_str() == "-");
    let others = arguments.room.iter().chain(&arguments.sealer).filter(|name| *name == "-").count();
    if usize::from(page) + others > 1 {
        let message = "standard input (`-`) can be only one of page, room and sealer";
        return Err(Failure::usage("stdin-twice", message, "name files for the others"));
    }
    Ok(())
}

fn start(typed: Option<&str>, context: &Context) -> Result<ZonedDateTime, Failure> {
    let Some(typed) = typed else { return Ok(context.now.clone()) };
    parse_when(typed, &context.now)
        .map_err(|hint| Failure::usage("not-a-time", format!("`--start`: `{typed}` is not a time"), hint))
}

fn page(
    arguments: &PageArguments,
    context: &Context,
    command: &'static str,
    assumed: &mut Vec<String>,
) -> Result<(SourceText, PageInput), Failure> {
    let source = match (&arguments.page, &arguments.media) {
        (Some(path), _) => files::read_text(path, context, command)?,
        (None, Some(media)) => {
            let size = arguments.size.as_deref().unwrap_or_else(|| {
                assumed.push(format!("size {DEFAULT_SIZE}"));
                DEFAULT_SIZE
            });
            words::page_file(media, arguments.paper.as_deref().unwrap_or_default(), size)
        }
        (None, None) => return Err(Failure::Help(command)),
    };
    let page = read_page(&source, &context.now)?;
    Ok((source, page))
}

/// The room named, with temperature and humidity as typed; `Ok(None)` if nothing was said about it.
fn room(
    arguments: &PageArguments,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Option<RoomInput>, Failure> {
    let temperature = typed_quantity::<Temperature>("--temperature", arguments.temperature.as_deref())?;
    let humidity = typed_quantity::<RelativeHumidity>("--humidity", arguments.humidity.as_deref())?;
    let named = match &arguments.room {
        Some(name) if is_path(name, |name| catalog.rooms.contains_key(name)) => {
            Some(read_room(&files::read_text(Path::new(name), context, command)?)?)
        }
        Some(name) => match catalog.rooms.get(name) {
            Some(room) => Some(room.clone()),
            None => return Err(unknown("room", name, catalog.rooms.keys().map(String::as_str))),
        },
        None => None,
    };
    if temperature.is_none() && humidity.is_none() {
        return Ok(named);
    }
    let mut room = named.unwrap_or_else(|| default_room(catalog));
    room.temperature_c = temperature.or(room.temperature_c);
    room.relative_humidity = humidity.or(room.relative_humidity);
    Ok(Some(room))
}

fn typed_quantity<Q: quantity::Quantity>(flag: &str, typed: Option<&str>) -> Result<Option<f64>, Failure> {
    let Some(typed) = typed else { return Ok(None) };
    match quantity::parse::<Q>(typed) {
        Ok(value) => Ok(Some(value.si())),
        Err(error) => Err(Failure::usage("not-a-quantity", format!("`{flag}`: {error}"), error.hint())),
    }
}

/// Whether a name means a file: it looks like a path, or nothing built in has that name but a file has.
fn is_path(name: &str, built_in: impl Fn(&str) -> bool) -> bool {
    let looks = name == "-" || name.contains(['/', '\\']) || name.to_lowercase().ends_with(".toml");
    looks || (!built_in(name) && Path::new(name).exists())
}

fn unknown<'a>(what: &'static str, name: &str, known: impl Iterator<Item = &'a str>) -> Failure {
    let hint = match nearest(name, known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("give the file of your own {what}, or see `coatbell materials list`"),
    };
    Failure::usage("unknown-name", format!("there is no {what} `{name}`"), hint)
}
