//! What surrounds a run of the program, looked at once: clock, zone, terminal, locale, folders.

use std::cell::RefCell;
use std::io::IsTerminal;
use std::path::PathBuf;

use etcetera::BaseStrategy;
use jiff::ZonedDateTime;
use jiff::tz::TimeZone;

use super::common::{ColourChoice, CommonArguments, Format, UnitsChoice};
use super::failure::{ErrorStyle, Failure};
use crate::quantity::Units;
use crate::report::Look;
use crate::store::{CONFIG_VARIABLE, Folders, STATE_VARIABLE};

/// Environment variable that sets the clock, for tests and for runs that can be repeated to the byte.
pub const NOW_VARIABLE: &str = "COATBELL_NOW";
/// Environment variable that names the folder of the user's own materials.
pub const MATERIALS_VARIABLE: &str = "COATBELL_MATERIALS";

/// Columns taken where nothing says how wide the screen is.
const DEFAULT_WIDTH: usize = 80;

/// What surrounds a run.
#[derive(Debug)]
pub struct Context {
    /// The moment the run counts from, in the local time zone.
    pub now: ZonedDateTime,
    /// Units shown first.
    pub units: Units,
    /// Width of the screen in columns.
    pub width: usize,
    /// Colour on standard output.
    pub colour: bool,
    /// Whether the screen shows more than ASCII.
    pub unicode: bool,
    /// Only the answer and the caution.
    pub quiet: bool,
    /// With reasoning.
    pub verbose: bool,
    /// Where every number comes from.
    pub why: bool,
    /// Text or JSON.
    pub format: Format,
    /// As a calendar instead; only a plan has one.
    pub calendar: bool,
    /// As drawings instead; only a plan has them.
    pub drawn: bool,
    /// Never ask.
    pub no_input: bool,
    /// `hold` ends like `go`.
    pub exit_zero: bool,
    /// Where the answer goes; `None` is standard output.
    pub output: Option<PathBuf>,
    /// Folder of the user's own materials; it need not exist.
    pub materials: Option<PathBuf>,
    /// Files read so far, which the answer must not overwrite.
    pub files_read: RefCell<Vec<PathBuf>>,
}

impl Context {
    /// How a text is to look: a file is written in UTF-8 whatever the screen shows.
    pub fn look(&self) -> Look {
        Look {
            width: self.width,
            units: self.units,
            colour: self.colour,
            unicode: self.unicode || self.output.is_some(),
            quiet: self.quiet,
            why: self.why,
            verbose: self.verbose,
            now: self.now.clone(),
        }
    }

    /// Looks around once.
    ///
    /// # Errors
    /// If the clock is set to something that is not a time.
    pub fn look_around(common: &CommonArguments) -> Result<Self, Failure> {
        let colour = anstream::AutoStream::choice(&std::io::stdout()) != anstream::ColorChoice::Never;
        Ok(Self {
            now: now()?,
            units: match common.units {
                UnitsChoice::Metric => Units::Metric,
                UnitsChoice::Us => Units::Us,
            },
            width: width(),
            colour: colour && common.output.is_none(),
            unicode: unicode(),
            quiet: common.quiet,
            verbose: common.verbose > 0,
            why: common.why,
            format: common.format(),
            calendar: common.calendar(),
            drawn: common.drawn(),
            no_input: common.no_input,
            exit_zero: common.exit_zero,
            output: common.output.clone().filter(|path| path.as_os_str() != "-"),
            materials: materials(),
            files_read: RefCell::default(),
        })
    }

    /// The folders of what is kept between runs.
    ///
    /// # Errors
    /// If the system has none.
    pub fn folders(&self) -> Result<Folders, Failure> {
        let given = |name: &str| std::env::var_os(name);
        Ok(Folders::find(given(STATE_VARIABLE), given(CONFIG_VARIABLE))?)
    }
}

/// How errors look, which is needed before anything else is known.
pub fn error_style(json: bool) -> ErrorStyle {
    let colour = anstream::AutoStream::choice(&std::io::stderr()) != anstream::ColorChoice::Never;
    ErrorStyle { json, colour, width: width() }
}

/// Makes the choice of colour known to everything that prints, the help included.
pub fn set_colour(choice: ColourChoice) {
    match choice {
        ColourChoice::Auto => anstream::ColorChoice::Auto,
        ColourChoice::Always => anstream::ColorChoice::Always,
        ColourChoice::Never => anstream::ColorChoice::Never,
    }
    .write_global();
}

fn now() -> Result<ZonedDateTime, Failure> {
    let Some(text) = variable(NOW_VARIABLE) else {
        return Ok(jiff::Timestamp::now().to_zoned_datetime(zone()));
    };
    let zone = zone();
    let moment = match text.parse::<jiff::Timestamp>() {
        Ok(moment) => Some(moment.to_zoned_datetime(zone)),
        Err(_) => text.parse::<jiff::civil::DateTime>().ok().and_then(|local| local.to_zoned_datetime(zone).ok()),
    };
    moment.ok_or_else(|| {
        Failure::usage(
            "not-a-time",
            format!("`{text}` in the environment variable `{NOW_VARIABLE}` is not a time"),
            "write it as `2026-11-28T14:00:00+01:00`, or unset the variable",
        )
    })
}

/// The local time zone. `TZ` may name a file of one; a device or a pipe there would be read for ever.
fn zone() -> TimeZone {
    let named = std::env::var_os("TZ").map(PathBuf::from).unwrap_or_default();
    let file = named.to_str().map_or(named.clone(), |text| PathBuf::from(text.trim_start_matches(':')));
    let endless = std::fs::metadata(file).is_ok_and(|found| !found.is_file() && !found.is_dir());
    if endless { TimeZone::UTC } else { TimeZone::system() }
}

fn width() -> usize {
    let stated = variable("COLUMNS").and_then(|columns| columns.trim().parse::<usize>().ok());
    let measured = || {
        terminal_size::terminal_size_of(std::io::stdout())
            .or_else(|| terminal_size::terminal_size_of(std::io::stderr()))
            .map(|(terminal_size::Width(columns), _)| usize::from(columns))
    };
    stated.or_else(measured).filter(|columns| *columns > 0).unwrap_or(DEFAULT_WIDTH).clamp(40, 160)
}

/// Whether the locale can show more than ASCII. Windows terminals can.
fn unicode() -> bool {
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().find_map(variable);
    match locale {
        Some(locale) => {
            let lower = locale.to_lowercase();
            lower.contains("utf-8") || lower.contains("utf8")
        }
        None => cfg!(any(windows, target_os = "macos")),
    }
}

fn materials() -> Option<PathBuf> {
    if let Some(folder) = std::env::var_os(MATERIALS_VARIABLE).filter(|folder| !folder.is_empty()) {
        return Some(PathBuf::from(folder));
    }
    let strategy = etcetera::choose_base_strategy().ok()?;
    Some(strategy.config_dir().join("coatbell").join("materials"))
}

/// An environment variable that is set, not empty and text.
fn variable(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.is_empty())
}

/// Whether standard input is a person at a keyboard.
pub fn input_is_terminal() -> bool {
    std::io::stdin().is_terminal()
}
