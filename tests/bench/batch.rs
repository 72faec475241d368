//! The reference batches at an effort, beside the best-known ends, and batches of growing size.
//!
//! `cargo bench --bench batch -- normal` or `-- thorough`, then a part of a name to take only some of them; with the
//! environment variable `SCHEDULES` set to a folder, the schedules are written there for `check_schedule.py`.
//! `-- growth` times `quick` from 10 to 1,000 pages.

#![expect(clippy::print_stdout, reason = "a bench prints its table")]

use std::time::Instant;

use coatbell::batch::{Coat, Control, Effort, Lag, Page, Problem, solve};
use coatbell::diagnostic::SourceText;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/batch");

fn main() {
    let mut arguments = std::env::args().skip(1).filter(|word| word != "--bench");
    let effort = match arguments.next().as_deref() {
        Some("thorough") => Effort::Thorough,
        Some("normal") => Effort::Normal,
        Some("growth") => return growth(),
        // Without a word, as when all benches are only tried out, the shortest.
        _ => Effort::Quick,
    };
    let only = arguments.next().unwrap_or_default();
    let table = std::fs::read_to_string(format!("{FOLDER}/reference.csv")).expect("the table is there");
    let (mut reached, mut worst) = (0, 0.0_f64);
    for line in table.lines().skip(1).filter(|line| line.contains(&only)) {
        let cells: Vec<&str> = line.split(',').collect();
        let text = std::fs::read_to_string(format!("{FOLDER}/{}.json", cells[0])).expect("the problem is there");
        let problem = Problem::from_json(&SourceText::new(cells[0], &text)).expect("the problem is faultless");
        let begin = Instant::now();
        let answer = solve(&problem, effort, &Control { threads: 2, stop: &|| false, progress: &|_, _| {} });
        let seconds = begin.elapsed().as_secs_f64();
        let best: i64 = cells[3].parse().expect("a number");
        let makespan = answer.measures.makespan;
        let excess = 100.0 * (makespan - best) as f64 / best as f64;
        reached += usize::from(makespan <= best);
        worst = worst.max(excess);
        println!(
            "{:14} best {best:5}  got {makespan:5} {excess:+6.2} %  bound {:5}  {}  waiting {:5}  {seconds:6.2} s",
            cells[0],
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

/// Pages of twenty kinds without windows, rack or air, so that the operator is all that limits.
fn evening(pages: usize) -> Problem {
    let kind = |number: i64| {
        let coats = 2 + number % 4;
        let coat = |index: i64| Coat {
            spray: 3 + (number * 7 + index * 5) % 6,
            can: 0,
            lag: (index + 1 < coats).then(|| Lag { min: 20 + (number * 3 + index) % 20, max: None, resume: None }),
            vapour_m3: 0.0,
            flash_share: 0.0,
        };
        let label = format!("page {number}");
        Page { label, release: 0, final_dry: 40 + (number % 5) * 10, coats: (0..coats).map(coat).collect() }
    };
    Problem {
        name: format!("evening {pages}"),
        tick_s: 30.0,
        pages: (0..20).map(kind).cycle().take(pages).collect(),
        rack_slots: None,
        initial_can: 0,
        setup: vec![vec![0]],
        pauses: Vec::new(),
        session_end: None,
        air: None,
    }
}

fn growth() {
    for (effort, pages) in [10, 30, 100, 300, 1000]
        .into_iter()
        .flat_map(|pages| [Effort::Quick, Effort::Normal].map(|effort| (effort, pages)))
    {
        let problem = evening(pages);
        let mut seconds: Vec<f64> = (0..7)
            .map(|_| {
                let begin = Instant::now();
                let control = Control { threads: 2, stop: &|| false, progress: &|_, _| {} };
                std::hint::black_box(solve(&problem, effort, &control));
                begin.elapsed().as_secs_f64()
            })
            .collect();
        seconds.sort_by(f64::total_cmp);
        let answer = solve(&problem, effort, &Control { threads: 2, stop: &|| false, progress: &|_, _| {} });
        println!(
            "{:8} {pages:5} pages: median {:8.4} s, {:.2} % over the bound",
            effort.word(),
            seconds[seconds.len() / 2],
            answer.gap_pct()
        );
    }
}
