//! `coatbell materials`: what is known, what is known about it and on what grounds, and whether own files are right.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};
use serde::Serialize;

use super::common::Format;
use super::{Context, Exit, Failure, output, shelves};
use crate::catalog::{Catalog, Kind, Unknown};
use crate::diagnostic::plural;
use crate::report::{materials_list, materials_list_json, materials_show, materials_show_json};

const NAME: &str = "materials";

const EXAMPLES: &str = "\
Examples:
  coatbell materials list               everything known, by kind
  coatbell materials list sealers       one kind
  coatbell materials show wax-pencil    all figures of one, and what each stands on
  coatbell materials check mine.toml    whether a file of your own is right
";

/// What `materials` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct MaterialsArguments {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// List media, papers, sealers, substances and rooms
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    List {
        /// Only one kind: media, papers, sealers, substances or rooms
        #[arg(value_enum, hide_possible_values = true)]
        kind: Option<KindChoice>,
    },
    /// Show all figures of one, and what each stands on
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Show {
        /// Its name, or another accepted name
        name: String,
    },
    /// Check files of your own materials; without files, those of your materials folder
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Check {
        /// Files (TOML)
        files: Vec<PathBuf>,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum KindChoice {
    #[value(alias = "medium")]
    Media,
    #[value(alias = "paper")]
    Papers,
    #[value(alias = "sealer")]
    Sealers,
    #[value(alias = "substance", alias = "solvents", alias = "solvent")]
    Substances,
    #[value(alias = "room")]
    Rooms,
}

impl KindChoice {
    fn kind(self) -> Kind {
        match self {
            Self::Media => Kind::Medium,
            Self::Papers => Kind::Paper,
            Self::Sealers => Kind::Sealer,
            Self::Substances => Kind::Substance,
            Self::Rooms => Kind::Room,
        }
    }
}

/// The document of `check`.
#[derive(Debug, Serialize)]
struct CheckDocument {
    schema: &'static str,
    version: &'static str,
    files: Vec<String>,
    added: usize,
}

const SCHEMA: &str = "coatbell.materials/1";
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// Lists, shows or checks.
pub(super) fn run(arguments: &MaterialsArguments, context: &Context) -> Result<Exit, Failure> {
    match &arguments.action {
        Action::List { kind } => list(*kind, &shelves::catalog(context, NAME)?, context),
        Action::Show { name } => show(name, &shelves::catalog(context, NAME)?, context),
        Action::Check { files } => check(files, context),
    }
}

fn list(kind: Option<KindChoice>, catalog: &Catalog, context: &Context) -> Result<Exit, Failure> {
    let kind = kind.map(KindChoice::kind);
    match context.format {
        Format::Json => output::json(context, &materials_list_json(catalog, kind))?,
        Format::Text => output::text(context, &materials_list(catalog, kind, &context.look()))?,
    }
    Ok(Exit::Done)
}

fn show(name: &str, catalog: &Catalog, context: &Context) -> Result<Exit, Failure> {
    let unknown = |unknown: Unknown| Failure::usage("unknown-material", unknown.to_string(), unknown.hint());
    match context.format {
        Format::Json => output::json(context, &materials_show_json(catalog, name).map_err(unknown)?)?,
        Format::Text => output::text(context, &materials_show(catalog, name, &context.look()).map_err(unknown)?)?,
    }
    Ok(Exit::Done)
}

/// How many materials there are.
fn count(catalog: &Catalog) -> usize {
    let Catalog { media, papers, sealers, substances, rooms, .. } = catalog;
    media.len() + papers.len() + sealers.len() + substances.len() + rooms.len()
}

fn check(files: &[PathBuf], context: &Context) -> Result<Exit, Failure> {
    let files = if files.is_empty() { shelves::own_files(context)? } else { files.to_vec() };
    let catalog = shelves::catalog_with(&files, context, NAME)?;
    let added = count(&catalog) - count(&Catalog::builtin());
    match context.format {
        Format::Json => {
            let files = files.iter().map(|file| file.display().to_string()).collect();
            output::json(context, &CheckDocument { schema: SCHEMA, version: VERSION, files, added })?;
        }
        Format::Text if files.is_empty() => {
            let folder = context.materials.as_ref().map(|folder| folder.display().to_string()).unwrap_or_default();
            let line = format!("there are no files of your own in {}", crate::diagnostic::escape_untrusted(&folder));
            output::text(context, &line)?;
        }
        Format::Text => {
            let line = format!(
                "{} read, {} of your own, nothing wrong",
                plural(files.len(), "file"),
                plural(added, "material")
            );
            output::text(context, &line)?;
        }
    }
    Ok(Exit::Done)
}
