//! `coatbell history`: past runs, what was done when, how they turned out.

use clap::{Args, Subcommand};
use serde::Serialize;

use super::common::Format;
use super::measure::{keep, now, refused};
use super::seal::RunShelf;
use super::{Context, Exit, Failure, inputs, output, shelves};
use crate::diagnostic::Problem;
use crate::record::history::{Effect, Entry, History, Outcome, PastCoat, PastRun, RatedRun, Rating, read};
use crate::record::{CanRecord, Measurement, Reading};
use crate::report::{Paragraph, paragraphs};
use crate::run::{Pace, PageState, State};
use crate::store::{Log, StoreError, read_lines};

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
    let history = gather(context)?;
    match &arguments.action {
        None | Some(Action::List) => list(&history, context),
        Some(Action::Show { run }) => show(wanted(&history, run)?, context),
        Some(Action::Rate { run, outcomes, media, note }) => {
            rate(wanted(&history, run)?, (outcomes, media, note.as_deref()), context)
        }
        Some(Action::Export) => export(&history, context),
    }
}

/// Runs that are over, from their journals and from the history's own lines, with what was said of them.
fn gather(context: &Context) -> Result<History, Failure> {
    let folders = context.folders()?;
    let pace = Pace::of(&shelves::unmeasured(context, NAME)?.rules);
    let (found, bad) = RunShelf::of(&folders, false).all(&pace);
    let mut lines: Vec<String> = Vec::new();
    for one in found.iter().filter(|one| one.state.over()) {
        let stem = one.path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        for (place, page) in one.state.pages.iter().enumerate().filter(|(_, page)| !page.done.is_empty()) {
            let id = if place == 0 { stem.clone() } else { format!("{stem}-page-{}", place + 1) };
            lines.push(Entry::Run(past(id, &one.state, page)).to_line());
        }
    }
    lines.extend(read_lines(&folders.of("history.jsonl")).map_err(|error| store(&error))?.lines);
    let mut history = read(lines.iter().map(String::as_str));
    history.runs.sort_by(|one, other| one.run.started_at.cmp(&other.run.started_at));
    history.unreadable.extend(bad.iter().map(|_| 0));
    Ok(history)
}

fn past(id: String, state: &State, page: &PageState) -> PastRun {
    let kept = &page.spec.keepsake;
    let text = |key: &str| kept[key].as_str().map(str::to_owned);
    let number = |key: &str| kept[key].as_f64().unwrap_or(0.0);
    let planned = kept["coats"].as_array().cloned().unwrap_or_default();
    let mut coats: Vec<PastCoat> = planned
        .into_iter()
        .filter_map(|mut coat| {
            coat["planned_at"] = coat["starts_at"].clone();
            serde_json::from_value(coat).ok()
        })
        .collect();
    for done in &page.done {
        if let Some(coat) = coats.iter_mut().find(|coat| coat.number == done.coat.number) {
            coat.sprayed_at = Some(done.at.to_string());
            coat.note = (done.late_s >= 60).then(|| format!("{} min late", done.late_s / 60));
            coat.note = coat.note.take().or((done.early_s >= 60).then(|| format!("{} min early", done.early_s / 60)));
        }
    }
    PastRun {
        id,
        started_at: state.started_at.to_string(),
        finished_at: state.last_at.to_string(),
        complete: page.sprayed() && !state.cancelled,
        title: page.spec.title.clone(),
        page_file: Some(page.spec.file.clone()),
        paper: page.spec.paper.clone(),
        media: kept["media"]
            .as_array()
            .map(|media| media.iter().filter_map(|one| one.as_str().map(str::to_owned)).collect())
            .unwrap_or_default(),
        sealer: page.spec.sealer.clone(),
        sealer_name: page.spec.sealer_name.clone(),
        room: text("room"),
        temperature_c: number("temperature_c"),
        relative_humidity_pct: number("relative_humidity_pct"),
        coats,
        mishaps: Vec::new(),
        grams_used: page.done.iter().map(|done| done.coat.sealer_g).sum(),
    }
}

fn store(error: &StoreError) -> Failure {
    refused(Problem::new(error.code(), error.to_string()).with_hint(error.remedy()))
}

fn wanted<'h>(history: &'h History, written: &str) -> Result<&'h RatedRun, Failure> {
    history.find(written).ok_or_else(|| {
        let message = format!("there is no past run `{written}`");
        Failure::usage("unknown-run", message, "`coatbell history list` numbers them; 1 is the newest")
    })
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
            format!("{day}  {}, {}, {done} coats: {said}", run.title, run.sealer_name),
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
    output::text(context, &paragraphs(&all, &context.look()))?;
    Ok(Exit::Done)
}

fn rate(
    one: &RatedRun,
    (outcomes, media, note): (&[String], &[String], Option<&str>),
    context: &Context,
) -> Result<Exit, Failure> {
    let run = &one.run;
    let outcomes = outcomes.iter().map(|word| {
        Outcome::from_word(word).ok_or_else(|| {
            let words: Vec<&str> = Outcome::ALL.iter().map(|outcome| outcome.word()).collect();
            Failure::usage(
                "unknown-outcome",
                format!("`{word}` is no outcome"),
                format!("one of: {}", words.join(", ")),
            )
        })
    });
    let outcomes: Vec<Outcome> = outcomes.collect::<Result<_, _>>()?;
    if outcomes.len() > 1 && outcomes.contains(&Outcome::Good) {
        let hint = "say `good` alone, or what went wrong";
        return Err(Failure::usage("good-and-bad", "a run is good, or something went wrong with it", hint));
    }
    let plain = shelves::unmeasured(context, NAME)?;
    let named = media.iter().map(|medium| {
        let found = plain.medium(medium.trim());
        let found = found.map_err(|unknown| Failure::usage("unknown-medium", unknown.to_string(), unknown.hint()))?;
        if run.media.contains(&found.id) {
            return Ok(found.id.clone());
        }
        let message = format!("there was no {} on that page", found.id);
        Err(Failure::usage("not-on-page", message, format!("on it: {}", run.media.join(", "))))
    });
    let media: Vec<String> = named.collect::<Result<_, _>>()?;
    let too_wet = outcomes.iter().any(|outcome| outcome.effect() == Effect::TooWet);
    let rating =
        Rating { run: run.id.clone(), at: now(context), outcomes, media: media.clone(), note: note.map(str::to_owned) };
    let folders = context.folders()?;
    let (mut log, _) = Log::open(&folders.of("history.jsonl")).map_err(|error| store(&error))?;
    log.append(&Entry::Rating(rating.clone()).to_line()).map_err(|error| store(&error))?;
    let blamed = if media.is_empty() && run.media.len() == 1 { run.media.clone() } else { media };
    let mut answer = format!("Kept: {}: {}", run.title, outcome_words(Some(&rating)));
    if too_wet {
        answer.push_str(&heed(run, &blamed, &rating, &plain, context)?);
    }
    if context.format == Format::Json {
        let rated = RatedRun { run: run.clone(), rating: Some(rating) };
        output::json(context, &document(answer, std::iter::once(&rated), 0))?;
    } else {
        output::text(context, &paragraphs(&[Paragraph::Text(answer)], &context.look()))?;
    }
    Ok(Exit::Done)
}

/// Lowers what the media bear under that can: they failed under the first coat's film at the latest figure known.
fn heed(
    run: &PastRun,
    media: &[String],
    rating: &Rating,
    plain: &crate::catalog::Catalog,
    context: &Context,
) -> Result<String, Failure> {
    let Some(first) = run.coats.iter().find(|coat| coat.sprayed_at.is_some()) else { return Ok(String::new()) };
    if media.is_empty() {
        return Ok("; name the medium with `--media` and its next first coat will be drier".to_owned());
    }
    let Ok(sealer) = inputs::sealer(run.sealer.split(':').next().unwrap_or(&run.sealer), plain, context, NAME) else {
        return Ok(String::new());
    };
    let sealer = crate::catalog::Sealer { id: run.sealer.clone(), ..sealer };
    let mut record = shelves::can_record(&run.sealer, context, NAME)?.unwrap_or_else(|| CanRecord::new(&run.sealer));
    for medium in media {
        let reading = Reading::Scrap {
            medium: medium.clone(),
            wet_um: first.wet_film_um.p50,
            held: false,
            note: Some(format!("on {}", run.title)),
        };
        record.measurements.push(Measurement { at: rating.at.clone(), insisted: false, reading });
    }
    keep(&record, &sealer, plain, context)?;
    Ok(format!("; the next first coat over {} will be drier under this can", media.join(", ")))
}

fn export(history: &History, context: &Context) -> Result<Exit, Failure> {
    if context.format == Format::Json {
        let answer = format!("{} past runs", history.runs.len());
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
            outcomes.collect::<Vec<_>>().join(" "),
            rating.as_ref().and_then(|rating| rating.note.clone()).unwrap_or_default(),
        ])?;
    }
    let bytes = writer.into_inner().map_err(|error| Failure::Other(anyhow::anyhow!("{error}")))?;
    output::raw(context, &String::from_utf8_lossy(&bytes))?;
    Ok(Exit::Done)
}

/// A text that a spreadsheet does not take for a formula.
fn harmless(cell: &str) -> String {
    if cell.starts_with(['=', '+', '-', '@']) { format!("'{cell}") } else { cell.to_owned() }
}
