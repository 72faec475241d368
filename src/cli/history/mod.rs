//! `coatbell history`: past runs, what was done when, how they turned out.

mod gather;
mod rate;

pub(super) use gather::run_named;

use clap::{Args, Subcommand};
use serde::Serialize;

use super::common::Format;
use super::{Context, Exit, Failure, output};
use crate::diagnostic::plural;
use crate::record::history::{History, PastRun, RatedRun, Rating};
use crate::report::{Paragraph, paragraphs};

const NAME: &str = "history";

const EXAMPLES: &str = "\
Examples:
  coatbell history list
  coatbell history show 1               the newest
  coatbell history rate 1 good
  coatbell history rate 2 bled --media alcohol-marker --note \"the red, in the corner\"
  coatbell history export -o runs.csv
";

/// What `history` takes.
#[derive(Debug, Args)]
#[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
pub(super) struct HistoryArguments {
    #[command(subcommand)]
    action: Option<Action>,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// List past runs, newest first
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    List,
    /// Show one run: what was planned, what was done when
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Show {
        /// Its number in the list (1 is the newest), or its id
        run: String,
    },
    /// Say how a run turned out: good, bled, lifted, pooled, blushed, hazed, cockled, dry-sprayed …
    ///
    /// The last word counts. Its can learns from it. A medium that bled, lifted or pooled gets at most 70 % of that film
    /// from then on: as a first coat, or as a build if the run says that it happened after one. A page that came out good
    /// with every coat on and nothing gone wrong lets the next first coat over its media be as wet as one and a half times
    /// the film that held, which is about a tenth more than before; never past what is known of the medium. All else is
    /// kept and changes nothing.
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Rate {
        /// Its number in the list (1 is the newest), or its id
        run: String,
        /// How it turned out, one or more words
        #[arg(required = true, value_name = "OUTCOME")]
        outcomes: Vec<String>,
        /// Media it is said of, with commas between
        #[arg(long, value_delimiter = ',', value_name = "MEDIA")]
        media: Vec<String>,
        /// In your own words
        #[arg(long, value_name = "TEXT")]
        note: Option<String>,
    },
    /// All runs as CSV, or with --json as JSON
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Export,
}

#[derive(Debug, Serialize)]
struct Document<'r> {
    schema: &'static str,
    version: &'static str,
    answer: String,
    runs: Vec<Shown<'r>>,
    unreadable: usize,
}

#[derive(Debug, Serialize)]
struct Shown<'r> {
    #[serde(flatten)]
    run: &'r PastRun,
    rating: Option<&'r Rating>,
}

/// Lists, shows, rates or exports.
pub(super) fn run(arguments: &HistoryArguments, context: &Context) -> Result<Exit, Failure> {
    let history = gather::gather(context)?;
    match &arguments.action {
        None | Some(Action::List) => list(&history, context),
        Some(Action::Show { run }) => show(gather::wanted(&history, run)?, context),
        Some(Action::Rate { run, outcomes, media, note }) => {
            let said = rate::Said { outcomes, media, note: note.as_deref() };
            rate::rate(gather::wanted(&history, run)?, &said, context)
        }
        Some(Action::Export) => export(&history, context),
    }
}

fn outcome_words(rating: Option<&Rating>) -> String {
    let Some(rating) = rating else { return "not rated".to_owned() };
    let words: Vec<&str> = rating.outcomes.iter().map(|outcome| outcome.word()).collect();
    let media = if rating.media.is_empty() { String::new() } else { format!(" ({})", rating.media.join(", ")) };
    let note = rating.note.as_ref().map(|note| format!(": {note}")).unwrap_or_default();
    format!("{}{media}{note}", words.join(", "))
}

fn clock(at: &str, context: &Context) -> String {
    let moment = at.parse::<jiff::Timestamp>().map(|at| at.to_zoned_datetime(context.now.time_zone().clone()));
    moment.map_or_else(|_| at.to_owned(), |at| at.strftime("%Y-%m-%d %H:%M").to_string())
}

fn document<'r>(answer: String, runs: impl Iterator<Item = &'r RatedRun>, unreadable: usize) -> Document<'r> {
    let runs = runs.map(|one| Shown { run: &one.run, rating: one.rating.as_ref() }).collect();
    Document { schema: "coatbell.history/1", version: env!("CARGO_PKG_VERSION"), answer, runs, unreadable }
}

fn list(history: &History, context: &Context) -> Result<Exit, Failure> {
    let answer = match history.runs.len() {
        0 => "No run is over yet: `coatbell seal PAGE` conducts one".to_owned(),
        1 => "1 past run".to_owned(),
        many => format!("{many} past runs, newest first"),
    };
    if context.format == Format::Json {
        output::json(context, &document(answer, history.runs.iter().rev(), history.unreadable.len()))?;
        return Ok(Exit::Done);
    }
    let mut all = vec![Paragraph::Text(answer)];
    for (place, one) in history.runs.iter().rev().enumerate() {
        let (run, said) = (&one.run, outcome_words(one.rating.as_ref()));
        let done = run.coats.iter().filter(|coat| coat.sprayed_at.is_some()).count();
        let day = clock(&run.started_at, context);
        all.push(Paragraph::Step(
            place + 1,
            format!("{day}  {}, {}, {}: {said}", run.title, run.sealer_name, plural(done, "coat")),
        ));
    }
    if !history.unreadable.is_empty() {
        all.push(Paragraph::Text(format!("{} entries cannot be read", history.unreadable.len())));
    }
    output::text(context, &paragraphs(&all, &context.look()))?;
    Ok(Exit::Done)
}

fn show(one: &RatedRun, context: &Context) -> Result<Exit, Failure> {
    let run = &one.run;
    let answer = format!("{}: {}", run.title, outcome_words(one.rating.as_ref()));
    if context.format == Format::Json {
        output::json(context, &document(answer, std::iter::once(one), 0))?;
        return Ok(Exit::Done);
    }
    let mut all = vec![
        Paragraph::Text(answer),
        Paragraph::Pair("run".to_owned(), run.id.clone()),
        Paragraph::Pair("sealer".to_owned(), format!("{}, about {:.0} g", run.sealer_name, run.grams_used)),
        Paragraph::Pair("paper".to_owned(), run.paper.clone()),
        Paragraph::Pair("media".to_owned(), run.media.join(", ")),
        Paragraph::Pair(
            "air".to_owned(),
            format!("{:.0} °C, {:.0} % humidity", run.temperature_c, run.relative_humidity_pct),
        ),
        Paragraph::Head("Coats".to_owned()),
    ];
    for coat in &run.coats {
        let done = match &coat.sprayed_at {
            Some(at) => format!("sprayed {}", clock(at, context)),
            None => "not sprayed".to_owned(),
        };
        let planned =
            coat.planned_at.as_ref().map(|at| format!(", planned {}", clock(at, context))).unwrap_or_default();
        let note = coat.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
        all.push(Paragraph::Step(
            coat.number,
            format!("{}, {:.0} cm: {done}{planned}{note}", coat.kind, coat.distance_cm),
        ));
    }
    if !run.mishaps.is_empty() {
        all.push(Paragraph::Head("What went wrong".to_owned()));
        for mishap in &run.mishaps {
            let coat = mishap.coat.map(|number| format!(", after coat {number}")).unwrap_or_default();
            let note = mishap.note.as_ref().map(|note| format!(": {note}")).unwrap_or_default();
            all.push(Paragraph::Bullet(format!("{} {}{coat}{note}", clock(&mishap.at, context), mishap.what)));
        }
    }
    output::text(context, &paragraphs(&all, &context.look()))?;
    Ok(Exit::Done)
}

fn export(history: &History, context: &Context) -> Result<Exit, Failure> {
    if context.format == Format::Json {
        let answer = plural(history.runs.len(), "past run");
        output::json(context, &document(answer, history.runs.iter(), history.unreadable.len()))?;
        return Ok(Exit::Done);
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    let head = [
        "id",
        "started_at",
        "finished_at",
        "title",
        "paper",
        "media",
        "sealer",
        "temperature_c",
        "relative_humidity_pct",
        "coats_planned",
        "coats_sprayed",
        "grams_used",
        "complete",
        "mishaps",
        "outcomes",
        "note",
    ];
    let mut write = |row: Vec<String>| {
        writer.write_record(row.iter().map(|cell| harmless(cell))).map_err(|error| Failure::Other(error.into()))
    };
    write(head.iter().map(|cell| (*cell).to_owned()).collect())?;
    for RatedRun { run, rating } in &history.runs {
        let outcomes = rating.iter().flat_map(|rating| rating.outcomes.iter().map(|outcome| outcome.word()));
        write(vec![
            run.id.clone(),
            run.started_at.clone(),
            run.finished_at.clone(),
            run.title.clone(),
            run.paper.clone(),
            run.media.join(" "),
            run.sealer.clone(),
            format!("{:.1}", run.temperature_c),
            format!("{:.0}", run.relative_humidity_pct),
            run.coats.len().to_string(),
            run.coats.iter().filter(|coat| coat.sprayed_at.is_some()).count().to_string(),
            format!("{:.1}", run.grams_used),
            run.complete.to_string(),
            run.mishaps.iter().map(|mishap| &*mishap.what).collect::<Vec<_>>().join(" "),
            outcomes.collect::<Vec<_>>().join(" "),
            rating.as_ref().and_then(|rating| rating.note.clone()).unwrap_or_default(),
        ])?;
    }
    let bytes = writer.into_inner().map_err(|error| Failure::Other(anyhow::anyhow!("{error}")))?;
    output::raw(context, &String::from_utf8_lossy(&bytes))?;
    Ok(Exit::Done)
}

/// A text that a spreadsheet does not take for a formula; a number below nothing is none.
fn harmless(cell: &str) -> String {
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && cell.parse::<f64>().is_err() {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}
