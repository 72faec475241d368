//! `coatbell completions` and `coatbell man`: for the shell.

use std::path::PathBuf;

use clap::builder::PossibleValuesParser;
use clap::{Args, ValueEnum};

use super::{Context, Exit, Failure, help, output};

const COMPLETIONS_EXAMPLES: &str = "\
Examples:
  coatbell completions bash > ~/.local/share/bash-completion/completions/coatbell
  coatbell completions zsh > ~/.zfunc/_coatbell
  coatbell completions fish > ~/.config/fish/completions/coatbell.fish
";

const MAN_EXAMPLES: &str = "\
Examples:
  coatbell man | man -l -                       read it
  coatbell man > ~/.local/share/man/man1/coatbell.1
  coatbell man plan > ~/.local/share/man/man1/coatbell-plan.1
  coatbell man --all ~/.local/share/man/man1    one page for each command
";

/// What `completions` takes.
#[derive(Debug, Args)]
#[command(before_help = COMPLETIONS_EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct CompletionsArguments {
    /// Shell: bash, zsh, fish, powershell or elvish
    #[arg(value_name = "SHELL", hide_possible_values = true, value_parser = shells())]
    shell: String,
}

/// What `man` takes.
#[derive(Debug, Args)]
#[command(before_help = MAN_EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct ManArguments {
    /// Only one command
    #[arg(value_name = "COMMAND")]
    command: Option<String>,

    /// Write the pages of the program and of every command into this folder
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["command", "output"])]
    all: Option<PathBuf>,
}

fn shells() -> PossibleValuesParser {
    PossibleValuesParser::from(clap_complete::Shell::value_variants().iter().filter_map(ValueEnum::to_possible_value))
}

/// Prints the completions of a shell.
pub(super) fn completions(arguments: &CompletionsArguments, context: &Context) -> Result<Exit, Failure> {
    let shell = clap_complete::Shell::from_str(&arguments.shell, true).map_err(|error| anyhow::anyhow!("{error}"))?;
    // Into memory first: written straight to a pipe that closes, the generator panics.
    let mut written = Vec::new();
    clap_complete::generate(shell, &mut help::command(), "coatbell", &mut written);
    output::raw(context, &String::from_utf8_lossy(&written))?;
    Ok(Exit::Done)
}

/// Prints the manual page of the program, or of one command; or writes all of them into a folder.
pub(super) fn man(arguments: &ManArguments, context: &Context) -> Result<Exit, Failure> {
    let mut all = help::command();
    all.build();
    if let Some(folder) = &arguments.all {
        if !folder.is_dir() {
            let message = format!("`--all`: there is no folder `{}`", folder.display());
            return Err(Failure::usage("no-folder", message, "make it first, or name one that exists"));
        }
        let pages =
            all.get_subcommands().filter(|command| command.get_name() != "help").map(named).chain([all.clone()]);
        for page in pages.collect::<Vec<_>>() {
            let file = folder.join(format!("{}.1", page.get_name()));
            output::file(context, &file, &manual_page(page)?)?;
        }
        return Ok(Exit::Done);
    }
    let command = match &arguments.command {
        None => all,
        Some(name) => match all.find_subcommand(name) {
            Some(found) => named(found),
            None => {
                let names: Vec<&str> = all.get_subcommands().map(clap::Command::get_name).collect();
                let hint = match crate::diagnostic::nearest(name, names.iter().copied()) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => format!("the commands are {}", names.join(", ")),
                };
                return Err(Failure::usage("unknown-command", format!("there is no command `{name}`"), hint));
            }
        },
    };
    output::raw(context, &manual_page(command)?)?;
    Ok(Exit::Done)
}

/// A command under the name of its manual page, with hyphens: `coatbell-plan`.
fn named(command: &clap::Command) -> clap::Command {
    command.clone().name(format!("coatbell-{}", command.get_name()))
}

fn manual_page(command: clap::Command) -> Result<String, Failure> {
    let mut written = Vec::new();
    let examples = command.get_before_help().map(ToString::to_string).unwrap_or_default();
    let man = clap_mangen::Man::new(command).manual("coatbell").source(concat!("coatbell ", env!("CARGO_PKG_VERSION")));
    man.render(&mut written).map_err(|error| anyhow::Error::new(error).context("cannot write the manual page"))?;
    Ok(String::from_utf8_lossy(&written).into_owned() + &examples_section(&examples))
}

/// The examples of a help text as a section of a manual page, line for line.
fn examples_section(examples: &str) -> String {
    let lines = examples.lines().filter(|line| line.starts_with("  coatbell"));
    // A backslash begins an escape of the typesetter, and a plain hyphen would become a dash that cannot be typed.
    let escaped = lines.map(|line| format!("{}\n", line.trim().replace('\\', "\\e").replace('-', "\\-")));
    format!(".SH EXAMPLES\n.nf\n{}.fi\n", escaped.collect::<String>())
}
