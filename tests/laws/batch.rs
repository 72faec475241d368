//! Laws of the bench: thousands of small random batches against an exhaustive search that shares nothing with ours.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use coatbell::batch::{
    Answer, Coat, Control, Effort, Lag, Page, Pause, Presence, Problem, RoomAir, bench_document, solve,
};

use crate::reference::batch_check::{check, trace};
use crate::support::Numbers;

/// A random batch of at most `most` coats.
fn batch(number: u64, most: usize) -> Problem {
    let mut draw = Numbers(number);
    let cans = draw.from(1, 2) as usize;
    let aired = draw.chance(35);
    let mut pages = Vec::new();
    let mut left = most;
    while left > 0 && (pages.is_empty() || draw.chance(80)) {
        let count = (draw.from(1, 3) as usize).min(left);
        left -= count;
        let coats = (0..count)
            .map(|index| Coat {
                spray: draw.from(1, 4),
                can: draw.below(cans),
                lag: (index + 1 < count).then(|| {
                    let min = draw.from(0, 6);
                    let max = draw.chance(50).then(|| min + draw.from(0, 4));
                    let resume = (max.is_some() && draw.chance(30)).then(|| min + draw.from(6, 14));
                    Lag { min, max, resume }
                }),
                vapour_m3: if aired { draw.from(2, 14) as f64 } else { 0.0 },
                flash_share: draw.from(0, 10) as f64 / 10.0,
            })
            .collect();
        let label = format!("page {}", pages.len());
        pages.push(Page { label, release: draw.from(0, 5) * draw.from(0, 1), final_dry: draw.from(0, 8), coats });
        if draw.chance(25) && pages.last().is_some_and(|page: &Page| page.coats.len() <= left) {
            let twin = pages[pages.len() - 1].clone();
            left -= twin.coats.len();
            pages.push(twin);
        }
    }
    let mut setup = vec![vec![0; cans]; cans];
    for (from, row) in setup.iter_mut().enumerate() {
        for (to, ticks) in row.iter_mut().enumerate() {
            if from != to {
                *ticks = draw.from(0, 4);
            }
        }
    }
    let break_start = draw.from(3, 18);
    Problem {
        name: format!("case {number}"),
        tick_s: 30.0,
        rack_slots: draw.chance(40).then(|| draw.from(1, 3) as usize),
        initial_can: draw.below(cans),
        setup,
        pauses: if draw.chance(30) {
            vec![Pause { start: break_start, end: break_start + draw.from(1, 9) }]
        } else {
            Vec::new()
        },
        session_end: draw.chance(20).then(|| draw.from(20, 60)),
        air: aired.then(|| RoomAir {
            volume_m3: 20.0,
            air_changes_per_h: draw.from(2, 20) as f64,
            evaporation_per_min: draw.from(2, 60) as f64 / 100.0,
            ceiling: draw.from(4, 12) as f64 / 10.0,
            dose_limit: 10.0,
            presence: if draw.chance(50) { Presence::AtWork } else { Presence::Throughout },
        }),
        pages,
    }
}

fn quick(problem: &Problem) -> Answer {
    solve(problem, Effort::Quick, &Control { threads: 1, stop: &|| false, progress: &|_, _| {} })
}

/// Searches every start of every coat, in order of time, for a schedule that ends by `latest`.
///
/// Nothing is assumed about the best being early: each coat tries every tick. A beginning is left when it breaks what
/// later coats cannot mend; the whole is judged by the checker.
struct Exhaustive<'a> {
    problem: &'a Problem,
    latest: i64,
    starts: Vec<Vec<i64>>,
    /// Index so far at a grid of moments, four to a tick: coats only add to it.
    grid: Vec<f64>,
    /// Coats placed that are still allowed.
    left: usize,
}

const GRID: i64 = 4;

/// Coats placed after which a case is given up as too large.
const PATIENCE: usize = 8_000;

fn anything_by(problem: &Problem, latest: i64) -> Option<bool> {
    let grid = vec![0.0; (latest * GRID).max(0) as usize];
    let starts = vec![Vec::new(); problem.pages.len()];
    let mut search = Exhaustive { problem, latest, starts, grid, left: PATIENCE };
    let found = search.descend(0, problem.initial_can);
    (found || search.left > 0).then_some(found)
}

impl Exhaustive<'_> {
    /// Least time from the start of a page's next coat to its end.
    fn rest(&self, page: usize) -> i64 {
        let work = &self.problem.pages[page];
        let left = &work.coats[self.starts[page].len()..];
        let least = |lag: &Lag| lag.min.min(lag.resume.unwrap_or(lag.min));
        let waits: i64 = left.iter().filter_map(|coat| coat.lag.as_ref()).map(least).sum();
        work.final_dry + waits + left.iter().map(|coat| coat.spray).sum::<i64>()
    }

    /// End of the coat before a page's next.
    fn before(&self, page: usize) -> Option<(i64, &Coat)> {
        let last = self.starts[page].len().checked_sub(1)?;
        let coat = &self.problem.pages[page].coats[last];
        Some((self.starts[page][last] + coat.spray, coat))
    }

    fn descend(&mut self, free: i64, can: usize) -> bool {
        let problem = self.problem;
        let unfinished = |search: &Self, page: usize| search.starts[page].len() < problem.pages[page].coats.len();
        let open: Vec<usize> = (0..problem.pages.len()).filter(|page| unfinished(self, *page)).collect();
        if open.is_empty() {
            return check(problem, &self.starts).is_ok();
        }
        if open.iter().any(|page| free + self.rest(*page) > self.latest) {
            return false;
        }
        for page in open {
            let work = &problem.pages[page];
            let coat = &work.coats[self.starts[page].len()];
            let before = self.before(page).map(|(end, coat)| (end, coat.lag));
            let ready = before.map_or(work.release, |(end, _)| end);
            let changeover = problem.setup[can][coat.can];
            for start in ready.max(free + changeover)..=self.latest - self.rest(page) {
                let allowed = before.is_none_or(|(end, lag)| lag.is_some_and(|lag| lag.allows(start - end)));
                let (begin, end) = (start - changeover, start + coat.spray);
                let breaks = problem.pauses.iter().any(|pause| begin < pause.end && end > pause.start);
                if !allowed || breaks || problem.session_end.is_some_and(|close| end > close) {
                    continue;
                }
                if self.left == 0 {
                    return false;
                }
                self.left -= 1;
                let grid = if problem.air.is_some() { self.grid.clone() } else { Vec::new() };
                if self.breathe(coat, start) {
                    self.starts[page].push(start);
                    if self.descend(end, coat.can) {
                        return true;
                    }
                    self.starts[page].pop();
                }
                if problem.air.is_some() {
                    self.grid = grid;
                }
            }
        }
        false
    }

    /// Adds a coat to the air; false if that breaks the ceiling on the grid already.
    fn breathe(&mut self, coat: &Coat, start: i64) -> bool {
        let Some(air) = &self.problem.air else { return true };
        let tick = self.problem.tick_s / 60.0;
        for (at, index) in self.grid.iter_mut().enumerate().skip((start * GRID) as usize) {
            let after = (at as f64 / GRID as f64 - start as f64) * tick;
            *index += trace(air, coat.spray as f64 * tick, coat, after);
            if *index > air.ceiling + 1e-6 {
                return false;
            }
        }
        true
    }
}

/// A quarter of seven thousand small batches: each keeps every rule and is as short as can be.
fn small_batches_keep_every_rule_and_are_as_short_as_can_be(quarter: u64) {
    let (mut proved, mut unproved, mut exhausted, mut unfit, mut aired) = (0, 0, 0, 0, 0);
    for number in (0..7_200).filter(|number| number % 4 == quarter) {
        let problem = batch(number, 6);
        if !problem.faults().is_empty() {
            continue;
        }
        let answer = quick(&problem);
        let checked =
            check(&problem, &answer.schedule.starts).unwrap_or_else(|broken| panic!("{number}: {broken}\n{problem:?}"));
        assert_eq!(checked.makespan, answer.measures.makespan, "case {number}");
        assert!(answer.lower_bound <= checked.makespan, "case {number}");
        assert!((checked.dose - answer.measures.dose.unwrap_or(0.0)).abs() < 1e-5, "case {number}");
        if !answer.unfit.is_empty() {
            unfit += 1;
            continue;
        }
        // With air a coat may profit from another being put off, which multiplies what must be gone through.
        assert!(answer.proved || problem.air.is_some(), "case {number} is tiny and must be proved: {problem:?}");
        if !answer.proved {
            unproved += 1;
            continue;
        }
        proved += 1;
        aired += usize::from(problem.air.is_some());
        let Some(earlier) = anything_by(&problem, checked.makespan - 1) else { continue };
        exhausted += 1;
        assert!(!earlier, "case {number}: something ends before {}: {problem:?}", checked.makespan);
    }
    // The law is empty if the cases are: most must be scheduled whole, proved and gone through, with and without air.
    let counts = format!("{proved} proved, {unproved} not, {exhausted} gone through, {unfit} unfit, {aired} with air");
    assert!(proved > 1_500 && unproved < 70 && exhausted > 1_250 && unfit > 20 && aired > 300, "{counts}");
}

#[test]
fn small_batches_first_quarter() {
    small_batches_keep_every_rule_and_are_as_short_as_can_be(0);
}

#[test]
fn small_batches_second_quarter() {
    small_batches_keep_every_rule_and_are_as_short_as_can_be(1);
}

#[test]
fn small_batches_third_quarter() {
    small_batches_keep_every_rule_and_are_as_short_as_can_be(2);
}

#[test]
fn small_batches_last_quarter() {
    small_batches_keep_every_rule_and_are_as_short_as_can_be(3);
}

#[test]
fn the_bound_of_the_air_is_never_above_the_shortest() {
    let (mut binding, mut exhausted, mut tight) = (0, 0, 0);
    for number in 0..6_000 {
        let mut problem = batch(number, 5);
        let mut draw = Numbers(number + 1_000_000);
        // Strong coats, quickly sprayed and soon followed, in a small room: the air decides.
        for page in &mut problem.pages {
            page.final_dry %= 3;
            for coat in &mut page.coats {
                coat.spray = draw.from(1, 2);
                coat.lag = coat.lag.map(|lag| Lag { min: lag.min % 2, ..lag });
                coat.vapour_m3 = draw.from(6, 24) as f64;
                coat.flash_share = draw.from(0, 20) as f64 / 20.0;
            }
        }
        problem.setup.iter_mut().flatten().for_each(|ticks| *ticks %= 2);
        problem.session_end = None;
        problem.rack_slots = None;
        let without = bound(&Problem { air: None, ..problem.clone() });
        problem.air = Some(RoomAir {
            volume_m3: 20.0,
            air_changes_per_h: draw.from(6, 90) as f64,
            evaporation_per_min: draw.from(5, 200) as f64 / 100.0,
            ceiling: draw.from(6, 12) as f64 / 10.0,
            dose_limit: 10.0,
            presence: Presence::AtWork,
        });
        if !problem.faults().is_empty() {
            continue;
        }
        let bound = bound(&problem);
        if bound <= without {
            continue;
        }
        binding += 1;
        let Some(earlier) = anything_by(&problem, bound - 1) else { continue };
        exhausted += 1;
        assert!(!earlier, "case {number}: something ends before {bound}: {problem:?}");
        tight += usize::from(anything_by(&problem, bound) == Some(true));
    }
    // Where something ends at the bound itself, a bound a tick higher would have been caught.
    let counts = format!("{binding} where the air binds, {exhausted} gone through, {tight} tight");
    assert!(exhausted > 1_000 && tight > 20, "{counts}");
}

/// The bound, from a search told to stop soon after its first schedule.
fn bound(problem: &Problem) -> i64 {
    let asked = AtomicUsize::new(0);
    let stop = || asked.fetch_add(1, Ordering::Relaxed) > 100;
    let answer = solve(problem, Effort::Quick, &Control { threads: 1, stop: &stop, progress: &|_, _| {} });
    if answer.unfit.is_empty() { answer.lower_bound } else { 0 }
}

/// A change of a problem that can only make it harder.
type Harder = (&'static str, fn(&mut Problem));

const HARDER: [Harder; 5] = [
    ("a longer wait", |problem| {
        for lag in problem.pages.iter_mut().flat_map(|page| &mut page.coats).filter_map(|coat| coat.lag.as_mut()) {
            lag.min += 1;
        }
    }),
    ("a smaller rack", |problem| {
        problem.rack_slots = Some(problem.rack_slots.map_or(2, |slots| slots.max(2) - 1));
    }),
    ("a longer break", |problem| match problem.pauses.first_mut() {
        Some(pause) => pause.end += 2,
        None => problem.pauses.push(Pause { start: 6, end: 9 }),
    }),
    ("a lower ceiling", |problem| {
        if let Some(air) = &mut problem.air {
            air.ceiling *= 0.9;
        }
    }),
    ("longer changeovers", |problem| {
        for (from, row) in problem.setup.iter_mut().enumerate() {
            row.iter_mut().enumerate().filter(|(to, _)| *to != from).for_each(|(_, ticks)| *ticks += 1);
        }
    }),
];

#[test]
fn what_is_harder_never_ends_earlier() {
    let mut compared = [0; HARDER.len()];
    for number in 0..400 {
        let problem = batch(number, 8);
        if !problem.faults().is_empty() {
            continue;
        }
        let answer = quick(&problem);
        if !answer.proved || !answer.unfit.is_empty() {
            continue;
        }
        for ((what, change), compared) in HARDER.iter().zip(&mut compared) {
            let mut harder = problem.clone();
            change(&mut harder);
            if !harder.faults().is_empty() {
                continue;
            }
            let after = quick(&harder);
            if after.proved && after.unfit.is_empty() {
                *compared += 1;
                let (before, after) = (answer.measures.makespan, after.measures.makespan);
                assert!(after >= before, "case {number}: {what} ends at {after}, before {before}");
            }
        }
    }
    assert!(compared.iter().all(|count| *count > 50), "{compared:?}");
}

/// When each page is sprayed, by what the page is: pages that are alike stand for each other.
fn by_page(problem: &Problem, answer: &Answer) -> Vec<(String, Vec<i64>)> {
    let named = problem.pages.iter().zip(&answer.schedule.starts);
    let mut all: Vec<(String, Vec<i64>)> = named
        .map(|(page, starts)| (format!("{:?}", Page { label: String::new(), ..page.clone() }), starts.clone()))
        .collect();
    all.sort();
    all
}

#[test]
fn the_order_of_pages_in_the_file_changes_nothing() {
    let mut shuffled = 0;
    for number in 0..200 {
        let problem = batch(number, 12);
        if !problem.faults().is_empty() {
            continue;
        }
        let one = quick(&problem);
        let mut draw = Numbers(1_000_000 + number);
        for turn in 0..2 {
            let mut turned = problem.clone();
            for at in (1..turned.pages.len()).rev() {
                turned.pages.swap(at, draw.below(at + 1));
            }
            shuffled += usize::from(turned.pages != problem.pages);
            let other = quick(&turned);
            assert_eq!(one.measures, other.measures, "case {number}, turn {turn}");
            assert_eq!((one.lower_bound, one.proved), (other.lower_bound, other.proved), "case {number}, turn {turn}");
            assert_eq!(by_page(&problem, &one), by_page(&turned, &other), "case {number}, turn {turn}");
        }
    }
    assert!(shuffled > 150, "only {shuffled} were another order");
}

#[test]
fn more_effort_never_ends_later() {
    let (mut compared, mut sooner) = (0, 0);
    for number in 0..12 {
        let problem = batch(number, 40);
        if !problem.faults().is_empty() {
            continue;
        }
        let stop = || false;
        let control = Control { threads: 2, stop: &stop, progress: &|_, _| {} };
        let (less, more) = (solve(&problem, Effort::Quick, &control), solve(&problem, Effort::Normal, &control));
        assert!(more.unfit.len() <= less.unfit.len(), "case {number}");
        assert!(
            more.unfit.len() < less.unfit.len() || more.measures.makespan <= less.measures.makespan,
            "case {number}"
        );
        compared += 1;
        sooner += usize::from(more.measures.makespan < less.measures.makespan);
    }
    assert!(compared > 6 && sooner > 0, "{compared} compared, {sooner} sooner");
}

/// A batch that a quick search neither proves nor leaves pages out of.
fn hard() -> Problem {
    let whole = |problem: &Problem| {
        let answer = quick(problem);
        !answer.proved && answer.unfit.is_empty()
    };
    let mut all = (0..400).map(|number| batch(number, 60));
    all.find(|problem| problem.coat_count() > 40 && problem.faults().is_empty() && whole(problem))
        .expect("some are hard")
}

#[test]
fn a_stop_still_hands_out_a_schedule() {
    let problem = hard();
    // At once, and after some looks at the flag in the first round.
    for patience in [0, 40] {
        let looks = AtomicUsize::new(0);
        let stop = || looks.fetch_add(1, Ordering::Relaxed) >= patience;
        let control = Control { threads: 1, stop: &stop, progress: &|_, _| {} };
        let answer = solve(&problem, Effort::Thorough, &control);
        let checked = check(&problem, &answer.schedule.starts).expect("it keeps every rule");
        assert!(answer.stopped && !answer.proved, "after {patience}");
        assert!(answer.lower_bound < checked.makespan && answer.gap_pct() > 0.0, "after {patience}");
        let over = looks.load(Ordering::Relaxed) - patience;
        assert!(over < 20, "it went on for {over} looks after {patience}");
        assert!(
            bench_document(&problem, &answer, Effort::Thorough)
                .findings
                .iter()
                .any(|finding| finding.code == "search-stopped")
        );
    }
}

#[test]
fn a_stop_between_less_effort_and_more_is_a_stop() {
    let problem = hard();
    let looked = |effort: Effort, patience: usize| {
        let looks = AtomicUsize::new(0);
        let stop = || looks.fetch_add(1, Ordering::Relaxed) >= patience;
        let answer = solve(&problem, effort, &Control { threads: 1, stop: &stop, progress: &|_, _| {} });
        (answer, looks.into_inner())
    };
    let (quick, looks) = looked(Effort::Quick, usize::MAX);
    let (answer, _) = looked(Effort::Normal, looks);
    assert!(!quick.stopped && answer.stopped && !answer.proved);
    assert_eq!(answer.schedule, quick.schedule, "what less effort found");
}

#[test]
fn a_stop_is_heard_while_the_first_schedule_is_made() {
    // Two hundred pages whose windows never hold the break that follows: no forward dispatch serves, and each page is
    // looked for a place of its own. Stopped there, what is left goes to the end, and all is there.
    let coat = |lag| Coat { spray: 4, can: 0, lag, vapour_m3: 0.0, flash_share: 1.0 };
    let lag = Lag { min: 10, max: Some(9), resume: Some(40) };
    let later = Lag { min: 5, max: Some(6), resume: Some(200) };
    let pages = (0..200).map(|number| Page {
        label: format!("page {number}"),
        release: 0,
        final_dry: number % 7,
        coats: vec![coat(Some(if number % 2 == 0 { lag } else { later })), coat(None)],
    });
    let pauses = (0..400).map(|number| Pause { start: 9 * number + 5, end: 9 * number + 9 });
    let problem = Problem { pages: pages.collect(), pauses: pauses.collect(), ..batch(0, 1) };
    let problem = Problem { air: None, session_end: None, setup: vec![vec![0]], initial_can: 0, ..problem };
    assert!(problem.faults().is_empty());
    for patience in [0, 30] {
        let looks = AtomicUsize::new(0);
        let stop = || looks.fetch_add(1, Ordering::Relaxed) >= patience;
        let answer = solve(&problem, Effort::Quick, &Control { threads: 1, stop: &stop, progress: &|_, _| {} });
        check(&problem, &answer.schedule.starts).expect("it keeps every rule");
        assert!(answer.stopped && answer.unfit.is_empty(), "after {patience}: {:?}", answer.unfit);
        let over = looks.load(Ordering::Relaxed) - patience;
        assert!(over < 20, "it went on for {over} looks after {patience}");
    }
}

#[test]
fn what_is_through_was_not_stopped() {
    // Told to stop only once it is through, it has not been stopped; neither has what is proved before the first look.
    assert!(!quick(&hard()).stopped);
    let proved = (0..50).map(|number| batch(number, 6)).find(|problem| quick(problem).proved).expect("most are proved");
    let control = Control { threads: 1, stop: &|| true, progress: &|_, _| {} };
    let answer = solve(&proved, Effort::Thorough, &control);
    assert!(answer.stopped != answer.proved, "either it was through or it was stopped");
}

#[test]
fn progress_rises_to_the_end() {
    let problem = hard();
    let told = Mutex::new(Vec::new());
    let progress = |share: f64, makespan: i64| told.lock().expect("nobody panics here").push((share, makespan));
    let answer = solve(&problem, Effort::Quick, &Control { threads: 1, stop: &|| false, progress: &progress });
    let told = told.into_inner().expect("nobody panics here");
    assert!(told.len() > 100, "told {} times", told.len());
    assert!(told.is_sorted_by(|one, next| one.0 <= next.0 + 1e-9 && one.1 >= next.1), "{told:?}");
    let last = told[told.len() - 1];
    assert!((last.0 - 1.0).abs() < 1e-9 && last.1 == answer.measures.makespan, "{last:?}");
}
