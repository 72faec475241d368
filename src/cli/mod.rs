//! The command line: what was typed, what is meant, how the program ends, and the one place that prints an error.

mod arguments;
mod batch;
mod cans;
pub mod common;
pub mod context;
mod evening;
mod exit;
pub mod failure;
pub mod files;
mod help;
mod history;
pub mod inputs;
mod layers;
mod materials;
mod measure;
mod new;
pub mod output;
pub mod page_arguments;
mod plan;
mod print;
mod rescue;
mod safety;
mod scrap;
mod seal;
mod searching;
mod shell;
pub mod shelves;
mod status;
mod typed;
mod verify;
mod weather;
mod welcome;

pub use context::{Context, MATERIALS_VARIABLE, NOW_VARIABLE};
pub use exit::Exit;
pub use failure::Failure;

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use clap::FromArgMatches;
use clap::error::{ContextKind, ErrorKind};

use crate::diagnostic::{Problem, escape_untrusted};
use arguments::{Arguments, Command};

/// The definition of the whole command line: what every test that walks the commands reads.
pub fn command_line() -> clap::Command {
    help::command()
}

/// Runs the program: never panics outwards, never ends with any code but those of [`Exit`].
pub fn main(typed: impl IntoIterator<Item = OsString>) -> ExitCode {
    std::panic::set_hook(Box::new(|panic| {
        seal::restore_screen();
        let place = panic.location().map(|at| format!(" ({}:{})", at.file(), at.line())).unwrap_or_default();
        let _ = writeln!(
            std::io::stderr().lock(),
            "error: this is a bug in coatbell{place}\n\nhint: please report it with the files you used"
        );
    }));
    let typed: Vec<OsString> = typed.into_iter().collect();
    match std::panic::catch_unwind(|| run(&typed)) {
        Ok(exit) => exit.into(),
        Err(_) => Exit::Failed.into(),
    }
}

/// Runs the program on what was typed, the program's name first, and prints its answer or its error.
pub fn run(typed: &[OsString]) -> Exit {
    let wants_json = typed_json(typed);
    let parsed = help::command().try_get_matches_from(typed).and_then(|matches| Arguments::from_arg_matches(&matches));
    let arguments = match parsed {
        Ok(arguments) => arguments,
        Err(error) => return usage_end(&error, wants_json),
    };
    context::set_colour(arguments.common.color);
    let json = arguments.common.format() == common::Format::Json;
    match obey(arguments) {
        Ok(exit) => exit,
        Err(failure) => {
            let exit = failure.exit();
            if let (Failure::Help(command), false) = (&failure, json) {
                show_help_of(command);
            } else {
                failure::print(failure, context::error_style(json));
            }
            exit
        }
    }
}

fn obey(arguments: Arguments) -> Result<Exit, Failure> {
    let context = Context::look_around(&arguments.common)?;
    if context.calendar
        && !matches!(arguments.command, Some(Command::Plan(_) | Command::Weather(_) | Command::Batch(_)))
    {
        let message = "only a plan, a forecast or a batch can be written as a calendar";
        return Err(Failure::usage("no-calendar", message, "use `--format text` or `--format json`"));
    }
    if context.drawn && !matches!(arguments.command, Some(Command::Plan(_))) {
        let message = "only a plan can be drawn";
        return Err(Failure::usage("no-drawing", message, "use `--format text` or `--format json`"));
    }
    match arguments.command {
        None => welcome::run(&context),
        Some(Command::Plan(arguments)) => plan::run(&arguments, &context),
        Some(Command::Safety(arguments)) => safety::run(&arguments, &context),
        Some(Command::Layers(arguments)) => layers::run(&arguments, &context),
        Some(Command::Scrap(arguments)) => scrap::run(&arguments, &context),
        Some(Command::History(arguments)) => history::run(&arguments, &context),
        Some(Command::Measure(arguments)) => measure::run(&arguments, &context),
        Some(Command::Materials(arguments)) => materials::run(&arguments, &context),
        Some(Command::New(arguments)) => new::run(&arguments, &context),
        Some(Command::Batch(arguments)) => batch::run(&arguments, &context),
        Some(Command::Seal(arguments)) => seal::run(&arguments, &context),
        Some(Command::Status(arguments)) => status::run(&arguments, &context),
        Some(Command::Rescue(arguments)) => rescue::run(&arguments, &context),
        Some(Command::Print(arguments)) => print::run(&arguments, &context),
        Some(Command::Completions(arguments)) => shell::completions(&arguments, &context),
        Some(Command::Man(arguments)) => shell::man(&arguments, &context),
        Some(Command::Weather(arguments)) => weather::run(&arguments, &context),
        Some(Command::Verify(arguments)) => verify::run(&arguments, &context),
    }
}

/// Whether JSON is wanted, read before the command line is known to be right.
fn typed_json(typed: &[OsString]) -> bool {
    let before_words = typed.iter().skip(1).take_while(|word| *word != "--");
    let words: Vec<&str> = before_words.filter_map(|word| word.to_str()).collect();
    words.iter().any(|word| *word == "--json" || *word == "--format=json")
        || words.windows(2).any(|pair| pair == ["--format", "json"])
}

/// Ends on a command line that is not one: help and version go out as answers, the rest as an error.
fn usage_end(error: &clap::Error, json: bool) -> Exit {
    let shown = error.render();
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            let colour = anstream::AutoStream::choice(&std::io::stdout()) != anstream::ColorChoice::Never;
            let text = if colour { shown.ansi().to_string() } else { shown.to_string() };
            match output::to_stdout(text.trim_end()) {
                Ok(()) => Exit::Done,
                Err(failure) => {
                    let exit = failure.exit();
                    failure::print(failure, context::error_style(json));
                    exit
                }
            }
        }
        _ if json => {
            let plain = shown.to_string();
            let mut parts = plain.trim_start_matches("error: ").split("\n\n");
            let message = parts.next().unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ");
            let hint = parts.next().map(|tip| tip.trim().trim_start_matches("tip: ").to_owned());
            let cured = cure(error).map(str::to_owned);
            let problem = Problem::new("usage", message).with_hint_if(hint).with_hint_if(cured);
            failure::print(Failure::Usage(Box::new(problem)), context::error_style(true));
            Exit::Usage
        }
        _ => {
            let style = context::error_style(false);
            let text = if style.colour { shown.ansi().to_string() } else { shown.to_string() };
            let text = visible(&text);
            let cure = cure(error).map(|cure| format!("\n\nhint: {cure}")).unwrap_or_default();
            let _ = writeln!(std::io::stderr().lock(), "{}{cure}", text.trim_end());
            Exit::Usage
        }
    }
}

/// What was typed is quoted in the parser's text: hidden characters are shown there, but not its line ends and colours.
fn visible(text: &str) -> String {
    let kept = text.split_inclusive(['\n', '\u{1b}']).map(|piece| {
        let end = piece.trim_end_matches(['\n', '\u{1b}']).len();
        escape_untrusted(&piece[..end]) + &piece[end..]
    });
    kept.collect()
}

/// What to do about a command line where the parser only says what is wrong.
fn cure(error: &clap::Error) -> Option<&'static str> {
    let about = |kind: ContextKind| error.get(kind).map(ToString::to_string).unwrap_or_default();
    match error.kind() {
        ErrorKind::MissingRequiredArgument if about(ContextKind::InvalidArg).contains("<PAGE>") => {
            Some("name the file of a page; `coatbell new page` asks and writes one")
        }
        ErrorKind::MissingRequiredArgument if about(ContextKind::InvalidArg).contains("--paper") => {
            Some("say what it is on, as `--paper cardstock`")
        }
        ErrorKind::UnknownArgument if !about(ContextKind::InvalidArg).starts_with('-') => {
            Some("put words that belong together in quotes, as `--start \"in 2 h\"`")
        }
        _ => None,
    }
}

fn show_help_of(command: &str) {
    let mut all = help::command();
    all.build();
    let help = match all.find_subcommand_mut(command) {
        Some(found) => found.render_help(),
        None => all.render_help(),
    };
    let _ = writeln!(std::io::stderr().lock(), "{}", help.to_string().trim_end());
}
