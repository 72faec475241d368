//! The answer to a bare bench problem as a document: the steps in order, the pages, the bound and what it means.

use serde::Serialize;

use super::problem::{Problem, Tick};
use super::solve::{Answer, Effort, UnfitReason};
use crate::caution;
use crate::diagnostic::plural;
use crate::estimate::Basis;
use crate::finding::{Finding, Level, verdict};
use crate::quantity::minutes_in_words;

/// The schedule of a bench problem.
#[derive(Debug, Clone, Serialize)]
pub struct BenchDocument {
    /// `coatbell.batch/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// What was scheduled.
    pub inputs: BenchEcho,
    /// `go`, or `hold` if something does not fit.
    pub verdict: Level,
    /// The answer in one line.
    pub answer: String,
    /// What was noticed.
    pub findings: Vec<Finding>,
    /// The short cautions.
    pub cautions: Vec<String>,
    /// Name of the problem.
    pub instance: String,
    /// End of the last page, min.
    pub makespan_min: f64,
    /// No schedule of the pages sprayed ends before, min.
    pub lower_bound_min: f64,
    /// How far the schedule may at most be from the best, per cent.
    pub gap_pct: f64,
    /// Whether it is proved that nothing ends earlier.
    pub proved: bool,
    /// Whether the search was told to stop before it was through; this is the best it had.
    pub stopped: bool,
    /// Work asked for.
    pub effort: &'static str,
    /// Coats in the order they are sprayed.
    pub steps: Vec<Step>,
    /// Pages in the order of the problem.
    pub pages: Vec<PageFit>,
    /// Most pages on the rack at once.
    pub rack_peak: usize,
    /// Cans used.
    pub cans: Vec<CanUse>,
    /// Minutes that begun pages wait beyond their least waits.
    pub wet_wait_min: f64,
    /// Changes of can.
    pub changeovers: usize,
    /// The air; absent where it does not limit.
    pub air: Option<BenchAirPart>,
    /// The same in ticks: for each page the starts of its coats.
    pub starts: Vec<Vec<Tick>>,
    /// End of the last page, ticks.
    pub makespan_ticks: Tick,
    /// The bound, ticks.
    pub lower_bound_ticks: Tick,
}

/// What was scheduled.
#[derive(Debug, Clone, Serialize)]
pub struct BenchEcho {
    /// Length of a tick, s.
    pub tick_s: f64,
    /// Number of pages.
    pub pages: usize,
    /// Number of coats.
    pub coats: usize,
    /// Pages the rack holds.
    pub rack: Option<usize>,
    /// End of the session, min.
    pub session_end_min: Option<f64>,
    /// Breaks, min.
    pub breaks_min: Vec<[f64; 2]>,
}

/// One coat of the evening.
#[derive(Debug, Clone, Serialize)]
pub struct Step {
    /// Page, from 1 in the order of the problem.
    pub page: usize,
    /// Copy, from 1.
    pub copy: usize,
    /// Name of the page.
    pub title: String,
    /// Coat of the page, from 1.
    pub coat: usize,
    /// Mist or build; absent in a bare problem.
    pub kind: Option<String>,
    /// Can.
    pub sealer: String,
    /// Clock time; absent in a bare problem.
    pub starts_at: Option<String>,
    /// Start, min from the start of the session.
    pub start_min: f64,
    /// End, min.
    pub end_min: f64,
    /// Until the next coat of the page, or until it may leave the rack, min.
    pub wait_min: f64,
}

/// Whether a page fits.
#[derive(Debug, Clone, Serialize)]
pub struct PageFit {
    /// Page, from 1.
    pub page: usize,
    /// Name of the page.
    pub title: String,
    /// Whether it is sprayed in this session.
    pub fits: bool,
    /// Why not.
    pub reason: Option<String>,
    /// When it would be done alone if the session did not end; absent in a bare problem.
    pub would_fit_at: Option<String>,
}

/// A can that is used.
#[derive(Debug, Clone, Serialize)]
pub struct CanUse {
    /// Can.
    pub sealer: String,
    /// Mass needed; absent in a bare problem.
    pub grams: Option<f64>,
    /// Cans needed; absent in a bare problem.
    pub cans: Option<usize>,
    /// Coats sprayed from it.
    pub coats: usize,
}

/// The air of the evening.
#[derive(Debug, Clone, Serialize)]
pub struct BenchAirPart {
    /// Greatest index.
    pub room_index_peak: f64,
    /// Its ceiling.
    pub ceiling: f64,
    /// Mean over eight hours that the operator breathes.
    pub index_8h: f64,
    /// Its limit.
    pub limit_8h: f64,
}

/// The document of an answer to a bare bench problem.
pub fn bench_document(problem: &Problem, answer: &Answer, effort: Effort) -> BenchDocument {
    let minutes = |ticks: Tick| ticks as f64 * problem.tick_min();
    let findings = findings(problem, answer);
    let (measures, starts) = (&answer.measures, &answer.schedule.starts);
    BenchDocument {
        schema: "coatbell.batch/1",
        version: env!("CARGO_PKG_VERSION"),
        inputs: BenchEcho {
            tick_s: problem.tick_s,
            pages: problem.pages.len(),
            coats: problem.coat_count(),
            rack: problem.rack_slots,
            session_end_min: problem.session_end.map(minutes),
            breaks_min: problem.pauses.iter().map(|pause| [minutes(pause.start), minutes(pause.end)]).collect(),
        },
        verdict: verdict(&findings),
        answer: sentence(problem, answer),
        findings,
        cautions: caution::in_full(),
        instance: problem.name.clone(),
        makespan_min: minutes(measures.makespan),
        lower_bound_min: minutes(answer.lower_bound),
        gap_pct: answer.gap_pct(),
        proved: answer.proved,
        stopped: answer.stopped,
        effort: effort.word(),
        steps: steps(problem, answer),
        pages: pages(problem, answer),
        rack_peak: measures.rack_peak,
        cans: cans(problem, answer),
        wet_wait_min: minutes(measures.wet_wait),
        changeovers: measures.changeovers,
        air: problem.air.as_ref().map(|air| BenchAirPart {
            room_index_peak: measures.index_peak.unwrap_or(0.0),
            ceiling: air.ceiling,
            index_8h: measures.dose.unwrap_or(0.0),
            limit_8h: air.dose_limit,
        }),
        starts: starts.clone(),
        makespan_ticks: measures.makespan,
        lower_bound_ticks: answer.lower_bound,
    }
}

/// Minutes in words, a begun minute counting whole.
fn in_words(problem: &Problem, ticks: Tick) -> String {
    minutes_in_words(libm::ceil(ticks as f64 * problem.tick_min() - 1e-9) as i64)
}

fn sentence(problem: &Problem, answer: &Answer) -> String {
    let all = problem.pages.len();
    let sprayed = all - answer.unfit.len();
    let time = in_words(problem, answer.measures.makespan);
    let how_good = if answer.proved {
        "no order is quicker".to_owned()
    } else {
        format!("no order is more than {:.0} % quicker", libm::ceil(quicker_pct(answer)))
    };
    match (sprayed, all) {
        (0, _) => format!("None of {} fits", plural(all, "page")),
        (sprayed, all) if sprayed == all => format!("{} in {time}; {how_good}", plural(all, "page")),
        (sprayed, all) => format!("{sprayed} of {} in {time}; the rest do not fit", plural(all, "page")),
    }
}

/// By how much the best possible may at most be quicker, per cent of this schedule.
fn quicker_pct(answer: &Answer) -> f64 {
    let makespan = answer.measures.makespan.max(1) as f64;
    100.0 * (makespan - answer.lower_bound as f64) / makespan
}

fn reason(problem: &Problem, reason: UnfitReason) -> (String, &'static str) {
    match reason {
        UnfitReason::NeverAlone => (
            "its recoat windows close before a change of can, a break or the air lets the next coat be sprayed"
                .to_owned(),
            "Ventilate more, move a break, or spray thinner coats from one can",
        ),
        UnfitReason::SessionTooShort(end) => (
            format!("even alone it would take until {} after the start", in_words(problem, end)),
            "End the session later, or keep the page for another day",
        ),
        UnfitReason::NoRoom => (
            "there is no room for it beside the others before the session ends".to_owned(),
            "End the session later, or keep the page for another day",
        ),
    }
}

fn findings(problem: &Problem, answer: &Answer) -> Vec<Finding> {
    let mut found = Vec::new();
    for unfit in &answer.unfit {
        let (why, cure) = reason(problem, unfit.reason);
        let text =
            format!("{} does not fit: {why}", crate::diagnostic::sentence_start(&problem.pages[unfit.page].label));
        found.push(Finding::new("page-does-not-fit", Level::Hold, text, Basis::Estimate).remedy(cure));
    }
    if !answer.dose_allowed {
        let text = "The operator would breathe more over eight hours than the limit allows";
        let cure = "Ventilate more, leave the room between coats, or spray fewer pages";
        found.push(Finding::new("dose-over-limit", Level::Hold, text, Basis::Estimate).remedy(cure));
    }
    if answer.stopped {
        found.push(search_stopped());
    }
    found
}

/// That a search was stopped.
pub(super) fn search_stopped() -> Finding {
    let text = "The search was stopped before it was through; this is the best it had found, and it keeps every rule";
    Finding::new("search-stopped", Level::Note, text, Basis::Estimate).remedy("Let it run on for a better one")
}

fn steps(problem: &Problem, answer: &Answer) -> Vec<Step> {
    let minutes = |ticks: Tick| ticks as f64 * problem.tick_min();
    let mut steps: Vec<(Tick, Step)> = Vec::new();
    for (number, (page, starts)) in problem.pages.iter().zip(&answer.schedule.starts).enumerate() {
        for (index, (coat, start)) in page.coats.iter().zip(starts).enumerate() {
            let end = start + coat.spray;
            let wait = starts.get(index + 1).map_or(page.final_dry, |next| next - end);
            let step = Step {
                page: number + 1,
                copy: 1,
                title: page.label.clone(),
                coat: index + 1,
                kind: None,
                sealer: format!("can {}", coat.can),
                starts_at: None,
                start_min: minutes(*start),
                end_min: minutes(end),
                wait_min: minutes(wait),
            };
            steps.push((*start, step));
        }
    }
    steps.sort_by_key(|(start, _)| *start);
    steps.into_iter().map(|(_, step)| step).collect()
}

fn pages(problem: &Problem, answer: &Answer) -> Vec<PageFit> {
    problem
        .pages
        .iter()
        .enumerate()
        .map(|(number, page)| {
            let unfit = answer.unfit.iter().find(|unfit| unfit.page == number);
            PageFit {
                page: number + 1,
                title: page.label.clone(),
                fits: unfit.is_none(),
                reason: unfit.map(|unfit| reason(problem, unfit.reason).0),
                would_fit_at: None,
            }
        })
        .collect()
}

fn cans(problem: &Problem, answer: &Answer) -> Vec<CanUse> {
    let mut coats = vec![0; problem.setup.len()];
    for (page, starts) in problem.pages.iter().zip(&answer.schedule.starts) {
        for (coat, _) in page.coats.iter().zip(starts) {
            coats[coat.can] += 1;
        }
    }
    let used = coats.into_iter().enumerate().filter(|(_, coats)| *coats > 0);
    used.map(|(can, coats)| CanUse { sealer: format!("can {can}"), grams: None, cans: None, coats }).collect()
}
