//! Conducting an evening of pages: the schedule of a batch file becomes one run of many pages.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;
use std::sync::Arc;

use jiff::{SignedDuration, Timestamp};

use super::begin::{begin, copy_key, keepsake, page_key};
use super::hold;
use super::{NAME, SealArguments};
use crate::batch::{Evening, EveningPage};
use crate::catalog::{Catalog, Sealer};
use crate::cli::evening::{Loaded, scheduled_as_usual};
use crate::cli::{Context, Exit, Failure};
use crate::diagnostic::{Problem, plural};
use crate::finding::Level;
use crate::report::{Look, evening_text, identity, to_json};
use crate::run::{Pace, PageSpec, PreflightSpec, RunSpec};

/// Schedules the evening and conducts it.
pub(super) fn run(
    path: &Path,
    arguments: &SealArguments,
    speed: Option<f64>,
    catalog: &Catalog,
    context: &Context,
) -> Result<Exit, Failure> {
    let (evening, loaded) =
        scheduled_as_usual(path, &arguments.page, arguments.sealer.named()?, &arguments.mask, catalog, context, NAME)?;
    let left_out = only_left_out(&evening);
    if evening.verdict == Level::Hold && speed.is_none() && !(arguments.run.what_fits && left_out.is_some()) {
        let short = |look: &Look| evening_text(&evening, look);
        let mut else_what = "`coatbell batch` says what would change it".to_owned();
        if let Some(fit) = left_out {
            let fits = if fit == 1 { "fits" } else { "fit" };
            let _ = write!(else_what, "; `--what-fits` conducts the {} that {fits}", plural(fit, "page"));
        }
        return hold::show(|| to_json(&evening), short, &evening.findings, &else_what, context);
    }
    let (spec, left_g) = spec(&evening, &loaded, path, arguments, speed, catalog, context)?;
    begin(spec, &left_g, arguments, &Pace::of(&catalog.rules), context)
}

/// How many pages fit, where the evening is on hold for nothing but the ones that do not.
fn only_left_out(evening: &Evening) -> Option<usize> {
    let mut holds = evening.findings.iter().filter(|finding| finding.level == Level::Hold);
    let fit = evening.pages.iter().filter(|page| page.fits).count();
    let some_out = fit < evening.pages.len() && holds.all(|finding| finding.code == "page-does-not-fit");
    (fit > 0 && some_out).then_some(fit)
}

/// The evening as a run of the pages that fit, in the order of their first coats, with what each can still holds.
fn spec(
    evening: &Evening,
    loaded: &Loaded,
    path: &Path,
    arguments: &SealArguments,
    speed: Option<f64>,
    catalog: &Catalog,
    context: &Context,
) -> Result<(RunSpec, Vec<Option<f64>>), Failure> {
    let now = context.now.timestamp();
    let mut pages: Vec<(PageSpec, Option<f64>, (usize, usize))> = Vec::new();
    // A rehearsal begins now, however far off the evening is.
    let first = evening.steps.iter().filter_map(|step| step.starts_at.parse::<Timestamp>().ok()).min();
    let shift = match (speed, first) {
        (Some(_), Some(first)) => now.duration_since(first),
        _ => SignedDuration::ZERO,
    };
    let return_masked = evening.air.as_ref().and_then(|air| air.return_masked_min);
    // A file that stands in several entries goes on counting its copies: each sheet has a name of its own.
    let mut copies: BTreeMap<String, usize> = BTreeMap::new();
    for page in &evening.pages {
        let place = loaded.places[page.page - 1];
        let file = page_key(Some(&loaded.path_of(path, place)), "");
        let copy = copies.entry(file.clone()).or_default();
        *copy += 1;
        let Some(entry) = evening.plans.get(page.plan).filter(|_| page.fits) else { continue };
        let sealer = sealer_of(loaded, place, &entry.plan.sealer.id, catalog)?;
        let key = copy_key(&file, *copy);
        let series = identity([&*key, &context.now.date().to_string()]);
        let print = identity([loaded.text_of(place)]);
        let mut spec = PageSpec::of(&entry.plan, sealer, &key, &print, &series, now, speed.is_some())
            .map_err(|_| nothing_to_spray(page))?;
        spec.title = evening.name_of(page.page, page.copy, &page.title);
        spec.keepsake = keepsake(&entry.plan, arguments);
        let starts: Vec<Timestamp> = evening
            .steps
            .iter()
            .filter(|step| step.page == page.page && step.copy == page.copy)
            .filter_map(|step| step.starts_at.parse::<Timestamp>().ok())
            .map(|start| start.checked_add(shift).unwrap_or(start))
            .collect();
        pages.push((spec.at_shared_bench(&starts, return_masked), sealer.can.left_g, (page.page, page.copy)));
    }
    pages.sort_by_key(|(page, ..)| page.first_at);
    let sheets: Vec<(usize, usize)> = pages.iter().map(|(.., sheet)| *sheet).collect();
    let bench = evening.bench.with(&sheets, shift);
    let (pages, left_g): (Vec<PageSpec>, Vec<Option<f64>>) =
        pages.into_iter().map(|(page, left_g, _)| (page, left_g)).unzip();
    if pages.is_empty() {
        let problem = Problem::new("not-runnable", evening.answer.clone());
        return Err(Failure::Refused(Box::new(problem.with_hint("see why with `coatbell batch`"))));
    }
    let mut preflight: Vec<PreflightSpec> = Vec::new();
    let sprayed: BTreeSet<usize> = evening.pages.iter().filter(|page| page.fits).map(|page| page.plan).collect();
    for line in sprayed.iter().filter_map(|plan| evening.plans.get(*plan)).flat_map(|entry| &entry.plan.preflight) {
        if !preflight.iter().any(|known| known.text == line.text) {
            preflight.push(PreflightSpec { id: line.id.clone(), text: line.text.clone() });
        }
    }
    let air = evening.air.as_ref();
    let spec = RunSpec {
        pages,
        clear_unmasked_min: air.and_then(|air| air.clear_unmasked_min),
        clear_others_min: air.and_then(|air| air.clear_others_min),
        preflight,
        rehearsal: speed,
        bench: Some(Arc::new(bench)),
        began_at: now,
    };
    Ok((spec, left_g))
}

/// The person's own can of a page, or the built-in sealer its plan chose.
fn sealer_of<'a>(loaded: &'a Loaded, place: usize, id: &str, catalog: &'a Catalog) -> Result<&'a Sealer, Failure> {
    let own = loaded.pages[place].sealer.as_ref();
    own.or_else(|| catalog.sealers.get(id))
        .ok_or_else(|| Failure::Other(anyhow::anyhow!("the plan names a sealer that is not in the catalog")))
}

fn nothing_to_spray(page: &EveningPage) -> Failure {
    let problem = Problem::new("not-runnable", format!("\"{}\" has nothing to spray, or no times", page.title));
    Failure::Refused(Box::new(problem.with_hint("see why with `coatbell plan`")))
}
