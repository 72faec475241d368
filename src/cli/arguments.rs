//! What can be typed.

use clap::{Parser, Subcommand};

use super::common::CommonArguments;

/// Order of every help text: what it is, examples, usage, arguments.
pub(super) const HELP_TEMPLATE: &str =
    "{about-with-newline}\n{before-help}{usage-heading} {usage}\n\n{all-args}{after-help}";

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "coatbell",
    version,
    about = "Plans the spray sealing of a page that carries many media",
    help_template = HELP_TEMPLATE,
    disable_help_subcommand = true,
    max_term_width = 100,
    after_help = EXIT_CODES,
    after_long_help = EXIT_CODES_AND_VARIABLES
)]
pub(super) struct Arguments {
    /// Flags of every command.
    #[command(flatten)]
    pub(super) common: CommonArguments,

    /// What to do.
    #[command(subcommand)]
    pub(super) command: Option<Command>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Plan the sealing of a page: readiness, sealer, coats, times, air and cautions
    Plan(super::plan::PlanArguments),
    /// Check the layers of a page: pair by pair, against the paper, their order and their waits
    Layers(super::layers::LayersArguments),
    /// Find the hours of a forecast: those in which the page can be sealed from first coat to handle-dry
    Weather(super::weather::WeatherArguments),
    /// Review the air: of a page's coats, or of an amount; print the safety notes
    Safety(super::safety::SafetyArguments),
    /// List and show media, papers and sealers; check files of your own
    Materials(super::materials::MaterialsArguments),
    /// The scrap test that settles a plan's doubt: what to spray, what to look for, what came of it
    Scrap(super::scrap::ScrapArguments),
    /// Past runs: list, show, rate how they turned out, export
    History(super::history::HistoryArguments),
    /// Narrow a can to what you measured: with a kitchen scale, a ruler and a thumb
    Measure(super::measure::MeasureArguments),
    /// Ask about a page, a room, a can or an evening, and write its file
    New(super::new::NewArguments),
    /// Schedule many pages at one bench: one person, one rack, one room
    Batch(super::batch::BatchArguments),
    /// Conduct a plan live: coat by coat, with reminders, so that no coat is missed or lost
    Seal(super::seal::SealArguments),
    /// Say what is due now, in every run under way
    Status(super::status::StatusArguments),
    /// Something went wrong: what to do now
    Rescue(super::rescue::RescueArguments),
    /// Write the bench sheet of a page: one HTML file for phone and paper
    Print(super::print::PrintArguments),
    /// Completions for your shell
    Completions(super::shell::CompletionsArguments),
    /// The manual page of the program or of one command
    Man(super::shell::ManArguments),
    /// Recompute published check values and print each beside its source
    Verify(super::verify::VerifyArguments),
}

const EXIT_CODES: &str = "\
Exit codes: 0 done, 1 failed, 2 wrong usage, 3 bad input file, 4 hold";

const EXIT_CODES_AND_VARIABLES: &str = "\
Exit codes:
  0  done; the answer is go or care
  1  could not do it, or a check failed
  2  wrong usage
  3  an input file is invalid
  4  the answer is hold; it is still printed
  130, 143  a run was left by Ctrl-C or SIGTERM; it is kept

Environment:
  COATBELL_MATERIALS  folder of your own media, papers, sealers and rooms
  COATBELL_STATE      folder of runs and cans; the platform's own if not set
  COATBELL_CONFIG     folder of what you measured; the platform's own if not set
  COATBELL_NOW        the moment to count from: 2026-11-28T14:00:00+01:00
                      (the same inputs at the same moment give the same bytes)
  COLUMNS             width of the text
  NO_COLOR            no colour
  TZ                  time zone of the clock times";
