//! The reference batches at an effort, beside the best-known values.

use std::time::Instant;
use coatbell::batch::{Control, Effort, Problem, solve};
use coatbell::diagnostic::SourceText;

fn main() {
    let mut args = std::env::args().skip(1).filter(|a| a != "--bench");
    let effort = match args.next().as_deref() { Some("thorough") => Effort::Thorough, Some("quick") => Effort::Quick, _ => Effort::Normal };
    let only = args.next().unwrap_or_default();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/batch");
    let table = std::fs::read_to_string(format!("{folder}/reference.csv")).expect("table");
    let out = std::env::var("SCHEDULES").ok();
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        if !cells[0].contains(&only) { continue; }
        let text = std::fs::read_to_string(format!("{folder}/{}.json", cells[0])).expect("file");
        let problem = Problem::from_json(&SourceText::new(cells[0], &text)).unwrap_or_else(|e| panic!("{e} {:?}", e.list));
        let begin = Instant::now();
        let all = std::sync::Mutex::new(Vec::new());
        let answer = solve(&problem, effort, &Control { threads: 2, stop: &|| false, progress: &|_, m| all.lock().unwrap().push(m) });
        let best: i64 = cells[3].parse().expect("number");
        println!("{:14} best {:5} bound {:5} got {:5} {:+.2} %  {:.2} s {:?}", cells[0], best, cells[4], answer.makespan, 100.0 * (answer.makespan - best) as f64 / best as f64, begin.elapsed().as_secs_f64(), all.lock().unwrap());
        if let Some(out) = &out {
            std::fs::write(format!("{out}/{}.json", cells[0]), format!("{{\"instance\":\"{}\",\"starts\":{:?}}}", cells[0], answer.schedule.starts)).expect("write");
        }
    }
}
