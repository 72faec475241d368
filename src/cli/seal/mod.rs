//! `coatbell seal`: conducts a plan live.

mod begin;
mod calendar;
mod cans;
mod clock;
mod closing;
mod conduct;
mod evening;
mod history;
mod hold;
mod input;
mod journal;
mod lines;
mod notifier;
mod resume;
mod screen;
mod shelf;
mod stage;

pub(super) use calendar::write as write_calendar;
pub(super) use cans::CanShelf;
pub(super) use closing::{close, lies_behind};
pub(super) use history::{HISTORY_FILE, open as open_history, run_id};
pub(super) use notifier::Notifier;
pub(super) use screen::restore as restore_screen;
pub(super) use shelf::{Found, RunShelf};

use std::path::PathBuf;

use clap::Args;

use super::page_arguments::{MaskArguments, OneSealer, PageArguments};
use super::{Context, Exit, Failure};

const NAME: &str = "seal";

const EXAMPLES: &str = "\
Examples:
  coatbell seal page.toml --room room.toml --sealer acrylic-satin
  coatbell seal page.toml --rehearse 60x             try it on a fast clock
  coatbell seal evening.toml --room room.toml        all pages of a batch file
  coatbell seal --resume                             go on after a closed terminal
  coatbell seal page.toml --rehearse 600x --auto --yes --masked --no-flames --json

Keys: space sprayed, u undo, ? something went wrong, k leave a coat out, n new can, q leave (nothing is lost);
in an evening tab other page, o take it out. The rest of an evening is planned anew from what was really done
";

/// What `seal` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct SealArguments {
    #[command(flatten)]
    page: PageArguments,

    #[command(flatten)]
    sealer: OneSealer,

    #[command(flatten)]
    mask: MaskArguments,

    #[command(flatten)]
    run: RunArguments,
}

/// How a run is conducted.
#[derive(Debug, Args)]
struct RunArguments {
    /// Go on with a run that was left or cut off
    #[arg(long, conflicts_with = "cancel", help_heading = "Run")]
    resume: bool,

    /// Give up the run under way; what was sprayed stays noted
    #[arg(long, help_heading = "Run")]
    cancel: bool,

    /// With --resume: go on as planned although the page was edited since
    #[arg(long, requires = "resume", help_heading = "Run")]
    as_begun: bool,

    /// Try it on a fast clock, for instance `60x`; kept apart from real runs
    #[arg(long, value_name = "SPEED", help_heading = "Run")]
    rehearse: Option<String>,

    /// Take each coat as sprayed when it is due; only in a rehearsal
    #[arg(long, help_heading = "Run")]
    auto: bool,

    /// Of an evening conduct the pages that fit, and leave the others out
    #[arg(long, help_heading = "Run", conflicts_with_all = ["resume", "cancel"])]
    what_fits: bool,

    /// Everything on the list before the first coat is done, mask and flames apart
    #[arg(short, long, help_heading = "Run")]
    yes: bool,

    /// The mask is on, with the right cartridges, and it seals
    #[arg(long, help_heading = "Run")]
    masked: bool,

    /// No flame, heater or sparking switch within 6 m (20 ft)
    #[arg(long, help_heading = "Run")]
    no_flames: bool,

    /// Beat the turn of each pass with the bell (key b begins it)
    #[arg(long, help_heading = "Run")]
    beat: bool,

    /// Write the calendar of the days after here, once everything is sprayed
    #[arg(long, value_name = "FILE", help_heading = "Run")]
    calendar: Option<PathBuf>,
}

impl RunArguments {
    /// Whether flags confirm the whole list.
    fn confirmed(&self) -> bool {
        self.yes && self.masked && self.no_flames
    }

    /// The speed of a rehearsal.
    fn speed(&self) -> Result<Option<f64>, Failure> {
        let Some(typed) = &self.rehearse else {
            if self.auto {
                let message = "`--auto` takes coats as sprayed that nobody sprayed: it is for rehearsals";
                return Err(Failure::usage("auto-needs-rehearse", message, "add `--rehearse 60x`, or leave it out"));
            }
            return Ok(None);
        };
        let number = typed.trim().trim_end_matches(['x', 'X', '×']).trim();
        let speed = number.parse::<f64>().ok().filter(|speed| speed.is_finite() && *speed > 0.0 && *speed <= 1e6);
        speed.map(Some).ok_or_else(|| {
            let message = format!("`--rehearse`: `{typed}` is not a speed");
            Failure::usage("not-a-speed", message, "write how many times faster than the clock, as `60x`")
        })
    }
}

/// Conducts, resumes or cancels a run.
pub(super) fn run(arguments: &SealArguments, context: &Context) -> Result<Exit, Failure> {
    let speed = arguments.run.speed()?;
    if context.output.is_some() {
        let message = "a run writes as it goes, not into a file at the end";
        return Err(Failure::usage("no-output-file", message, "use `--calendar FILE` for the days after"));
    }
    if arguments.run.cancel {
        resume::cancel(arguments, speed.is_some(), context)
    } else if arguments.run.resume {
        resume::run(arguments, speed, context)
    } else {
        begin::run(arguments, speed, context)
    }
}
