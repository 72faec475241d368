//! What makes a problem impossible to schedule, found before any search.

use super::air::AirKernel;
use super::problem::{Problem, Tick};

/// Most ticks any single figure of a problem may have, so that sums never overflow: over a year of half-minutes.
pub const MOST_TICKS: Tick = 2_000_000;
/// Smallest and largest figure of a room's air: beyond them no room is meant, and times have no end.
const LEAST_OF_AIR: f64 = 1e-6;
const MOST_OF_AIR: f64 = 1e9;
/// Shortest and longest tick, s: a millisecond and a day. Beyond them times in minutes are nothing or overflow.
const SHORTEST_TICK_S: f64 = 0.001;
const LONGEST_TICK_S: f64 = 86_400.0;
/// Latest end of a session, ticks.
pub(super) const LONGEST_SESSION: Tick = 10 * MOST_TICKS;
/// Most pages of one problem.
pub const MOST_PAGES: usize = 5_000;
/// Most coats of one problem.
pub const MOST_COATS: usize = 40_000;

/// Where in the problem a fault lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Site {
    /// The problem as a whole.
    Whole,
    /// The number of pages.
    Pages,
    /// The rack.
    Rack,
    /// The can in the hand at the start.
    InitialCan,
    /// The table of changeovers.
    Setup,
    /// A break, from 0.
    Pause(usize),
    /// The end of the session.
    SessionEnd,
    /// The air of the room.
    Air,
    /// A page, from 0.
    Page(usize),
    /// A coat of a page, both from 0.
    Coat(usize, usize),
}

/// One thing that makes a problem impossible, with its cure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Stable code.
    pub code: &'static str,
    /// Where it lies.
    pub site: Site,
    /// What is wrong: lower case, no full stop.
    pub message: String,
    /// What to do.
    pub hint: String,
}

/// Collects faults.
struct Faults(Vec<Fault>);

impl Faults {
    fn add(&mut self, code: &'static str, site: Site, message: String, hint: &str) {
        self.0.push(Fault { code, site, message, hint: hint.to_owned() });
    }
}

pub(super) fn faults(problem: &Problem) -> Vec<Fault> {
    let mut found = Faults(Vec::new());
    whole(problem, &mut found);
    if problem.pages.len() > MOST_PAGES || problem.coat_count() > MOST_COATS {
        // Nothing is gained by listing faults of a hundred thousand pages.
        return found.0;
    }
    bench(problem, &mut found);
    for number in 0..problem.pages.len() {
        page(problem, number, &mut found);
    }
    if found.0.is_empty() {
        air_of_single_coats(problem, &mut found);
    }
    found.0
}

fn whole(problem: &Problem, found: &mut Faults) {
    let (pages, coats) = (problem.pages.len(), problem.coat_count());
    if pages == 0 {
        found.add("no-pages", Site::Pages, "there is no page to spray".into(), "list at least one page under `pages`");
    }
    if pages > MOST_PAGES {
        let message = format!("{pages} pages are more than one bench can be planned for (at most {MOST_PAGES})");
        found.add("too-many-pages", Site::Pages, message, "split the batch into several sessions");
    } else if coats > MOST_COATS {
        let message = format!("{coats} coats are more than one bench can be planned for (at most {MOST_COATS})");
        found.add("too-many-coats", Site::Pages, message, "split the batch into several sessions");
    }
    if !(SHORTEST_TICK_S..=LONGEST_TICK_S).contains(&problem.tick_s) {
        let message =
            format!("a tick lasts from {SHORTEST_TICK_S} s to {LONGEST_TICK_S} s, not {:e} s", problem.tick_s);
        found.add("bad-tick", Site::Whole, message, "set `tick_s` to 30");
    }
}

fn bench(problem: &Problem, found: &mut Faults) {
    if problem.rack_slots == Some(0) {
        let hint = "set `rack_slots` to the number of pages that can dry at once, or `null` for no limit";
        found.add("rack-empty", Site::Rack, "a rack of 0 holds no page".into(), hint);
    }
    let cans = problem.setup.len();
    if cans == 0 || problem.setup.iter().any(|row| row.len() != cans) {
        let hint = "give one row and one column a can; `[[0]]` for a single can";
        found.add("setup-not-square", Site::Setup, "the table of changeovers is not square".into(), hint);
    }
    if problem.setup.iter().flatten().any(|ticks| !(0..=MOST_TICKS).contains(ticks)) {
        let message = format!("a changeover takes from 0 to {MOST_TICKS} ticks");
        found.add("setup-out-of-range", Site::Setup, message, "correct the table `setup`");
    }
    if problem.initial_can >= cans {
        let message = format!("can {} is not among the {cans} cans of `setup`", problem.initial_can);
        found.add("unknown-can", Site::InitialCan, message, "cans count from 0");
    }
    for (number, pause) in problem.pauses.iter().enumerate() {
        if pause.end < pause.start || pause.start.abs() > MOST_TICKS || pause.end.abs() > MOST_TICKS {
            let message = format!("break {} runs from {} to {}", number + 1, pause.start, pause.end);
            found.add("bad-break", Site::Pause(number), message, "a break ends after it starts");
        }
    }
    if let Some(end) = problem.session_end {
        if end <= 0 {
            let message = format!("the session ends at {end}, which is not after it starts");
            let hint = "set `session_end` to a later tick, or `null` for no end";
            found.add("session-ends-before-start", Site::SessionEnd, message, hint);
        } else if end > LONGEST_SESSION {
            let message = format!("the session ends at {end}, which is too far ahead");
            found.add("session-too-long", Site::SessionEnd, message, "use `null` for no end");
        }
    }
    if let Some(air) = &problem.air {
        let figures = [
            ("V", air.volume_m3),
            ("ach", air.air_changes_per_h),
            ("k", air.evaporation_per_min),
            ("ceiling", air.ceiling),
            ("twa_limit", air.dose_limit),
        ];
        for (key, value) in figures {
            if !(value.is_finite() && (LEAST_OF_AIR..=MOST_OF_AIR).contains(&value)) {
                let message = format!("`{key}` of the air must be from 0.000001 to a thousand million, not {value:e}");
                found.add("air-not-positive", Site::Air, message, "correct it, or set `air` to `null`");
            }
        }
    }
}

fn page(problem: &Problem, number: usize, found: &mut Faults) {
    let page = &problem.pages[number];
    let named = &page.label;
    let range = 0..=MOST_TICKS;
    if page.coats.is_empty() {
        found.add(
            "no-coats",
            Site::Page(number),
            format!("{named} has no coat"),
            "give it at least one, or leave it out",
        );
    }
    if !range.contains(&page.release) {
        let message = format!("{named} is released at {}, outside 0 to {MOST_TICKS}", page.release);
        found.add("release-out-of-range", Site::Page(number), message, "count ticks from the start of the session");
    }
    if !range.contains(&page.final_dry) {
        let message = format!("{named} dries for {} ticks, outside 0 to {MOST_TICKS}", page.final_dry);
        found.add("dry-out-of-range", Site::Page(number), message, "correct `final_dry`");
    }
    let count = page.coats.len();
    for (index, coat) in page.coats.iter().enumerate() {
        let named = format!("coat {} of {named}", index + 1);
        let site = Site::Coat(number, index);
        if !(1..=MOST_TICKS).contains(&coat.spray) {
            let message = format!("{named} takes {} ticks", coat.spray);
            found.add("spray-out-of-range", site, message, "a coat takes at least 1 tick");
        } else if let Some(longest) = longest_stretch(problem).filter(|longest| *longest < coat.spray) {
            let message =
                format!("{named} takes {} ticks, but no stretch of work is longer than {longest}", coat.spray);
            found.add("coat-never-fits", site, message, "shorten or move a break, or end the session later");
        }
        if coat.can >= problem.setup.len() {
            let message = format!("{named} needs can {}, which `setup` does not have", coat.can);
            found.add("unknown-can", site, message, "cans count from 0; add a row and a column");
        }
        if !(0.0..=1.0).contains(&coat.flash_share) {
            let message = format!("the flash share of {named} is {}, outside 0 to 1", coat.flash_share);
            found.add("share-out-of-range", site, message, "give `f` as a share between 0 and 1");
        }
        if !(coat.vapour_m3.is_finite() && (0.0..1e9).contains(&coat.vapour_m3)) {
            let message = format!("the vapour of {named} is {}", coat.vapour_m3);
            found.add("vapour-out-of-range", site, message, "give `q` in m³, 0 or more");
        }
        match &coat.lag {
            None if index + 1 < count => {
                found.add("no-wait", site, format!("{named} has no wait before the next"), "give it a `lag_min`");
            }
            Some(lag) => window(&named, site, *lag, found),
            None => {}
        }
    }
}

fn window(named: &str, site: Site, lag: super::problem::Lag, found: &mut Faults) {
    let in_range = |ticks: Tick| (0..=MOST_TICKS).contains(&ticks);
    if !in_range(lag.min) || !lag.max.is_none_or(in_range) || !lag.resume.is_none_or(in_range) {
        let message = format!("the wait after {named} lies outside 0 to {MOST_TICKS} ticks");
        found.add("wait-out-of-range", site, message, "correct `lag_min`, `lag_max` or `lag_resume`");
    } else if let (Some(max), None) = (lag.max, lag.resume)
        && max < lag.min
    {
        let message = format!("the window after {named} closes at {max}, before the least wait of {}", lag.min);
        let hint = "raise `lag_max` to at least `lag_min`, or say from when it may be sprayed again with `lag_resume`";
        found.add("window-shorter-than-wait", site, message, hint);
    }
}

/// The longest stretch without a break, if there is no endless one.
fn longest_stretch(problem: &Problem) -> Option<Tick> {
    let end = problem.session_end?;
    let mut pauses = problem.pauses.clone();
    pauses.sort_unstable_by_key(|pause| (pause.start, pause.end));
    let (mut free_from, mut longest) = (0, 0);
    for pause in pauses.iter().filter(|pause| pause.end > pause.start) {
        longest = longest.max(pause.start.min(end) - free_from);
        free_from = free_from.max(pause.end);
    }
    Some(longest.max(end - free_from))
}

fn air_of_single_coats(problem: &Problem, found: &mut Faults) {
    let Some(air) = &problem.air else { return };
    let coats: Vec<_> = problem.pages.iter().flat_map(|page| &page.coats).collect();
    let kernel = AirKernel::new(air, problem.tick_min(), &coats);
    let mut number = 0;
    for (at, page) in problem.pages.iter().enumerate() {
        for index in 0..page.coats.len() {
            let peak = kernel.peak_alone(number);
            if peak > kernel.ceiling() {
                let message = format!(
                    "coat {} of {} alone fills the air to {peak:.2}, over the ceiling of {}",
                    index + 1,
                    page.label,
                    air.ceiling
                );
                let hint = "ventilate more, spray a thinner coat, or divide it into two";
                found.add("coat-over-ceiling", Site::Coat(at, index), message, hint);
            }
            number += 1;
        }
    }
}
