//! `coatbell scrap`: the test that would settle what a page's plan is unsure of, and what came of it.

use clap::{Args, Subcommand};

use super::common::Format;
use super::inputs::Inputs;
use super::measure::{now, refused, show};
use super::page_arguments::{OneSealer, PageArguments};
use super::{Context, Exit, Failure, cans, output, shelves, typed};
use crate::caution;
use crate::diagnostic::Problem;
use crate::finding::Level;
use crate::page::Sheet;
use crate::plan::{Plan, make};
use crate::quantity::Length;
use crate::record::history::{Effect, Outcome};
use crate::record::{Measurement, Reading, ScrapSheet, scrap_sheet};
use crate::report::{Paragraph, paragraphs};

const NAME: &str = "scrap";

const EXAMPLES: &str = "\
Examples:
  coatbell scrap page.toml --sealer acrylic-gloss
  coatbell scrap record --sealer acrylic-gloss --medium alcohol-marker --film \"6 um\" --result held
  coatbell scrap record --sealer acrylic-gloss --medium wax-pencil --zone build --film \"22 um\" --result lifted
";

/// A zone of the scrap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Zone {
    /// The mist alone.
    Mist,
    /// Mist and one build.
    Build,
    /// All coats.
    Full,
}

/// What `scrap` takes.
#[derive(Debug, Args)]
#[command(
    before_help = EXAMPLES,
    help_template = super::arguments::HELP_TEMPLATE,
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true
)]
pub(super) struct ScrapArguments {
    #[command(subcommand)]
    action: Option<Action>,
    #[command(flatten)]
    page: PageArguments,
    #[command(flatten)]
    sealer: OneSealer,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// Keep what a scrap showed: the coats of this can then heed it
    ///
    /// A medium that did not hold gets at most 70 % of that film from then on: as a first coat, or as a build if it was
    /// seen in a zone with builds. One that held under the mist may get a first coat of up to one and a half times that
    /// film, never past what is known of the medium. No warning about the air becomes milder by it.
    #[command(before_help = EXAMPLES, help_template = super::arguments::HELP_TEMPLATE)]
    Record {
        /// The sealer: a name, or the file of your own can
        #[arg(long, value_name = "SEALER")]
        sealer: String,
        /// The medium
        #[arg(long, value_name = "MEDIUM")]
        medium: String,
        /// Wet film of the zone, as `scrap PAGE` says it
        #[arg(long, value_name = "FILM")]
        film: String,
        /// Zone in which you saw it: mist, build or full
        #[arg(long, value_enum, default_value_t = Zone::Mist)]
        zone: Zone,
        /// What you saw: held, bled, lifted, pooled …
        #[arg(long, value_name = "WORD")]
        result: String,
        /// In your own words
        #[arg(long, value_name = "TEXT")]
        note: Option<String>,
    },
}

/// Prints the test, or keeps its result.
pub(super) fn run(arguments: &ScrapArguments, context: &Context) -> Result<Exit, Failure> {
    if let Some(Action::Record { sealer, medium, film, zone, result, note }) = &arguments.action {
        return record((sealer, medium), (film, *zone, result), note.as_deref(), context);
    }
    let catalog = shelves::catalog(context, NAME)?;
    let inputs = Inputs::load(&arguments.page, arguments.sealer.named()?, &catalog, context, NAME)?;
    let sheet = Sheet::resolve(&inputs.page, &inputs.page_source, &catalog)?;
    let plan = make(&inputs.request(&sheet, None, context), &catalog);
    let look_for = |medium: &str| look_for(catalog.media.get(medium).map_or("", |found| found.group.as_str()));
    let test = scrap_sheet(&plan, look_for);
    match context.format {
        Format::Json => output::json(context, &test)?,
        Format::Text => output::text(context, &paragraphs(&text(&test, &plan, context.quiet), &context.look()))?,
    }
    // A scrap is sprayed in the same air as the page.
    Ok(Exit::of(plan.verdict, context.exit_zero))
}

/// What fails first, by the group of a medium.
fn look_for(group: &str) -> String {
    let has = |parts: &[&str]| parts.iter().any(|part| group.contains(part));
    let text = if has(&["marker", "dye", "ink"]) {
        "colour that ran past its edge: measure how far"
    } else if has(&["wax", "oil", "pencil"]) {
        "haze, beads of sealer, colour that comes off when rubbed"
    } else if has(&["metal", "shimmer", "glitter", "iridescent"]) {
        "sparkle that went dull"
    } else if has(&["pastel", "charcoal", "graphite", "dry"]) {
        "powder that moved or darkened"
    } else {
        "colour that ran or lifted, haze, a darker tone"
    };
    text.to_owned()
}

fn text(test: &ScrapSheet, plan: &Plan, quiet: bool) -> Vec<Paragraph> {
    let title = format!("Scrap test on {} with {}", test.paper, plan.sealer.name);
    let mut all = match plan.verdict {
        Level::Hold => vec![Paragraph::Verdict(Level::Hold, plan.answer.clone()), Paragraph::Text(title)],
        _ => vec![Paragraph::Text(title)],
    };
    all.push(Paragraph::Head("What to look for".to_owned()));
    all.extend(test.bars.iter().map(|bar| Paragraph::Bullet(format!("{}: {}", bar.medium, bar.look_for))));
    all.push(Paragraph::Head("How".to_owned()));
    all.extend(test.steps.iter().enumerate().map(|(place, step)| Paragraph::Step(place + 1, step.clone())));
    all.push(Paragraph::Head("Grid to copy".to_owned()));
    all.extend(test.grid.iter().cloned().map(Paragraph::Drawn));
    if quiet {
        all.push(Paragraph::Text(caution::IN_ONE_LINE.to_owned()));
    } else {
        all.push(Paragraph::Head("For your safety".to_owned()));
        all.extend(test.cautions.iter().map(|line| Paragraph::Bullet(format!("{line}."))));
    }
    all
}

fn record(
    (sealer, medium): (&str, &str),
    (film, zone, result): (&str, Zone, &str),
    note: Option<&str>,
    context: &Context,
) -> Result<Exit, Failure> {
    let plain = shelves::unmeasured(context, NAME)?;
    let _alone = cans::alone(context)?;
    let mut can = cans::named(sealer, &plain, context, NAME)?;
    let medium = plain
        .medium(medium)
        .map_err(|unknown| Failure::usage("unknown-medium", unknown.to_string(), unknown.hint()))?;
    let wet_um = 1e6 * typed::quantity::<Length>("--film", film)?;
    if !(0.5..=200.0).contains(&wet_um) {
        let message = format!("a wet film of {wet_um:.1} µm is none that a can lays");
        return Err(Failure::usage(
            "no-film",
            message,
            "take the film of the zone from `coatbell scrap PAGE`, as `7 um`",
        ));
    }
    let Some(outcome) = Outcome::from_word(result) else {
        let words: Vec<&str> = Outcome::ALL.iter().map(|outcome| outcome.word()).collect();
        let message = format!("`{result}` is no outcome");
        return Err(Failure::usage("unknown-outcome", message, format!("one of: held, {}", words.join(", "))));
    };
    let held = match outcome.effect() {
        Effect::Held => true,
        Effect::TooWet => false,
        Effect::None => {
            let message = format!("`{}` says nothing about how wet a first coat may be", outcome.word());
            let problem = Problem::new("no-effect", message);
            let hint = "say `held`, `bled`, `lifted` or `pooled`; keep the rest with `coatbell history rate`";
            return Err(refused(problem.with_hint(hint)));
        }
    };
    let over_mist = zone != Zone::Mist;
    let reading =
        Reading::Scrap { medium: medium.id.clone(), wet_um, held, over_mist, run: None, note: note.map(str::to_owned) };
    can.record.measurements.push(Measurement { at: now(context), insisted: false, reading });
    can.keep(&plain, context)?;
    let coats = &plain.rules.coats;
    let name = crate::diagnostic::sentence_start(&medium.name);
    let answer = match (held, over_mist) {
        (true, false) => format!(
            "Kept: {name} held under {wet_um:.1} µm; its first coat may now be planned up to {:.1} µm, but never past \
             what is known of it",
            wet_um * coats.held_cap_factor.get()
        ),
        (true, true) => {
            format!("Kept: {name} held under {wet_um:.1} µm over its mist; builds stay as they are planned")
        }
        (false, false) => format!(
            "Kept: {name} did not hold under {wet_um:.1} µm; its first coat is now planned at {:.1} µm or less",
            wet_um * coats.after_bleed_share.get()
        ),
        (false, true) => format!(
            "Kept: {name} did not hold under {wet_um:.1} µm over its mist; builds over it now stay under {:.1} µm",
            wet_um * coats.after_bleed_share.get()
        ),
    };
    show(&answer, &can, &plain, context)
}
