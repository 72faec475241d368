//! The flags every command has.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// Flags of every command.
#[derive(Debug, Clone, Args)]
pub struct CommonArguments {
    /// Units shown first; both are always accepted
    #[arg(
        long,
        global = true,
        value_enum,
        default_value = "metric",
        help_heading = "Output",
        hide_possible_values = true,
        value_name = "metric|us"
    )]
    pub units: UnitsChoice,

    /// The answer as JSON (same as --format json)
    #[arg(long, global = true, help_heading = "Output", conflicts_with = "format")]
    pub json: bool,

    /// Form of the answer; `ics` writes a plan as a calendar, `svg` draws it
    #[arg(
        long,
        global = true,
        value_enum,
        help_heading = "Output",
        hide_possible_values = true,
        value_name = "text|json|ics|svg"
    )]
    pub format: Option<FormatChoice>,

    /// Say where every number comes from
    #[arg(long, global = true, help_heading = "Output")]
    pub why: bool,

    /// Only the one-line answer and the one-line caution
    #[arg(short, long, global = true, help_heading = "Output", conflicts_with = "verbose")]
    pub quiet: bool,

    /// More of the reasoning
    #[arg(short, long, global = true, action = clap::ArgAction::Count, help_heading = "Output")]
    pub verbose: u8,

    /// Colour: `auto` colours a terminal and honours NO_COLOR
    #[arg(
        long,
        global = true,
        value_enum,
        default_value = "auto",
        help_heading = "Output",
        hide_possible_values = true,
        value_name = "auto|always|never",
        alias = "colour"
    )]
    pub color: ColourChoice,

    /// Write the answer to a file instead of the screen
    #[arg(short, long, global = true, help_heading = "Output", value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Never ask anything
    #[arg(long, global = true, help_heading = "Output")]
    pub no_input: bool,

    /// End with 0 even if the answer is `hold`
    #[arg(long, global = true, help_heading = "Output")]
    pub exit_zero: bool,
}

impl CommonArguments {
    /// The form asked for.
    pub fn format(&self) -> Format {
        if self.json || self.format == Some(FormatChoice::Json) { Format::Json } else { Format::Text }
    }

    /// Whether the answer is wanted as drawings.
    pub fn drawn(&self) -> bool {
        self.format == Some(FormatChoice::Svg)
    }

    /// Whether the answer is wanted as a calendar.
    pub fn calendar(&self) -> bool {
        self.format == Some(FormatChoice::Ics)
    }
}

/// The form of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Format {
    /// For people.
    #[default]
    Text,
    /// For programs.
    Json,
}

/// The form of an answer as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FormatChoice {
    /// For people.
    Text,
    /// For programs.
    Json,
    /// For a calendar: the coats and milestones of a plan, with alarms.
    Ics,
    /// Drawings of a plan.
    Svg,
}

/// Units shown first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitsChoice {
    /// Centimetres, degrees Celsius, grams.
    Metric,
    /// Inches, degrees Fahrenheit, ounces.
    Us,
}

/// When colour is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColourChoice {
    /// On a terminal that wants it.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}
