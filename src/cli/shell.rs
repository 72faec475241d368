//! `coatbell completions` and `coatbell man`: for the shell.

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

/// Prints the manual page of the program, or of one command.
pub(super) fn man(arguments: &ManArguments, context: &Context) -> Result<Exit, Failure> {
    let mut all = help::command();
    all.build();
    let command = match &arguments.command {
        None => all,
        Some(name) => match all.find_subcommand(name) {
            // A manual page is named with hyphens: `coatbell-plan`.
            Some(found) => found.clone().name(format!("coatbell-{}", found.get_name())),
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
    let mut written = Vec::new();
    let man = clap_mangen::Man::new(command).manual("coatbell").source(concat!("coatbell ", env!("CARGO_PKG_VERSION")));
    man.render(&mut written).map_err(|error| anyhow::Error::new(error).context("cannot write the manual page"))?;
    output::raw(context, &String::from_utf8_lossy(&written))?;
    Ok(Exit::Done)
}
