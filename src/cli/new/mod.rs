//! `coatbell new`: asks, and writes a commented file of a page, a room, a sealer or a batch.

mod asker;
mod batch;
mod draft;
mod known;
mod layers;
mod page;
mod page_file;
mod room;
mod sealer;
mod section;
mod write;

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::{Context, Exit, Failure, shelves};
use asker::Asker;
use write::{Place, write};

const NAME: &str = "new";

const EXAMPLES: &str = "\
Examples:
  coatbell new page                     asks about your page and writes its file
  coatbell new room                     the same for the room you spray in
  coatbell new sealer my-can.toml       and for the can: its label and its safety data sheet
  coatbell new page carp.toml --title \"Lantern carp\" --size A4 --paper cardstock \\
      --finished \"3 days ago\" --print toner --layer \"watercolour: wet-on-dry: 60 %\" --layer wax-pencil
";

/// What `new` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct NewArguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Ask about a page, bottom layer to top, and write its file
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Page(page::PageAnswers),
    /// Ask about a room and write its file
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Room(room::RoomAnswers),
    /// Ask about your can, its label and its safety data sheet, and write its file
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Sealer(sealer::SealerAnswers),
    /// Ask about an evening with several pages and write its file
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Batch(batch::BatchAnswers),
}

/// Where the file goes.
#[derive(Debug, Clone, Args)]
struct FileArguments {
    /// File to write; named after the answers if not given, `-` for the screen
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,

    /// Write over a file that is there
    #[arg(short, long)]
    force: bool,
}

/// A file that is ready to be written.
#[derive(Debug)]
struct Ready {
    /// Name it gets where none was given, without `.toml`.
    name: String,
    /// The text.
    text: String,
    /// What to do next; `FILE` stands for the file.
    next: String,
}

/// Asks and writes.
pub(super) fn run(arguments: &NewArguments, context: &Context) -> Result<Exit, Failure> {
    let catalog = shelves::catalog(context, NAME)?;
    let mut asker = Asker::on_terminal(context);
    if asker.is_there() {
        asker.say("Enter takes what stands in brackets, `?` shows more, Ctrl-C stops and writes nothing.");
        asker.say("");
    }
    let (ready, file) = match &arguments.what {
        What::Page(answers) => (page::ready(answers, &catalog, &context.now, &mut asker)?, &answers.file),
        What::Room(answers) => (room::ready(answers, &mut asker)?, &answers.file),
        What::Sealer(answers) => (sealer::ready(answers, &catalog, &mut asker)?, &answers.file),
        What::Batch(answers) => {
            (batch::ready(answers, &batch::Shelf { catalog: &catalog, context }, &mut asker)?, &answers.file)
        }
    };
    let place = Place { file: file.file.clone(), force: file.force };
    write(&ready, &place, &mut asker, context)?;
    Ok(Exit::Done)
}
