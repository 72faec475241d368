//! Twenty invented test problems; best-known values found with CP-SAT (OR-Tools 9.15) and our own search.

use coatbell::batch::{Answer, Control, Effort, Problem, solve};
use coatbell::diagnostic::SourceText;

use super::batch_check::check;
use crate::support::say;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/batch");

/// A problem with its best-known end and whether that is proved.
struct Reference {
    problem: Problem,
    best: i64,
    proved: bool,
}

/// What a general solver came to in 60 s on both cores: makespan and, without air, a bound (`batch_cp_sat.py`).
fn general(name: &str) -> (Option<i64>, Option<i64>) {
    let table = include_str!("batch_cp_sat.csv");
    assert!(table.starts_with("# OR-Tools "), "the table names its program");
    let row =
        table.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(',')).expect("every problem has a row");
    let mut cells = row.split(',').map(|cell| cell.parse().ok());
    (cells.next().flatten(), cells.next().flatten())
}

fn references() -> Vec<Reference> {
    let table = std::fs::read_to_string(format!("{FOLDER}/reference.csv")).expect("the table is there");
    let read = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        let text = std::fs::read_to_string(format!("{FOLDER}/{}.json", cells[0])).expect("the problem is there");
        let problem = Problem::from_json(&SourceText::new(cells[0], &text)).expect("the problem is faultless");
        Reference { problem, best: cells[3].parse().expect("a number"), proved: cells[5] == "OPTIMAL" }
    };
    let all: Vec<Reference> = table.lines().skip(1).map(read).collect();
    assert_eq!(all.len(), 20, "problems in the table");
    all
}

fn solved(problem: &Problem, effort: Effort, threads: usize) -> Answer {
    solve(problem, effort, &Control { threads, stop: &|| false, progress: &|_, _| {} })
}

/// Limits of `quick`, per cent over the best known, by family: far inside what a second of search reaches, and wide
/// enough that a change of the chance drawn does not break them.
fn allowed_pct(family: &str) -> f64 {
    match family {
        "A" | "Y" => 3.0,
        "C" | "D" | "E" => 8.0,
        _ => 16.0,
    }
}

#[test]
fn quick_keeps_every_rule_and_comes_near_the_best_known() {
    for Reference { problem, best, proved } in references() {
        let answer = solved(&problem, Effort::Quick, 2);
        let name = &problem.name;
        let checked = check(&problem, &answer.schedule.starts).unwrap_or_else(|broken| panic!("{name}: {broken}"));
        assert_eq!(checked.makespan, answer.measures.makespan, "{name}");
        assert_eq!(checked.wet_wait, answer.measures.wet_wait, "{name}");
        assert_eq!(checked.rack_peak, answer.measures.rack_peak, "{name}");
        assert_eq!(checked.changeovers, answer.measures.changeovers, "{name}");
        assert_eq!(answer.measures.index_peak.is_some(), problem.air.is_some(), "{name}");
        if let (Some(peak), Some(dose)) = (answer.measures.index_peak, answer.measures.dose) {
            assert!((checked.index_peak - peak).abs() < 1e-6, "{name}: {} {peak}", checked.index_peak);
            assert!((checked.dose - dose).abs() < 1e-5, "{name}: {} {dose}", checked.dose);
        }
        assert!(answer.unfit.is_empty(), "{name}");
        assert!(answer.lower_bound <= checked.makespan, "{name}");
        // A bound above what is known to be possible, or an end before a proved optimum, is a bug.
        assert!(answer.lower_bound <= best, "{name}: bound {} over {best}", answer.lower_bound);
        assert!(!proved || checked.makespan >= best, "{name}: {} under the proved {best}", checked.makespan);
        assert!(!answer.proved || !proved || checked.makespan == best, "{name}");
        let excess = 100.0 * (checked.makespan - best) as f64 / best as f64;
        assert!(excess <= allowed_pct(&name[..1]), "{name}: {excess:.1} % over {best}");
        let (theirs, bound) = general(name);
        assert!(bound.is_none_or(|bound| checked.makespan >= bound), "{name}: under the proved {bound:?}");
        if let Some(theirs) = theirs {
            let excess = 100.0 * (checked.makespan - theirs) as f64 / theirs as f64;
            assert!(excess <= allowed_pct(&name[..1]), "{name}: {excess:.1} % over {theirs} of a general solver");
        }
        if problem.pages.len() == 3 {
            assert!(answer.proved, "{name} is small enough to be proved");
        }
    }
}

/// What an effort must reach on the twenty: how many at the best known, how far above at most, and of the coupled.
fn must_reach(effort: Effort) -> (usize, f64, f64) {
    match effort {
        Effort::Thorough => (16, 3.0, 6.0),
        _ => (14, 5.0, 10.0),
    }
}

/// `COATBELL_EFFORT=thorough` for the long run.
#[test]
fn normal_is_mostly_at_the_best_known_and_never_far_above() {
    let thorough = std::env::var("COATBELL_EFFORT").is_ok_and(|effort| effort == "thorough");
    let effort = if thorough { Effort::Thorough } else { Effort::Normal };
    let (least_reached, most, most_of_coupled) = must_reach(effort);
    let (mut reached, mut behind, mut ahead) = (0, 0, 0);
    for Reference { problem, best, proved } in references() {
        let answer = solved(&problem, effort, 2);
        let name = &problem.name;
        let checked = check(&problem, &answer.schedule.starts).unwrap_or_else(|broken| panic!("{name}: {broken}"));
        assert_eq!(checked.makespan, answer.measures.makespan, "{name}");
        let with_less = solved(&problem, if thorough { Effort::Normal } else { Effort::Quick }, 2).measures.makespan;
        assert!(checked.makespan <= with_less, "{name}: {with_less} with less effort");
        assert!(answer.lower_bound <= best && answer.unfit.is_empty(), "{name}");
        assert!(!proved || checked.makespan >= best, "{name}: {} under the proved {best}", checked.makespan);
        let excess = 100.0 * (checked.makespan - best) as f64 / best as f64;
        let allowed = if name.starts_with('X') { most_of_coupled } else { most };
        assert!(excess <= allowed, "{name}: {excess:.1} % over {best}");
        reached += usize::from(checked.makespan <= best);
        say(&format!("{name}: {} ({excess:+.1} %), bound {}", checked.makespan, answer.lower_bound));
        // Beside what a general solver has after a minute on two cores.
        match general(name).0 {
            Some(theirs) if checked.makespan > theirs => behind += 1,
            Some(theirs) if checked.makespan == theirs => {}
            _ => ahead += 1,
        }
    }
    say(&format!("{reached} at the best known; against a general solver {ahead} ahead, {behind} behind"));
    assert!(reached >= least_reached, "{reached} of 20 at the best known");
    assert!(ahead >= 5 && behind <= 2, "against a general solver {ahead} ahead, {behind} behind");
}

#[test]
fn the_answer_does_not_depend_on_the_threads() {
    let small: Vec<_> =
        references().into_iter().filter(|reference| reference.problem.pages.len() <= 12).take(4).collect();
    assert_eq!(small.len(), 4, "problems of up to twelve pages");
    for Reference { problem, .. } in small {
        assert_eq!(solved(&problem, Effort::Quick, 1), solved(&problem, Effort::Quick, 3));
    }
}

#[test]
fn the_checker_refuses_what_is_broken() {
    let full: Vec<_> = references().into_iter().filter(|reference| reference.problem.name.starts_with('F')).collect();
    assert_eq!(full.len(), 3, "problems with everything in them");
    for Reference { problem, .. } in full {
        let starts = solved(&problem, Effort::Quick, 2).schedule.starts;
        assert!(check(&problem, &starts).is_ok());
        let mut mutants = 0;
        for page in 0..starts.len() {
            let mut early = starts.clone();
            early[page].iter_mut().for_each(|start| *start -= 10_000);
            assert!(check(&problem, &early).is_err());
            let mut together = starts.clone();
            together[page] = starts[(page + 1) % starts.len()].clone();
            mutants += usize::from(check(&problem, &together).is_err());
        }
        assert_eq!(mutants, starts.len(), "{}", problem.name);
        let mut tight = problem.clone();
        let air = tight.air.as_mut().expect("the full problems have air");
        air.ceiling = check(&problem, &starts).expect("it holds").index_peak - 1e-4;
        assert!(check(&tight, &starts).is_err());
    }
}
