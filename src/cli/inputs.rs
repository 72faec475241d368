//! Everything a command about a page works on, read and checked: page, room, sealers, start.

use std::path::Path;

use jiff::ZonedDateTime;

use super::page_arguments::PageArguments;
use super::{Context, Failure, files, typed};
use crate::air::RespiratorKind;
use crate::catalog::{Catalog, Kind, Sealer, Unknown};
use crate::diagnostic::{Problems, SourceText};
use crate::input::{PageInput, RoomInput, read_page, read_room, read_sealer};
use crate::page::{PageWords, Sheet, page_from_words};
use crate::plan::{Request, SEED};
use crate::quantity::{RelativeHumidity, Temperature};
use crate::record::tune;

/// The built-in room taken where none is named: small, and shut.
const DEFAULT_ROOM: &str = "closed";
/// Size of a page in words when none is given.
const DEFAULT_SIZE: &str = "A4";

/// What a command about a page works on.
#[derive(Debug)]
pub struct Inputs {
    /// The page.
    pub page: PageInput,
    /// The text the page was read from, for errors found later.
    pub page_source: SourceText,
    /// The room; `None` if nothing was said about it.
    pub room: Option<RoomInput>,
    /// Whether a room was named. If not, but a temperature or humidity was, the room is the small closed one.
    pub room_named: bool,
    /// The sealers named, in that order; empty leaves the choice to the plan.
    pub sealers: Vec<Sealer>,
    /// When spraying is to begin.
    pub start: ZonedDateTime,
    /// What was taken without being stated, in words.
    pub assumed: Vec<String>,
}

impl Inputs {
    /// What a plan of this page is asked for, with the first sealer named or the best-ranked one.
    pub fn request<'a>(
        &'a self,
        sheet: &'a Sheet<'a>,
        respirator: Option<RespiratorKind>,
        context: &'a Context,
    ) -> Request<'a> {
        Request {
            sheet,
            sealer: self.sealers.first(),
            room: self.room.as_ref(),
            room_named: self.room_named,
            respirator,
            start: &self.start,
            now: &context.now,
            seed: SEED,
            why: context.why,
        }
    }

    /// Reads what was named. All files are read before anything is given up, so that their problems come together.
    ///
    /// # Errors
    /// Everything wrong with the files, or the first flag that makes no sense.
    pub fn load(
        arguments: &PageArguments,
        sealers_named: &[String],
        catalog: &Catalog,
        context: &Context,
        command: &'static str,
    ) -> Result<Self, Failure> {
        only_one_stdin(arguments, sealers_named)?;
        let mut assumed = Vec::new();
        let start = start(arguments.start.as_deref(), context)?;
        let mut wrong = Vec::new();
        let page = gather(&mut wrong, page(arguments, context, command, &mut assumed))?;
        let (room, sealers) = room_and_sealers(&mut wrong, arguments, sealers_named, catalog, context, command)?;
        match page {
            Some((page_source, page)) if wrong.is_empty() => {
                Ok(Self { page, page_source, room, room_named: arguments.room.is_some(), sealers, start, assumed })
            }
            _ => Err(Failure::Input(wrong)),
        }
    }
}

/// Sealers and room without a page.
#[derive(Debug)]
pub struct Surroundings {
    /// The room; `None` if nothing was said about it.
    pub room: Option<RoomInput>,
    /// Whether a room was named.
    pub room_named: bool,
    /// The sealers named, in that order.
    pub sealers: Vec<Sealer>,
}

/// Reads the room and the sealers of a command that needs no page.
///
/// # Errors
/// Everything wrong with the files, or the first flag that makes no sense.
pub fn surroundings(
    arguments: &PageArguments,
    sealers_named: &[String],
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Surroundings, Failure> {
    only_one_stdin(arguments, sealers_named)?;
    let mut wrong = Vec::new();
    let (room, sealers) = room_and_sealers(&mut wrong, arguments, sealers_named, catalog, context, command)?;
    if wrong.is_empty() {
        Ok(Surroundings { room, room_named: arguments.room.is_some(), sealers })
    } else {
        Err(Failure::Input(wrong))
    }
}

/// The room as named and the sealers; what is wrong with their files is added to `wrong`.
fn room_and_sealers(
    wrong: &mut Vec<Problems>,
    arguments: &PageArguments,
    sealers_named: &[String],
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<(Option<RoomInput>, Vec<Sealer>), Failure> {
    let room = gather(wrong, room(arguments, catalog, context, command))?.flatten();
    let mut sealers = Vec::new();
    for name in sealers_named {
        sealers.extend(gather(wrong, sealer(name, catalog, context, command))?);
    }
    Ok((room, sealers))
}

/// Keeps the problems of a file and goes on; anything else ends the command.
pub(super) fn gather<T>(wrong: &mut Vec<Problems>, read: Result<T, Failure>) -> Result<Option<T>, Failure> {
    match read {
        Ok(value) => Ok(Some(value)),
        Err(Failure::Input(problems)) => {
            wrong.extend(problems);
            Ok(None)
        }
        Err(other) => Err(other),
    }
}

fn only_one_stdin(arguments: &PageArguments, sealers: &[String]) -> Result<(), Failure> {
    let page = arguments.page.as_ref().is_some_and(|page| page.as_os_str() == "-");
    let others = arguments.room.iter().chain(sealers).filter(|name| *name == "-").count();
    if usize::from(page) + others > 1 {
        let message = "standard input (`-`) can be only one of page, room and sealer";
        return Err(Failure::usage("stdin-twice", message, "name files for the others"));
    }
    Ok(())
}

fn start(given: Option<&str>, context: &Context) -> Result<ZonedDateTime, Failure> {
    let hint = "write `18:00`, `6 pm`, `2026-11-28 14:00` or `\"in 2 h\"`";
    given.map_or_else(|| Ok(context.now.clone()), |given| typed::moment("--start", given, &context.now, hint))
}

fn page(
    arguments: &PageArguments,
    context: &Context,
    command: &'static str,
    assumed: &mut Vec<String>,
) -> Result<(SourceText, PageInput), Failure> {
    match (&arguments.page, &arguments.media) {
        (Some(path), _) => {
            let source = files::read_text(path, context, command)?;
            let page = read_page(&source, &context.now)?;
            Ok((source, page))
        }
        (None, Some(media)) => {
            let size = arguments.size.as_deref().or_else(|| {
                assumed.push(format!("size {DEFAULT_SIZE}"));
                Some(DEFAULT_SIZE)
            });
            let words = PageWords { media, paper: arguments.paper.as_deref(), size, finish: None };
            let (page, source) = page_from_words(&words, &context.now)?;
            Ok((source, page))
        }
        (None, None) => Err(Failure::Help(command)),
    }
}

/// The room named, with temperature and humidity as typed; `Ok(None)` if nothing was said about it.
fn room(
    arguments: &PageArguments,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Option<RoomInput>, Failure> {
    let temperature = arguments
        .temperature
        .as_ref()
        .map(|given| typed::quantity::<Temperature>("--temperature", given))
        .transpose()?;
    let humidity = arguments
        .humidity
        .as_ref()
        .map(|given| typed::quantity::<RelativeHumidity>("--humidity", given))
        .transpose()?;
    let named = match &arguments.room {
        Some(name) if is_path(name, catalog.room(name).is_ok()) => {
            let source = files::read_text(Path::new(name), context, command)?;
            let room = read_room(&source)?;
            if let Some(problem) = catalog.rules.air.fan_beyond_its_inlet(&room) {
                return Err(Problems::new(source, vec![problem]).into());
            }
            Some(room)
        }
        Some(name) => Some(catalog.room(name).map_err(|unknown| unknown_name(&unknown))?.clone()),
        None => None,
    };
    if temperature.is_none() && humidity.is_none() {
        return Ok(named);
    }
    let mut room = match named {
        Some(named) => named,
        None => catalog.room(DEFAULT_ROOM).map_err(|unknown| unknown_name(&unknown))?.clone(),
    };
    room.temperature_c = temperature.or(room.temperature_c);
    room.relative_humidity = humidity.or(room.relative_humidity);
    Ok(Some(room))
}

/// A sealer by name, or the can of a file.
///
/// # Errors
/// Everything wrong with that file, or a name nothing has.
pub fn sealer(name: &str, catalog: &Catalog, context: &Context, command: &'static str) -> Result<Sealer, Failure> {
    if is_path(name, catalog.sealer(name).is_ok()) {
        return own_can(&files::read_text(Path::new(name), context, command)?, catalog, context, command);
    }
    Ok(catalog.sealer(name).map_err(|unknown| unknown_name(&unknown))?.clone())
}

/// The can of a person's own file, with what was measured of it: its real rate may make the air worse.
///
/// # Errors
/// Everything wrong with that file, or with what was measured.
pub(super) fn own_can(
    source: &SourceText,
    catalog: &Catalog,
    context: &Context,
    command: &'static str,
) -> Result<Sealer, Failure> {
    let own = catalog.own_sealer(&read_sealer(source)?)?;
    Ok(match super::shelves::can_record(&own.id, context, command)? {
        Some(record) => tune(&own, &record, &catalog.model),
        None => own,
    })
}

/// Whether a name means a file: it looks like a path, or nothing built in has that name but a file has.
fn is_path(name: &str, built_in: bool) -> bool {
    let looks = name == "-" || name.contains(['/', '\\']) || name.to_lowercase().ends_with(".toml");
    looks || (!built_in && Path::new(name).exists())
}

/// A name on the command line that means nothing; a file would have been as good.
fn unknown_name(unknown: &Unknown) -> Failure {
    let code = if unknown.kind == Kind::Room { "unknown-room" } else { "unknown-sealer" };
    let hint = if unknown.near.is_empty() {
        format!("{}, or give the file of your own", unknown.hint())
    } else {
        unknown.hint()
    };
    Failure::usage(code, unknown.to_string(), hint)
}
