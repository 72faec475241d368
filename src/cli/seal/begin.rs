//! Beginning a run: page, plan, pre-flight, journal.

use std::io::Write as _;
use std::path::{Path, PathBuf};

use super::closing::{close, lies_behind};
use super::conduct::{Options, Stagehands, conduct};
use super::hold;
use super::journal::Journal;
use super::shelf::{Found, RunShelf, lock_words};
use super::{CanShelf, NAME, SealArguments};
use crate::catalog::Sealer;
use crate::cli::evening::is_batch;
use crate::cli::inputs::Inputs;
use crate::cli::{Context, Exit, Failure, shelves};
use crate::diagnostic::{Problem, escape_untrusted, plural};
use crate::finding::Level;
use crate::page::Sheet;
use crate::plan::{Plan, make};
use crate::report::{Look, identity, plan_json, plan_text, series_of};
use crate::run::{Conductor, Entry, NotRunnable, Pace, PageSpec, PreflightSpec, RunSpec, State, What};

/// Plans the page and conducts it.
pub(super) fn run(arguments: &SealArguments, speed: Option<f64>, context: &Context) -> Result<Exit, Failure> {
    let catalog = shelves::catalog(context, NAME)?;
    let named = arguments.sealer.named()?;
    let can_ask = super::conduct::can_ask(context);
    if !arguments.run.confirmed() && !can_ask {
        let message = "nobody can be asked here about the list before the first coat";
        let hint = "see to it, then add `--yes --masked --no-flames`; or run it in a terminal";
        return Err(Failure::usage("not-confirmed", message, hint));
    }
    if let Some(path) = arguments.page.page.as_deref().filter(|path| is_batch(Some(path))) {
        return super::evening::run(path, arguments, speed, &catalog, context);
    }
    if arguments.run.what_fits {
        let message = "`--what-fits` leaves pages of an evening out, and this is one page";
        return Err(Failure::usage("not-an-evening", message, "leave it out, or give a batch file"));
    }
    let inputs = Inputs::load(&arguments.page, named, &catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, &catalog)?;
    let plan = make(&inputs.request(&sheet, arguments.mask.kind(), context), &catalog);
    if plan.verdict == Level::Hold && speed.is_none() {
        let short = |look: &Look| plan_text(&plan, look);
        return hold::show(
            || plan_json(&plan),
            short,
            &plan.findings,
            "`coatbell plan` says what would change it",
            context,
        );
    }
    let sealer = inputs.sealers.first().or_else(|| catalog.sealers.get(&plan.sealer.id));
    let Some(sealer) = sealer else {
        return Err(Failure::Other(anyhow::anyhow!("the plan names a sealer that is not in the catalog")));
    };
    let pace = Pace::of(&catalog.rules);
    let spec = spec(&plan, sealer, &inputs, arguments, speed, context)?;
    begin(spec, &[sealer.can.left_g], arguments, &pace, context)
}

fn spec(
    plan: &Plan,
    sealer: &Sealer,
    inputs: &Inputs,
    arguments: &SealArguments,
    speed: Option<f64>,
    context: &Context,
) -> Result<RunSpec, Failure> {
    let now = context.now.timestamp();
    let file = page_key(arguments.page.page.as_deref(), &inputs.page_source.text);
    let print = identity([&*inputs.page_source.text]);
    let series =
        series_of(plan, &context.look()).unwrap_or_else(|| identity([&*file, &context.now.date().to_string()]));
    let mut page = PageSpec::of(plan, sealer, &file, &print, &series, now, speed.is_some()).map_err(|why| {
        let (message, hint) = match why {
            NotRunnable::NoCoats => ("this plan has nothing to spray", "see why with `coatbell plan`"),
            NotRunnable::NoTimes => ("a layer is still to be laid", "give each layer its `finished` time"),
        };
        Failure::Refused(Box::new(Problem::new("not-runnable", message).with_hint(hint)))
    })?;
    page.keepsake = keepsake(plan, arguments);
    let air = plan.air.as_ref();
    Ok(RunSpec {
        pages: vec![page],
        clear_unmasked_min: air.and_then(|air| air.clear_unmasked_min),
        clear_others_min: air.and_then(|air| air.clear_others_min),
        preflight: plan
            .preflight
            .iter()
            .map(|line| PreflightSpec { id: line.id.clone(), text: line.text.clone() })
            .collect(),
        rehearsal: speed,
        bench: None,
        began_at: now,
    })
}

/// What the history wants to know of the plan.
pub(super) fn keepsake(plan: &Plan, arguments: &SealArguments) -> serde_json::Value {
    let media: Vec<&str> = plan.layers.iter().map(|layer| layer.medium.as_str()).collect();
    serde_json::json!({
        "media": media,
        "room": arguments.page.room,
        "temperature_c": plan.room.temperature_c,
        "relative_humidity_pct": plan.room.relative_humidity_pct,
        "coats": plan.coats,
    })
}

/// The name of a page over time: its file wherever it is called from, or what it says.
pub(super) fn page_key(path: Option<&Path>, text: &str) -> String {
    let file = path.filter(|path| path.as_os_str() != "-");
    match file.map(|path| path.canonicalize().unwrap_or_else(|_| path.to_owned())) {
        Some(path) => path.to_string_lossy().into_owned(),
        None => format!("<command line> {}", identity([text])),
    }
}

/// What stands behind the file's name for the copies of a page: they are different sheets of one file.
const COPY_MARK: &str = " #";

/// The name of a copy of a page; the first one's is the page's own.
pub(super) fn copy_key(file: &str, copy: usize) -> String {
    if copy <= 1 { file.to_owned() } else { format!("{file}{COPY_MARK}{copy}") }
}

/// The file behind the name of a copy.
pub(super) fn file_of(key: &str) -> &str {
    match key.rsplit_once(COPY_MARK) {
        Some((file, copy)) if copy.parse::<usize>().is_ok() => file,
        _ => key,
    }
}

/// Writes the first line of the journal and conducts the run. `left_g` is what the can of each page still holds by its
/// file, in the order of the pages.
pub(super) fn begin(
    spec: RunSpec,
    left_g: &[Option<f64>],
    arguments: &SealArguments,
    pace: &Pace,
    context: &Context,
) -> Result<Exit, Failure> {
    let folders = context.folders()?;
    let shelf = RunShelf::of(&folders, spec.rehearsal.is_some());
    let now = context.now.timestamp();
    let entry = Entry::new(now, What::Started { spec: Box::new(spec) });
    let Some(state) = State::fold(std::slice::from_ref(&entry), pace) else {
        return Err(Failure::Other(anyhow::anyhow!("a run without a start")));
    };
    unfinished(&shelf, &state, pace, context)?;
    let locks = match shelf.take(&state, &context.now) {
        Ok(locks) => locks,
        Err(error @ crate::store::StoreError::Held { .. }) => return Err(lock_words(error)),
        // Without a place for locks there is none for the journal either: said below, and the run goes on.
        Err(_) => Vec::new(),
    };
    let path: PathBuf = shelf.new_journal(&state.title(), &state.pages[0].spec.file, &context.now);
    let mut journal = Journal::open(&path).map_or_else(|_| Journal::in_trouble(&path), |(journal, _)| journal);
    let journal_trouble = journal.write(entry).err();
    let cans = CanShelf::of(&folders);
    if !state.rehearsal() {
        if let Some(aside) = cans.set_aside() {
            let aside = escape_untrusted(&aside.display().to_string());
            let _ = writeln!(
                std::io::stderr().lock(),
                "note: what was left in the cans cannot be read; that file is now `{aside}`, and each can counts as full\n\
                 hint: write `left` into the file of a can that is not"
            );
        }
        // A can that is not counted is no reason not to seal; the journal's trouble says the same.
        let _ = state
            .pages
            .iter()
            .zip(left_g)
            .map(|(page, left_g)| cans.begin(&page.spec, *left_g))
            .collect::<Result<Vec<_>, _>>();
    }
    let conductor = Conductor::new(state, context.now.time_zone().clone(), context.units);
    let hands =
        Stagehands { journal, cans, folders, locks, journal_trouble: journal_trouble.map(|error| error.to_string()) };
    conduct(conductor, hands, &Options::of(arguments), false, context)
}

/// A run of the same page that nobody conducts any more has to be ended first: its coats are on the page.
fn unfinished(shelf: &RunShelf, state: &State, pace: &Pace, context: &Context) -> Result<(), Failure> {
    let (found, _) = shelf.all(pace);
    let same = |other: &Found| {
        !other.state.over()
            && other.state.pages.iter().any(|page| state.pages.iter().any(|own| own.spec.file == page.spec.file))
    };
    let Some(other) = found.into_iter().rev().find(same) else { return Ok(()) };
    // Somebody is at it: taking the page says who.
    if other.state.pages.iter().any(|page| shelf.holder(&page.spec.file).is_some()) {
        return Ok(());
    }
    // A rehearsal left behind is in nobody's way.
    if other.state.rehearsal() {
        return Ok(());
    }
    if lies_behind(&other.state, &context.now) && close(shelf, &other, &context.folders()?, &context.now).is_some() {
        return Ok(());
    }
    let on: usize = other.state.pages.iter().map(|page| page.done.len()).sum();
    let (title, coats) = (other.state.title(), plural(on, "coat"));
    let message = format!("a run of \"{title}\" is under way already, with {coats} on");
    let hint = "go on with `coatbell seal --resume`, or give it up with `coatbell seal --cancel`";
    Err(Failure::Refused(Box::new(Problem::new("run-under-way", message).with_hint(hint))))
}
