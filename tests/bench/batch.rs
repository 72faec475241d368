//! The reference batches at an effort, beside the best-known ends and those of a general solver
//! (`tests/reference/batch_cp_sat.py`), and batches of growing size.
//!
//! `cargo bench --bench batch -- normal` or `-- thorough`, then a part of a name to take only some of them; with the
//! environment variable `SCHEDULES` set to a folder, the schedules are written there for `check_schedule.py`.
//! `-- growth` times the first schedule, which is what grows with the batch, and then the whole search, whose work is
//! counted, of 10 to 1,000 pages with nothing but the operator to limit them, then 1,000 where windows, the rack or
//! the air bind, and re-planning in the middle of fifteen; each beside the bound, which is the reference.
//! `-- evening` re-plans the middle of a real evening, fifteen sheets of the example pages in the room's own air, beside
//! scheduling all of it anew.

#![expect(clippy::print_stdout, reason = "a bench prints its table")]

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use coatbell::batch::{
    Answer, Coat, Control, Effort, Evening, EveningEntry, EveningRequest, EveningSheet, Lag, Page, Presence, Problem,
    RoomAir, SheetNow, Sprayed, evening as schedule, replan, solve,
};
use coatbell::catalog::Catalog;
use coatbell::diagnostic::SourceText;
use coatbell::input::read_page;
use coatbell::page::Sheet;
use jiff::{SignedDuration, Timestamp, ZonedDateTime};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/batch");

fn main() {
    let mut arguments = std::env::args().skip(1).filter(|word| word != "--bench");
    let effort = match arguments.next().as_deref() {
        Some("thorough") => Effort::Thorough,
        Some("normal") => Effort::Normal,
        Some("growth") => return growth(),
        Some("evening") => return real_evening(),
        // Without a word, as when all benches are only tried out, the shortest.
        _ => Effort::Quick,
    };
    let only = arguments.next().unwrap_or_default();
    let table = std::fs::read_to_string(format!("{FOLDER}/reference.csv")).expect("the table is there");
    let table_of_the_general_solver =
        std::fs::read_to_string(format!("{FOLDER}/../batch_cp_sat.csv")).unwrap_or_default();
    let general = |name: &str| {
        let row = table_of_the_general_solver.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(','));
        row.and_then(|row| row.split(',').next()).filter(|makespan| !makespan.is_empty()).unwrap_or("-").to_owned()
    };
    println!("{}", table_of_the_general_solver.lines().next().unwrap_or("no table of a general solver"));
    let (mut reached, mut worst) = (0, 0.0_f64);
    for line in table.lines().skip(1).filter(|line| line.contains(&only)) {
        let cells: Vec<&str> = line.split(',').collect();
        let text = std::fs::read_to_string(format!("{FOLDER}/{}.json", cells[0])).expect("the problem is there");
        let problem = Problem::from_json(&SourceText::new(cells[0], &text)).expect("the problem is faultless");
        let begin = Instant::now();
        let answer = solve(&problem, effort, &CONTROL);
        let seconds = begin.elapsed().as_secs_f64();
        let best: i64 = cells[3].parse().expect("a number");
        let makespan = answer.measures.makespan;
        let excess = 100.0 * (makespan - best) as f64 / best as f64;
        reached += usize::from(makespan <= best);
        worst = worst.max(excess);
        println!(
            "{:14} best {best:5}  got {makespan:5} {excess:+6.2} %  general {:>5}  bound {:5}  {}  waiting {:5}  {seconds:6.2} s",
            cells[0],
            general(cells[0]),
            answer.lower_bound,
            if answer.proved { "proved" } else { "      " },
            answer.measures.wet_wait,
        );
        if let Ok(folder) = std::env::var("SCHEDULES") {
            let schedule = format!("{{\"instance\":\"{}\",\"starts\":{:?}}}", cells[0], answer.schedule.starts);
            std::fs::write(format!("{folder}/{}.json", cells[0]), schedule).expect("the folder is there");
        }
    }
    println!("at or below the best known: {reached}; worst {worst:+.2} %");
}

/// What limits an evening besides the person.
#[derive(Clone, Copy)]
enum Binds {
    Nothing,
    Windows,
    Rack,
    Air,
    Everything,
}

/// Pages of twenty kinds. Invented figures in the range of common practice; a tick is half a minute.
fn evening(pages: usize, binds: Binds) -> Problem {
    let windows = matches!(binds, Binds::Windows | Binds::Everything);
    let kind = |number: i64| {
        let coats = 2 + number % 4;
        let coat = |index: i64| {
            let min = 20 + (number * 3 + index) % 20;
            Coat {
                spray: 3 + (number * 7 + index * 5) % 6,
                can: 0,
                lag: (index + 1 < coats).then(|| Lag { min, max: windows.then_some(min + 30), resume: None }),
                vapour_m3: 6.0 + (number % 5) as f64,
                flash_share: 0.5,
            }
        };
        let label = format!("page {number}");
        Page { label, release: 0, final_dry: 40 + (number % 5) * 10, coats: (0..coats).map(coat).collect() }
    };
    let room = RoomAir {
        volume_m3: 30.0,
        air_changes_per_h: 6.0,
        evaporation_per_min: 0.3,
        ceiling: 1.0,
        dose_limit: 1.0,
        presence: Presence::AtWork,
    };
    Problem {
        name: format!("evening {pages}"),
        tick_s: 30.0,
        pages: (0..20).map(kind).cycle().take(pages).collect(),
        rack_slots: matches!(binds, Binds::Rack | Binds::Everything).then_some(8),
        initial_can: 0,
        setup: vec![vec![0]],
        pauses: Vec::new(),
        session_end: None,
        air: matches!(binds, Binds::Air | Binds::Everything).then_some(room),
    }
}

const CONTROL: Control<'_> = Control { threads: 2, stop: &|| false, progress: &|_, _| {} };

fn median(repeats: usize, mut work: impl FnMut()) -> f64 {
    let mut seconds: Vec<f64> = (0..repeats)
        .map(|_| {
            let begin = Instant::now();
            work();
            begin.elapsed().as_secs_f64()
        })
        .collect();
    seconds.sort_by(f64::total_cmp);
    seconds[repeats / 2]
}

/// Most memory the process had, MB; 0 where the system does not say.
fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok()).map_or(0.0, |kb| kb / 1024.0)
}

/// Stopped where the search begins, which is when it first tells how far it is: bound and first schedules alone.
fn first(problem: &Problem) -> Answer {
    let begun = AtomicBool::new(false);
    let stop = || begun.load(Ordering::Relaxed);
    let progress = |_, _| begun.store(true, Ordering::Relaxed);
    solve(problem, Effort::Quick, &Control { threads: 2, stop: &stop, progress: &progress })
}

/// The first schedule of 10 to 1,000 pages: what is left once the counted work of the search is taken away.
fn first_schedules() {
    for (what, binds) in [
        ("nothing besides the person", Binds::Nothing),
        ("windows", Binds::Windows),
        ("rack", Binds::Rack),
        ("air", Binds::Air),
        ("everything", Binds::Everything),
    ] {
        let mut took = Vec::new();
        for pages in [10, 30, 100, 300, 1000] {
            let problem = evening(pages, binds);
            let repeats = 3000 / pages + 2;
            let seconds = median(repeats, || drop(std::hint::black_box(first(&problem))));
            let gap = first(&problem).gap_pct();
            println!("first    {pages:5} pages, {what}: median {seconds:8.5} s, {gap:.2} % over the bound");
            took.push((pages as f64, seconds));
        }
        let ((few, short), (many, long)) = (took[0], took[took.len() - 1]);
        let exponent = (long / short).ln() / (many / few).ln();
        println!("first    exponent from {few} to {many} pages, {what}: {exponent:.2}");
    }
}

fn growth() {
    first_schedules();
    for effort in [Effort::Quick, Effort::Normal] {
        let mut took = Vec::new();
        for pages in [10, 30, 100, 300, 1000] {
            let problem = evening(pages, Binds::Nothing);
            let seconds = median(5, || drop(std::hint::black_box(solve(&problem, effort, &CONTROL))));
            let gap = solve(&problem, effort, &CONTROL).gap_pct();
            println!("{:8} {pages:5} pages: median {seconds:8.4} s, {gap:.2} % over the bound", effort.word());
            took.push((pages as f64, seconds));
        }
        let ((few, short), (many, long)) = (took[0], took[took.len() - 1]);
        println!(
            "{:8} exponent from {few} to {many} pages: {:.2}",
            effort.word(),
            (long / short).ln() / (many / few).ln()
        );
    }
    println!("most memory so far: {:.0} MB", peak_mb());
    for (what, binds) in
        [("windows", Binds::Windows), ("rack", Binds::Rack), ("air", Binds::Air), ("everything", Binds::Everything)]
    {
        let problem = evening(1000, binds);
        for effort in [Effort::Quick, Effort::Normal] {
            let begin = Instant::now();
            let answer = solve(&problem, effort, &CONTROL);
            println!(
                "{:8}  1000 pages, {what}: {:.2} s, {:.2} % over the bound, {} left out",
                effort.word(),
                begin.elapsed().as_secs_f64(),
                answer.gap_pct(),
                answer.unfit.len()
            );
        }
    }
    println!("most memory: {:.0} MB", peak_mb());
    replanning();
}

/// Fifteen pages with everything binding, re-planned when half of the coats are sprayed, each ten minutes late.
fn replanning() {
    let problem = evening(15, Binds::Everything);
    let answer = solve(&problem, Effort::Normal, &CONTROL);
    let mut starts: Vec<i64> = answer.schedule.starts.iter().flatten().copied().collect();
    starts.sort_unstable();
    let half = starts[starts.len() / 2];
    let done: Vec<Vec<Sprayed>> = answer
        .schedule
        .starts
        .iter()
        .zip(&problem.pages)
        .map(|(starts, page)| {
            let sprayed = starts.iter().zip(&page.coats).filter(|(start, _)| **start < half);
            sprayed.map(|(start, coat)| Sprayed { start: *start + 20, end: *start + 20 + coat.spray }).collect()
        })
        .collect();
    let seconds = median(31, || drop(std::hint::black_box(replan(&problem, &answer.schedule, &done, half + 20))));
    let again = replan(&problem, &answer.schedule, &done, half + 20);
    println!(
        "re-planning 15 pages in the middle: median {:.3} ms, ends at {} instead of {}, {} stranded",
        1e3 * seconds,
        again.makespan,
        answer.measures.makespan,
        again.stranded.len()
    );
}

/// Example pages of the evening, their sealers and copies: fifteen sheets, two cans.
const SHEETS: [(&str, &str, usize); 4] = [
    ("first-wash", "acrylic-satin", 5),
    ("night-market", "acrylic-gloss", 5),
    ("paper-moon", "acrylic-gloss", 3),
    ("tide-pool", "acrylic-satin", 2),
];
/// How late the evening is when it is re-planned.
const LATE: SignedDuration = SignedDuration::from_mins(10);

/// Fifteen sheets of the example pages, half of the coats on, ten minutes late: the rest anew, beside the whole anew.
fn real_evening() {
    let catalog = Catalog::builtin();
    let now: ZonedDateTime = "2026-11-28T14:00[UTC]".parse().expect("a moment");
    let pages = SHEETS.map(|(name, ..)| {
        let path = format!("{}/profiles/examples/pages/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let source = SourceText::new(name, &std::fs::read_to_string(path).expect("the example is there"));
        let input = read_page(&source, &now).expect("an example page");
        (source, input)
    });
    let sheets = pages.iter().zip(SHEETS).map(|((source, input), (_, sealer, _))| EveningSheet {
        sheet: Sheet::resolve(input, source, &catalog).expect("an example page"),
        sealer: Some(catalog.sealers[sealer].clone()),
    });
    let entry = |(sheet, (name, sealer, copies)): (usize, (&str, &str, usize))| EveningEntry {
        sheet,
        file: name.to_owned(),
        sealer: Some(sealer.to_owned()),
        copies,
        written_at: None,
    };
    let sheets: Vec<EveningSheet<'_>> = sheets.collect();
    for room in ["window-fan", "cross-draught", "window-open"] {
        let request = EveningRequest {
            sheets: sheets.clone(),
            entries: SHEETS.into_iter().enumerate().map(entry).collect(),
            rack: 6,
            start: now.clone(),
            stop_by: None,
            breaks: Vec::new(),
            can_change_min: None,
            handling_min: None,
            room: catalog.room(room).ok(),
            room_named: true,
            respirator: None,
            now: now.clone(),
        };
        let whole = || schedule(&request, Effort::Quick, &CONTROL, &catalog);
        let planned = whole();
        let (standing, at) = half_way(&planned);
        let order: Vec<(usize, usize)> = planned.pages.iter().map(|page| (page.page, page.copy)).collect();
        let bench = planned.bench.with(&order, SignedDuration::ZERO);
        let seconds = median(31, || drop(std::hint::black_box(bench.rest(&standing, at, 0))));
        let reference = median(3, || drop(std::hint::black_box(whole())));
        let rest = bench.rest(&standing, at, 0);
        let last = rest.starts.iter().flatten().map(|(_, start)| *start).max().unwrap_or(at);
        println!(
            "re-planning {} sheets of the examples, {} of {} coats on, {room}: median {:.1} ms; all anew {:.0} ms; last coat \
             begins at {} instead of {}, {} stuck",
            planned.pages.len(),
            standing.iter().map(|sheet| sheet.done.len()).sum::<usize>(),
            planned.steps.len(),
            1e3 * seconds,
            1e3 * reference,
            last.strftime("%H:%M"),
            &planned.steps.last().map_or("", |step| &step.starts_at)[11..16],
            rest.stuck.len()
        );
    }
}

/// How the sheets stand when half of the coats are on, each later than planned, and when that is.
fn half_way(planned: &Evening) -> (Vec<SheetNow>, Timestamp) {
    let half = planned.steps.len() / 2;
    let mut at = Timestamp::MIN;
    let mut standing = vec![SheetNow::default(); planned.pages.len()];
    for (number, step) in planned.steps.iter().enumerate() {
        let sheet = planned.pages.iter().position(|page| (page.page, page.copy) == (step.page, step.copy));
        let sheet = &mut standing[sheet.expect("a sheet of the evening")];
        let start: Timestamp = step.starts_at.parse().expect("a moment");
        if number < half {
            let end = start + LATE + SignedDuration::from_mins(step.end_min - step.start_min);
            sheet.done.push((step.coat - 1, end));
            sheet.dry_at = Some(end + SignedDuration::from_mins(step.least_wait_min));
            at = at.max(end);
        } else {
            sheet.left.push((step.coat - 1, start));
        }
    }
    (standing, at)
}
