//! The page, room and sealer a command works on, as typed.

use std::path::{Path, PathBuf};

use clap::Args;
use clap::builder::PossibleValuesParser;

use super::Failure;
use crate::air::RespiratorKind;

/// The one sealer of a command that does not compare.
#[derive(Debug, Clone, Args)]
pub struct OneSealer {
    /// Sealer: a name, or the file of your own can
    #[arg(long, value_name = "SEALER", help_heading = "Page, can and room")]
    sealer: Option<String>,
}

impl OneSealer {
    /// The sealer named, if one is.
    ///
    /// # Errors
    /// If there are several after commas.
    pub fn named(&self) -> Result<&[String], Failure> {
        let several = |typed: &String| typed.contains(',') && !Path::new(typed).exists();
        match self.sealer.as_ref().filter(|typed| several(typed)) {
            Some(typed) => {
                let message = format!("`--sealer`: one sealer at a time, and `{typed}` names several");
                Err(Failure::usage("one-sealer", message, "compare sealers with `coatbell plan --sealer A,B`"))
            }
            None => Ok(self.sealer.as_slice()),
        }
    }
}

/// The sealer or sealers.
#[derive(Debug, Clone, Args)]
pub struct SealerArguments {
    /// Sealer: a name, or the file of your own can; several after commas are compared
    #[arg(long, value_name = "SEALER", value_delimiter = ',', help_heading = "Page, can and room")]
    pub sealer: Vec<String>,
}

/// A page, from a file or in words, with its room and start.
#[derive(Debug, Clone, Default, Args)]
pub struct PageArguments {
    /// Page file (TOML); `-` reads standard input
    #[arg(value_name = "PAGE", required_unless_present = "media", conflicts_with_all = ["media", "paper", "size"])]
    pub page: Option<PathBuf>,

    /// Room: a file, or the name of a built-in room
    #[arg(long, value_name = "ROOM", help_heading = "Page, can and room")]
    pub room: Option<String>,

    /// When to begin: `18:00`, `2026-11-28 14:00`, `in 2 h`; now if not given
    #[arg(long, value_name = "TIME", help_heading = "Page, can and room")]
    pub start: Option<String>,

    /// The page in words: media from bottom to top, finished and dry, as `watercolour:wet-on-dry, wax-pencil:40 %:heavy`
    #[arg(long, value_name = "MEDIA", requires = "paper", help_heading = "A page in words")]
    pub media: Option<String>,

    /// Paper of a page in words
    #[arg(long, value_name = "PAPER", requires = "media", help_heading = "A page in words")]
    pub paper: Option<String>,

    /// Size of a page in words: `A4`, `letter`, `210 mm x 297 mm`; A4 if not given
    #[arg(long, value_name = "SIZE", requires = "media", help_heading = "A page in words")]
    pub size: Option<String>,

    /// Temperature of the room, for instance "21 C"
    #[arg(long, value_name = "TEMPERATURE", help_heading = "Page, can and room")]
    pub temperature: Option<String>,

    /// Relative humidity of the room, for instance "48 %"
    #[arg(long, value_name = "HUMIDITY", help_heading = "Page, can and room")]
    pub humidity: Option<String>,
}

/// The mask the person has.
#[derive(Debug, Clone, Args)]
pub struct MaskArguments {
    /// The mask you have, if it is not a half mask with cartridges: `full-apr`, `papr-full`, `sar-cont-full` and others
    #[arg(
        long,
        value_name = "MASK",
        help_heading = "Page, can and room",
        value_parser = PossibleValuesParser::new(RespiratorKind::ids()),
        hide_possible_values = true
    )]
    mask: Option<String>,
}

impl MaskArguments {
    /// The kind named; `None` takes the recommended one.
    pub fn kind(&self) -> Option<RespiratorKind> {
        self.mask.as_deref().and_then(RespiratorKind::from_id)
    }
}
